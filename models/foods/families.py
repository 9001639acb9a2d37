"""Which families a food belongs to: what decides whether someone who avoids one may have it.

The food table says it in a column of its own; of any other food (an own one, another table's)
the words of its names tell, by the rules of tables/families.csv, with the exceptions named there:
coconut milk is not dairy, nor are butter beans. What is not plain is not settled: a sausage may
hold pork, and in a food that nobody has described anything may be.

Source of the rules: common practice, no source; what a compound food usually holds is that of the
usual recipe, as in the column of allergens.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import takewhile

from models.foods.tabled import rows
from models.words.families import ALLERGEN_OF, DIETS, OF_ALLERGEN, WITHIN, around, widened
from models.words.names import split, words

ANYTHING = "anything?"
ANIMAL = frozenset(DIETS["vegan"])


@dataclass(frozen=True, slots=True)
class Families:
    """What a food belongs to.

    Attributes
    ----------
    holds
        Families it belongs to or has in it for certain, the wider ones with them.
    may
        Families that may be in it: recipes differ, only the label tells.
    told
        False where nobody said what is in it, so that anything may be.
    """

    holds: frozenset[str] = frozenset()
    may: frozenset[str] = frozenset()
    told: bool = True

    def settled(self, known: Iterable[str], *, others: bool = False) -> Families:
        """Leave out the families it is known to be free of, or all that its name does not say.

        Parameters
        ----------
        known
            Families that are not in it, by its label.
        others
            True where nothing is in it but what its name says.

        Returns
        -------
        A copy that may hold less; what it holds for certain stays.
        """
        free = frozenset(known)
        doubtful = frozenset() if others else self.may
        may = frozenset(family for family in doubtful if not around(family) & free)
        return Families(self.holds, may, self.told or others)


def read_cell(cell: str) -> Families:
    """Read a cell of the column: "pork;alcohol?" holds pork and may hold alcohol.

    "None" says that it belongs to no family; "anything?" that nobody said what is in it.

    Parameters
    ----------
    cell
        Families, a question mark behind those that it only may hold.

    Returns
    -------
    Wider families with each; what holds one for certain is not said to maybe hold it.

    Examples
    --------
    >>> families = read_cell("pork;alcohol?")
    >>> sorted(families.holds), sorted(families.may)
    (['meat', 'pork', 'red meat'], ['alcohol'])
    """
    entries = [word for word in map(str.strip, cell.split(";")) if word not in {"", "none"}]
    holds = widened(word for word in entries if not word.endswith("?"))
    may = widened(word[:-1] for word in entries if word.endswith("?") and word != ANYTHING) - holds
    return Families(holds, may, ANYTHING not in entries)


def written(families: Families) -> str:
    """Write families as `read_cell` reads them, the narrowest of each alone.

    Parameters
    ----------
    families
        What a food belongs to.

    Returns
    -------
    In the order of the alphabet, those that only may be in it last; "none" where there are none.

    Examples
    --------
    >>> written(read_cell("alcohol?;pork;meat"))
    'pork;alcohol?'
    """
    entries = [*narrowest(families.holds), *(f"{family}?" for family in narrowest(families.may))]
    return ";".join([*entries, *([] if families.told else [ANYTHING])]) or "none"


def narrowest(names: frozenset[str]) -> list[str]:
    """Leave out of families the wider ones of any of them.

    Parameters
    ----------
    names
        Names of families.

    Returns
    -------
    In the order of the alphabet; empty for none.

    Examples
    --------
    >>> narrowest(frozenset({"pork", "red meat", "meat"}))
    ['pork']
    """
    return [name for name in sorted(names) if not any(name in WITHIN[other] for other in names)]


@cache
def derived(names: tuple[str, ...], group: str = "", *, told: bool = False) -> Families:
    """Work out the families of a food from its names.

    Parameters
    ----------
    names
        Its name and its aliases.
    group
        What sort of food it is, as its table says.
    told
        True where the group or a recipe says that nothing else is in it.

    Returns
    -------
    Wider families with each; `told` is False where something else may be in it.

    Examples
    --------
    >>> sorted(derived(("smoked bacon",)).holds)
    ['meat', 'pork', 'red meat']
    >>> sorted(derived(("coconut milk",), told=True).holds)
    ['coconut']
    """
    spoken = [_without_what_is_missing(name) for name in names]
    there = frozenset(word for name in spoken for word in name)
    near = (rule for rule in _rules() if not there.isdisjoint(rule.words))
    named = {meant for rule in near if (meant := rule.meant(spoken)) is not None}
    named |= _by_group(words(group), named)
    holds = widened(name for name in named if not name.endswith("?"))
    may = widened(name[:-1] for name in named if name.endswith("?")) - holds
    if there & _OF_PLANTS:
        barred = ANIMAL if "vegan" in there else ANIMAL - {"dairy", "egg", "honey"}
        holds = frozenset(family for family in holds if not around(family) & barred)
        may = frozenset(family for family in may if not around(family) & barred)
    kinds = words(group)
    plain_group = bool(kinds & _PLAIN_GROUPS) and not kinds & _MIXED_GROUPS
    coated = "fried" in there and kinds & _FLOURED
    sold_made = "retail" in there and not there & _CUTS
    mixed = there & _COMPOUND or any(phrase <= there for phrase in _COMPOUNDS)
    return Families(holds, may, told or (plain_group and not (coated or sold_made or mixed)))


@lru_cache(maxsize=4_096)
def with_allergens(families: Families, allergens: frozenset[str], *, known: bool) -> Families:
    """Let what is known of allergens go before what the names tell.

    Parameters
    ----------
    families
        What the names or the table tell.
    allergens
        Groups of law that are in it.
    known
        True where no other group can be in it.

    Returns
    -------
    A family named but not stated may be in it, or with `known` is not; stated ones are in it.

    Examples
    --------
    >>> cheese = derived(("oat cheese",))
    >>> sorted(with_allergens(cheese, frozenset({"gluten"}), known=True).holds)
    ['gluten']
    """
    named = widened(OF_ALLERGEN[group] for group in allergens if group in OF_ALLERGEN)
    denied = frozenset(family for family, group in ALLERGEN_OF.items() if group not in allergens)
    told = frozenset(family for family in families.holds if around(family) & denied)
    may = families.may | told
    if known:
        may = frozenset(family for family in may if not around(family) & denied)
    holds = (families.holds - told) | named
    return Families(holds, may - holds, families.told)


@dataclass(frozen=True, slots=True)
class _Rule:
    """A row of families.csv: what names a family, and what takes it back, near or anywhere."""

    family: str
    wanted: tuple[frozenset[str], ...]
    but_not: tuple[frozenset[str], ...]
    never: tuple[frozenset[str], ...]
    words: frozenset[str]
    """All that names it: few rules have a word of any one food."""

    def meant(self, spoken: Sequence[Sequence[str]]) -> str | None:
        """Name the family that it finds in names: for certain, with a "?", or None.

        What takes it back stands near: "butter beans" are no butter. In "mashed potato with
        butter, and beans" nobody can tell, so that it may be there.
        """
        named = [(name, phrase) for name in spoken for phrase in self.wanted if phrase <= {*name}]
        if not named or any(phrase <= {*name} for name in spoken for phrase in self.never):
            return None
        back = [other for other in self.but_not if any(_spread(name, other) for name in spoken)]
        near = all(any(_is_near(*where, other) for other in back) for where in named)
        if not back or self.family.endswith("?"):
            return None if back else self.family
        return None if near else f"{self.family}?"


def _spread(name: Sequence[str], phrase: frozenset[str]) -> bool:
    """Tell whether the words of a phrase stand together in a name, in any order."""
    span = len(phrase) + 1
    return any(phrase <= {*name[at : at + span]} for at in range(len(name)))


def _is_near(name: Sequence[str], phrase: frozenset[str], other: frozenset[str]) -> bool:
    """Tell whether some words stand beside others in a name, at most one word between them.

    What is joined to them is another thing: in butter and beans there is butter.
    """
    span = len(other) + 1
    for at in range(len(name)):
        together = name[at] in other and other <= {*name[at : at + span]}
        before, after = name[max(0, at - 2) : at], name[at : at + span + 1]
        if together and phrase & {*_unjoined(before[::-1]), *_unjoined(after)}:
            return True
    return False


def _unjoined(name: Sequence[str]) -> Sequence[str]:
    return [*takewhile(lambda word: word not in _JOINING, name)]


_JOINING = frozenset({"and", "with", "plus"})
_OF_PLANTS = frozenset({"vegan", "vegetarian", "veggie", "meatless", "plant"})
_NO_ALLERGY = frozenset({"fat", "sugar", "salt", "range", "cage", "gm", "stone", "seed", "bone"})


def _by_group(kinds: frozenset[str], named: set[str]) -> set[str]:
    """Say of a food whose names tell nothing of it what its group tells: rohu is a fish."""
    if kinds & _GROUPS_OF_MEAT and "fish" not in named:
        return {"meat"}
    if "fish" in kinds | named or "finfish" in kinds:
        return set() if named & {"crustaceans", "molluscs"} else {"fish"}
    if "alcoholic" in kinds:
        return {"alcohol"}
    return {"dairy?"} if kinds & {"dairy", "milk"} and not named else set()


_GROUPS_OF_MEAT = words("meat beef pork lamb veal game poultry bacon ham sausage")
_PLAIN_GROUPS = words(
    "fruit vegetable nut seed legume pulse cereal grain spice herb beef pork lamb veal game "
    "poultry fish finfish shellfish dairy egg milk cheese fat oil flour leaf sugar meat mushroom "
    "pasta"
)
_COMPOUND = words(
    "soup stew casserole curry pie pizza lasagne sandwich burger salad dressing sauce gravy "
    "stuffing meal dish dinner sausage pastry cake biscuit dip spread snack bar mix seasoning "
    "pudding sushi quiche samosa pasty spread pate loaf roll frankfurter breaded battered coated "
    "stuffed flavoured flavored imitation substitute filled takeaway ready pickle "
    "meatless vegetarian veggie deli luncheon bologna salami bratwurst kielbasa knackwurst "
    "bockwurst brotwurst beerwurst swisswurst cheesefurter rotisserie seasoned marinated pickled "
    "relish chutney stock broth bouillon sweets candy dessert ravioli tortellini gratin homemade "
    "finger goujon nugget rissole croquette crumb kiev schnitzel restaurant outlet takeout "
    "recipe made souffle scalloped duchesse scrapple patty formulated tart crumble pavlova "
    "croute roulade risotto moussaka pastichio bhaji bhajia pakora beanburger cutlet rusk "
    "minibread gulab gajjeralla khadhi khatiyu khichadi savoury straw twist bake breakfast "
    "yung mein luncheon mousse fermented headcheese cereal"
)
_CUTS = words("cut part")
"""Of American meat "retail" is how it is cut; of British food it is a dish that a shop made."""
_MIXED_GROUPS = words("sausage luncheon breakfast")
_FLOURED = words("fish finfish shellfish")
"""What is mostly turned in flour before it is fried."""
_COMPOUNDS = tuple(
    map(
        words,
        (
            "chilli bean",
            "hot pot",
            "stir fried rice",
            "fried flour",
            "liver cheese",
            "custard made",
            "custard confectioner",
        ),
    )
)
"""Dishes that only several words together name."""


def _without_what_is_missing(name: str) -> tuple[str, ...]:
    """Give the words of a name but for those that it says are not in it: "egg-free"."""
    kept: list[str] = []
    before = ""
    for word in split(name):
        if word == "free" and kept and before not in _NO_ALLERGY:
            kept.pop()
        elif before not in {"no", "without"}:
            kept.append(word)
        before = word
    return tuple(kept)


@cache
def _rules() -> tuple[_Rule, ...]:
    return tuple(
        _Rule(
            row["family"],
            _phrases(row["words"].split(";")),
            _phrases(cell for cell in row["but_not"].split(";") if not cell.startswith("!")),
            _phrases(cell[1:] for cell in row["but_not"].split(";") if cell.startswith("!")),
            words(row["words"]),
        )
        for row in rows("families.csv")
    )


def _phrases(cells: Iterable[str]) -> tuple[frozenset[str], ...]:
    return tuple(words(phrase) for phrase in cells if phrase)
