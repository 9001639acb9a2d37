"""An ingredient line as it is written: its amounts, its name, and what stands after the name.

The language is that of line.lark; here its trees become plain data. What the words mean, which
food it is and what it weighs, is asked elsewhere.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache, lru_cache
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, cast

from models.words.names import split

if TYPE_CHECKING:
    from lark import Lark, Token, Tree

    Branch = Tree[Token]

TABLES = "line.tables"
"""What lark makes of line.lark; `python -m models.foods.lines.build` writes it anew."""


@dataclass(frozen=True, slots=True)
class Count:
    """A number or a range of numbers; both ends are the same where it is one."""

    least: Decimal
    most: Decimal

    @property
    def middle(self) -> Decimal:
        """Half-way between the ends."""
        return (self.least + self.most) / 2

    @property
    def is_range(self) -> bool:
        """Tell whether it is more than one number."""
        return self.least != self.most


ONE = Count(Decimal(1), Decimal(1))


@dataclass(frozen=True, slots=True)
class Measure:
    """A number of a unit: "2 heaped tbsp".

    Attributes
    ----------
    unit
        g, kg, oz, lb, mL, cL, dL, L, floz, pint, quart, gallon, cup, tbsp, tsp, dsp, cm, mm or
        inch; a noun where a bracket counts pieces.
    full
        How full the measure is: heaped, level, packed; or nothing.
    each
        True for what one of several weighs.
    all_
        True for what all of them weigh together: 3 (about 500 g).
    more
        What stands behind it in a smaller unit: the 2 oz of 1 lb 2 oz.
    """

    count: Count
    unit: str
    full: str = ""
    each: bool = False
    all_: bool = False
    more: Measure | None = None


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of it, as written.

    Attributes
    ----------
    count
        How many; None where only measures are given.
    holder
        What they are: tin, clove, bunch; empty for the thing itself.
    size
        small, medium, large and the like, or empty.
    measures
        Measures of all of it or, where `each`, of one; several say the same in two systems.
    part
        "juice", "zest" or both, where it is that of so many.
    vague
        True for a handful or a pinch without a number.
    """

    count: Count | None = None
    holder: str = ""
    size: str = ""
    full: str = ""
    measures: tuple[Measure, ...] = ()
    each: bool = False
    part: str = ""
    vague: bool = False


@dataclass(frozen=True, slots=True)
class Written:
    """One line, taken apart.

    Attributes
    ----------
    name
        The words for the food, with their letters as written.
    asides
        What stands behind commas: "chopped", "yolks only".
    comments
        What stands in brackets and is no measure.
    spare
        Measures in brackets or behind "about": the same amount again, or that of one.
    other
        What may be used instead.
    also
        What is used too: the 2 yolks of "4 eggs, plus 2 egg yolks".
    purpose
        "to serve", "for dusting"; `extra` where it is beyond the amount.
    """

    text: str
    amounts: tuple[Amount, ...] = ()
    name: str = ""
    asides: tuple[str, ...] = ()
    comments: tuple[str, ...] = ()
    spare: tuple[Measure, ...] = ()
    other: Written | None = None
    also: tuple[Written, ...] = ()
    purpose: str = ""
    extra: str = ""
    optional: bool = False
    each_of: bool = False
    rest: str = ""
    """Everything behind the amount, commas and all."""
    held: str = ""
    """The word for what holds it, as it stands before the rest: the pot of pot barley."""


class Unwritten(ValueError):  # noqa: N818 - a finding, not a fault of the program
    """A line that is no ingredient line of the language, and what to write instead."""

    def __init__(self, what: str, mend: str = "") -> None:
        self.mend = mend or "Write the amount, the food, then how it is prepared: 400 g onions."
        super().__init__(what)


# -- numbers and units ---------------------------------------------------------------

_PARTS = dict(
    zip(
        "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞",
        (
            *("1/2", "1/3", "2/3", "1/4", "3/4", "1/5", "2/5", "3/5", "4/5"),
            *("1/6", "5/6", "1/8", "3/8", "5/8", "7/8"),
        ),
        strict=True,
    )
)
_NUMBERS = {
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "few": 3,
    "several": 4,
    "couple": 2,
}
_UNITS = {
    word: unit
    for unit, words in {
        "kg": "kg kgs kilo kilos kilogram kilograms",
        "g": "g gm gms gr gram grams gramme grammes",
        "oz": "oz ozs ounce ounces",
        "lb": "lb lbs pound pounds",
        "mL": "ml mls millilitre millilitres milliliter milliliters",
        "cL": "cl",
        "dL": "dl",
        "L": "l ltr litre litres liter liters",
        "floz": "floz flozs flounce flounces fluidounce fluidounces",
        "pint": "pint pints pt",
        "quart": "quart quarts qt qts",
        "gallon": "gallon gallons",
        "cup": "cup cups mug mugs mugful mugfuls",
        "tbsp": "tbsp tbsps tbs tblsp tbl tb tablespoonful tablespoonfuls tablespoon tablespoons",
        "tsp": "tsp tsps teaspoon teaspoons teaspoonful teaspoonfuls",
        "dsp": "dsp dessertspoon dessertspoons",
        "cm": "cm",
        "mm": "mm",
        "inch": "in inch inches",
    }.items()
    for word in words.split()
}


def number(text: str) -> Decimal:
    """Read a number as cooks write it: "1 1/2", "1½", "half a", "a dozen", "1,500".

    Parameters
    ----------
    text
        A number, in digits or in words.

    Returns
    -------
    0 or more, not rounded; 1 for a word that is no number.

    Raises
    ------
    Unwritten
        When a fraction divides by 0.

    Examples
    --------
    >>> number("1½"), number("half a"), number("2 1/4")
    (Decimal('1.5'), Decimal('0.5'), Decimal('2.25'))
    """
    wording = re.sub(r"\s+(of\s+)?(an?|1)$", "", text.strip().casefold()).replace(",", "")
    if "dozen" in wording:
        many = re.sub(r"\s*dozen.*", "", wording)
        return number(many or "1") * 12
    if "half" in wording:
        whole = re.match(r"\d+", wording)
        return Decimal(whole[0] if whole else 0) + Decimal("0.5")
    if "quarter" in wording:
        return Decimal("0.25")
    if wording[:1].isalpha():
        return Decimal(next((_NUMBERS[word] for word in wording.split() if word in _NUMBERS), 1))
    for letter, part in _PARTS.items():
        wording = wording.replace(letter, f" {part}")
    wording = re.sub(r"\s*/\s*", "/", wording)
    return sum((_fraction(part) for part in re.findall(r"[\d./]+", wording)), Decimal(0))


def _fraction(text: str) -> Decimal:
    over, _, under = text.partition("/")
    if under and not int(under):
        raise Unwritten("divides by nothing", "Mend the fraction.")
    return Decimal(over) / Decimal(under) if under else Decimal(over)


def _unit(token: str) -> str:
    return _UNITS[re.sub(r"[\s.\-]", "", token.casefold())]


# -- trees to data -------------------------------------------------------------------


def grammar() -> Lark:
    """Work out the parser of line.lark: a tenth of a second, most of what reading a week takes.

    Returns
    -------
    An LALR parser that starts at "line" or "bracket".

    Examples
    --------
    >>> str(grammar().parse("2 tbsp oil", start="line").data)
    'line'
    """
    from lark import Lark  # noqa: PLC0415 - only commands that read a line need it

    return Lark(
        _grammar_text(),
        start=["line", "bracket"],
        parser="lalr",
        lexer="contextual",
        maybe_placeholders=True,
    )


def seal_of_tables() -> bytes:
    r"""Say of what grammar and which lark the tables are that are kept beside it.

    Returns
    -------
    bytes
        A line.

    Examples
    --------
    >>> seal_of_tables().count(b" "), seal_of_tables()[-1:]
    (1, b'\n')
    """
    from lark import __version__  # noqa: PLC0415

    return f"{__version__} {sha256(_grammar_text().encode()).hexdigest()}\n".encode()


def _grammar_text() -> str:
    return Path(__file__).with_name("line.lark").read_text(encoding="utf-8")


@cache
def _parser() -> Lark:
    from lark import Lark  # noqa: PLC0415

    with Path(__file__).with_name(TABLES).open("rb") as kept:
        # Of another grammar, or by another lark, they say nothing.
        return Lark.load(kept) if kept.readline() == seal_of_tables() else grammar()


def _tree(text: str, start: str) -> Branch:
    from lark.exceptions import LarkError  # noqa: PLC0415

    try:
        return _parser().parse(text, start=start)
    except LarkError as fault:
        raise Unwritten("cannot be read") from fault


def _branches(tree: Branch, data: str) -> list[Branch]:
    return [child for child in tree.children if _is(child, data)]  # type: ignore[misc]


def _is(child: object, data: str) -> bool:
    return getattr(child, "data", None) == data


def _token(tree: Branch, kind: str) -> str:
    """Give the text of the first token of a kind; empty where there is none."""
    return next((str(token) for token in tree.children if getattr(token, "type", "") == kind), "")


def _noun(text: str) -> str:
    """Give the last word of a holder, singular: "large handfuls" is a handful."""
    words = re.findall(r"[a-z]+", text.casefold())
    return _HOLDERS.get(words[-1], split(words[-1])[0]) if words else ""


_HOLDERS = {
    word: noun
    for noun, words in {
        "leaf": "leaf leaves",
        "clove": "clove cloves",
        "loaf": "loaf loaves",
        "tin": "tin tins can cans",
        "pack": "pack packs packet packets package packages pkg pkgs envelope envelopes sachet "
        "sachets box boxes boxe bag bags carton cartons container containers pouch pouches tray "
        "trays",
        "jar": "jar jars tub tubs pot pots",
        "stalk": "stalk stalks rib ribs",
        "bulb": "bulb bulbs",
        "piece": "piece pieces chunk chunks lump lumps",
        "pinch": "pinch pinches",
        "bunch": "bunch bunches",
        "dash": "dash dashes",
        "splash": "splash splashes",
        "squeeze": "squeeze squeezes",
        "glass": "glass glasses",
        "slice": "slice slices round rounds disc discs circle circles",
        "thread": "thread threads strand strands",
        "grind": "grind grinds grinding grindings turn turns twist twists",
        "sprinkle": "sprinkle sprinkling",
        "little": "little bit some",
        "knob": "knob knobs",
        "piece of root": "thumb thumbs",
        "nest": "nest nests coil coils",
        "stick": "stick sticks quill quills",
    }.items()
    for word in words.split()
}


class _Reader:
    """Makes data of the trees of one line; `held` are the measures of its brackets."""

    def __init__(self, held: list[tuple[Measure, ...]]) -> None:
        self.held = held

    def count(self, tree: Branch) -> Count:
        numbers = [
            number(str(token)) for token in tree.children if getattr(token, "type", "") == "NUMBER"
        ]
        return Count(min(numbers), max(numbers))

    def measures(self, tree: Branch) -> tuple[Measure, ...]:
        measures: list[Measure] = []
        for child in tree.children:
            if _is(child, "measure"):
                measures.append(self.measure(cast("Branch", child)))
            elif getattr(child, "type", "") == "MARK":
                measures += self.marked(str(child))
        return tuple(measures)

    def measure(self, tree: Branch) -> Measure:
        counts = [self.count(branch) for branch in _branches(tree, "count")]
        units = [
            _unit(str(token)) for token in tree.children if getattr(token, "type", "") == "UNIT"
        ]
        more = Measure(counts[1], units[1]) if len(units) > 1 else None
        return Measure(counts[0], units[0], _token(tree, "FULL").strip().casefold(), more=more)

    def marked(self, mark: str) -> tuple[Measure, ...]:
        return self.held[int(re.sub(r"\D", "", mark))]

    def amount(self, tree: Branch) -> Amount:
        counts, lists = _branches(tree, "count"), _branches(tree, "measures")
        holder = _token(tree, "HOLDER") or _token(tree, "VAGUE")
        marks = [str(token) for token in tree.children if getattr(token, "type", "") == "MARK"]
        measures = [*(measure for branch in lists for measure in self.measures(branch))]
        measures += [measure for mark in marks for measure in self.marked(mark)]
        count = self.count(counts[0]) if counts else None
        vague = tree.data == "vague"
        if vague:
            count = Count(Decimal(3), Decimal(3)) if "few" in holder.casefold() else ONE
        return Amount(
            count=count,
            holder=_noun(holder),
            size=_size(_token(tree, "SIZE") or holder),
            full=_token(tree, "FULL").strip().casefold(),
            measures=tuple(measures),
            each=tree.data == "each" or any(measure.each for measure in measures),
            part=" and ".join(re.findall("juice|zest|rind|peel", _token(tree, "PART").casefold())),
            vague=vague,
        )

    def front(self, tree: Branch) -> tuple[Amount, ...]:
        return tuple(
            self.amount(cast("Branch", child))
            for child in tree.children
            if getattr(child, "data", None) is not None
        )

    def clause(self, tree: Branch, text: str) -> Written:
        """Read the amount and the name of a clause: a line's first, or that behind "or"."""
        fronts = _branches(tree, "front")
        return Written(text, self.front(fronts[0]) if fronts else (), _name(tree))

    def choice(self, tree: Branch) -> Written:
        """Read what is behind "or", with the word that leads to it as its text."""
        word = re.sub(r"[^a-z/ ]", "", _token(tree, "OR").casefold())
        return self.clause(tree, " ".join(word.replace("other", "").split()))

    def line(self, tree: Branch, text: str) -> Written:
        fronts = _branches(tree, "front")
        tokens = [*(fronts[0].scan_values(lambda token: token is not None) if fronts else ())]
        tokens += [token for token in tree.children if getattr(token, "type", "") == "OF"]
        rest = text[max((getattr(token, "end_pos", 0) for token in tokens), default=0) :]
        holder = tokens[-1] if tokens and getattr(tokens[-1], "type", "") == "HOLDER" else ""
        written = replace(
            self.clause(tree, text),
            each_of=bool(_token(tree, "EACH_OF")),
            rest=rest.strip(),
            held=str(holder),
        )
        for child in tree.children:
            kind = getattr(child, "data", "")
            if kind in _TAILS:
                written = getattr(self, f"_{kind}")(written, child)
        return written

    # -- tails, each in the order of the line -----------------------------------------

    def _aside(self, written: Written, tree: Branch) -> Written:
        name = _name(tree)
        return replace(written, asides=(*written.asides, name)) if name else written

    def _other(self, written: Written, tree: Branch) -> Written:
        if written.other is not None:
            if written.other.other is None:
                written = replace(written, other=replace(written.other, other=self.choice(tree)))
            return written
        clause = self.choice(tree)
        if written.asides and not clause.amounts and _is_preparation(written.asides[-1]):
            # "peeled, or scrubbed" offers no other food.
            return replace(written, asides=(*written.asides, clause.name))
        return replace(written, other=clause)

    def _also(self, written: Written, tree: Branch) -> Written:
        word = re.sub(r"[^a-z+&]", "", _token(tree, "PLUS").casefold())
        return replace(written, also=(*written.also, self.clause(tree, word)))

    def _extra(self, written: Written, tree: Branch) -> Written:
        return replace(written, extra=_token(tree, "EXTRA").strip(" ,;"))

    def _purpose(self, written: Written, tree: Branch) -> Written:
        return replace(written, purpose=_token(tree, "PURPOSE").strip(" ,;"))

    def _weighing(self, written: Written, tree: Branch) -> Written:
        each = re.search(r"each|apiece|per person", _token(tree, "EACH").casefold()) is not None
        measures = [
            replace(measure, each=each)
            for branch in _branches(tree, "measures")
            for measure in self.measures(branch)
        ]
        return replace(written, spare=(*written.spare, *measures))

    def _mark(self, written: Written, tree: Branch) -> Written:
        name = " ".join(filter(None, (written.name, _name(tree))))
        if written.asides and _name(tree):
            name = written.name
        return replace(
            written, name=name, spare=(*written.spare, *self.marked(_token(tree, "MARK")))
        )


_TAILS = frozenset({"aside", "other", "also", "extra", "purpose", "weighing", "mark"})


def _name(tree: Branch) -> str:
    names = _branches(tree, "name")
    return " ".join(str(word) for word in names[0].children).strip(" .*?:-") if names else ""


def _size(text: str) -> str:
    match = re.search(
        r"\b((?:very|extra)[ -])?(small|medium|large|big|jumbo|tiny|good|generous)\b",
        text.casefold(),
    )
    if match is None:
        return ""
    size = {"big": "large", "tiny": "small", "good": "", "generous": ""}.get(match[2], match[2])
    return f"extra-{size}" if match[1] and size in ("small", "large") else size


def _is_preparation(text: str) -> bool:
    return bool(re.search(r"(ed|ly)\b", text))


# -- the line ------------------------------------------------------------------------

_PART = "[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]"


def _mixed(match: re.Match[str]) -> str:
    """Part a whole number from the fraction that ran into it: 11/2 is one and a half."""
    whole, over, under = match.groups()
    return f"{whole} {over}/{under}" if int(over) < int(under) else match[0]


_AMOUNT = r"^([\d\s/.½⅓⅔¼¾⅛–-]{1,9}?)"
_TIDY = (
    (r"&?frac(\d)(\d);", r"\1/\2"),
    (r"&amp;", "&"),
    (r"[\u2044∕]", "/"),
    (r"[\u00a0\u2009\u202f]", " "),
    (r"[<>⟦⟧{}]", " "),
    (r"\[([^\]]*)\]", r"(\1)"),
    (
        r"(?i)(?<=[a-z])\s*[,(]?\s*(about |approx\.? |roughly |each )*"
        rf"(?<![\w.])[\d/.{_PART[1:-1]}–-]+[ -]?"
        r"(inch(es)?|cm|mm|in\.?) (thick|wide|long|in diameter|across)\b\)?",
        " ",
    ),
    (r"\s+", " "),
    (r"(?<![\d/])(\d)([1-7])/([2348])(?![\d/])", _mixed),
    (r"(?<=[\d½¼¾])\s?[\"”″](?=\s|$)", " inch"),
    (rf"{_AMOUNT}\s*[cC]\.? (?=[A-Za-z])", r"\1 cup "),
    (rf"{_AMOUNT}\s*t\.? (?=[A-Za-z])", r"\1 tsp "),
    (r"(?i)(?<=\d)\s?[–—]\s?(?=(ounce|oz|pound|lb|inch|cm|gram|g)\b)", "-"),
    (
        r"(?i)^(\d) [-–—] (?=\d{1,2}(\.\d+)?[ -]?(oz|ounces?)\b\.? "
        r"(cans?|tins?|packages?|packets?|pkgs?|jars?|boxe?s?|bags?|containers?|cartons?|bottles?)\b)",
        r"\1 ",
    ),
    (r"(?i)^(an?|1|one)? ?brace of ", "2 "),
    (r"(?i)\b((ready|straight)[ -]to[ -]wok|ready[ -]cooked)\b", "cooked"),
    (r"(?i)\blowfat\b", "low-fat"),
    (r"(?i)(?<=[a-z]),?\s+made (up )?(with|from|using)\s+(?=[\d½¼¾]|an? |one |two )[^()]*$", ""),
    (r"(?i)\b(\d\d)/\d\d(?= (lean )?(ground|minced|beef|mince)\b)", r"\1% lean"),
    (r"(?i)\bde-(?=veined|seeded|boned|bearded|stemmed|stalked|husked|rinded|stoned)", "de"),
    (
        r"(?i)^(\d+)\s*[x×]\s*[\d.½¼¾]+\s?(cm|mm|in|inch)(/[\d.½¼¾]+\s?(cm|mm|in|inch(es)?))?[ -]"
        r"(thick|wide|long)?\s*(?=(slices?|pieces?|strips?|chunks?|rounds?|lengths?|batons?)\b)",
        r"\1 ",
    ),
    (r"^((?:\d|an? )[^:(]{3,60}):\s+([^()]+)$", r"\1 (\2)"),
    (r"(?i)(?<=\d )lg\.?(?= )", "large"),
    (r"(?i)(?<=\d )(med|md)\.?(?= )", "medium"),
    (r"(?i)(?<=\d )sm\.?(?= )", "small"),
    (r"(?i)\ban? (\w+) or two(?= of\b|,|$)", r"1 or 2 \1s"),
    (r"(?i)\beach:\s*", "each "),
    (
        r"(?i)^(the )?(seeds|arils|pulp|flesh|leaves|needles) (from|of) "
        r"(?=[\d½¼¾]|an? |half |one |two )",
        "",
    ),
    (r"¼\s*-\s*½", "¼-½"),
    (r"\bT\b\.?(?= [a-z])", "tbsp"),
    (r"(?<=[a-z])[?*]+$", ""),
    (r"^\s*([*•·]\s*|[-–]\s+)", ""),
    (r"(?i)^(the|of)\s+", ""),
    (r"(?i)\bhalf[- ]and[- ]half\b", "half-and-half"),
    (r"(?i)^half of (?=an? )", "half "),
    (r"(?i)fl oz\s+fl oz\b", "fl oz"),
    (r"(?<=\d)[oO](?=\d?\s?g\b)", "0"),
    (r"(?<=\w)[—―](?=\w)", ", "),
    (rf"(?<=[\d{_PART[1:-1]}])[-–]\s+(to|or)\s+(?=\d)", r" \1 "),
    (r"(?i)(?<!\S)(tipo |type |italian )?['‘’\"“]?00['’\"”]? (?=(pasta )?flour)", "tipo "),
)
_NUMERALS = frozenset("0123456789½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞")
_NO_NUMBER = (
    (
        r"(?<![\d.])\d+,\d{1,2}(?![\d,])",
        "has a comma in its number",
        "Write decimals after a point.",
    ),
    (r"^\s*[-–]\d", "is less than nothing", "Write an amount above nothing."),
    (
        rf"\d'\d|\.\d+\s*{_PART}|\d_\d|\de\d|{_PART}\s*{_PART}|{_PART}\s*\d+/|\d/\d+\s*(\d+/|{_PART})|"
        r"^\d{1,3} \d{3}\s*(g|ml|mL|kg)\b",
        "has a number that cannot be read",
        "Write it as 1500 or 1.5 or 1 1/2; of several, as 2 x 500 g.",
    ),
)
"""What is no number: pattern, what is wrong, what to write."""
_METRIC_AGAIN = re.compile(r"(?<=[a-z)])\s+(\d+(?:\.\d+)?\s?(?:ml|mL|g|L))\.?$")
_OPTIONAL = re.compile(r"^optional:\s*|[,;(]?\s*\boptional\b[^,;)]*\)?", re.IGNORECASE)
_SERVED = re.compile(
    r"(to|for) (serv|garnish|dust|decorat|sprinkl|drizzl|greas|brush|fry|tast|topp|finish)",
    re.IGNORECASE,
)
_BRACKET = re.compile(r"\(([^()]*)\)?")
_BEFORE_MEASURE = re.compile(
    r"(?:optional|about|approx(?:imately|\.)?|each|\D{0,16}?)\s*([.\d½¼¾][^;]*)"
)
_TURNED = re.compile(r"^([^\d<½¼¾⅓⅔]{3,40}?),?\s+((?:about\s+)?[\d½¼¾⅓⅔].*)$")
_LONGEST = 400
"""Letters of one line."""


@lru_cache(maxsize=2048)
def read_written(text: str) -> Written:
    """Take an ingredient line apart.

    Parameters
    ----------
    text
        The line, at most `_LONGEST` letters.

    Returns
    -------
    Words and amounts as they stand there; no food is looked up, no mass worked out.

    Raises
    ------
    Unwritten
        When it is no line of the language.

    Examples
    --------
    >>> written = read_written("2 large leeks (about 400 g), sliced")
    >>> written.name, written.amounts[0].size, written.asides, written.spare[0].unit
    ('leeks', 'large', ('sliced',), 'g')
    """
    if len(text) > _LONGEST:
        raise Unwritten(f"has more than {_LONGEST} letters", "Write what goes in, and how much.")
    line = text.strip()
    if any(letter.isnumeric() and letter not in _NUMERALS for letter in line):
        raise Unwritten("has a number that cannot be read", "Write numbers as 1, 2, 3 and 1/2.")
    for pattern, what, mend in _NO_NUMBER:
        if re.search(pattern, line):
            raise Unwritten(what, mend)
    for what, instead in _TIDY:
        line = re.sub(what, instead, line)
    optional = _OPTIONAL.search(line) is not None
    line, held, comments = _without_brackets(_OPTIONAL.sub("", line).strip())
    written = _line(line, held)
    purpose = written.purpose or next(filter(_SERVED.match, comments), "")
    return replace(written, text=text, comments=comments, optional=optional, purpose=purpose)


def _line(line: str, held: list[tuple[Measure, ...]]) -> Written:
    written = _Reader(held).line(_tree(line, "line"), line)
    turned = _TURNED.match(line)
    if not written.amounts and turned is not None and not _LEADS_ON.search(turned[1]):
        # "Honey 1 tablespoon": the amount stands behind the name.
        try:
            other_way = f"{turned[2]} {turned[1]}"
            again = _Reader(held).line(_tree(other_way, "line"), other_way)
        except Unwritten:
            return written
        if again.amounts:
            return again if again.name else replace(again, name=turned[1].strip(" ,"))
    return written


_LEADS_ON = re.compile(r"\b(for|to|into|from|in|with|about|or|and)\s*$", re.IGNORECASE)


def _without_brackets(line: str) -> tuple[str, list[tuple[Measure, ...]], tuple[str, ...]]:
    """Lift the brackets out: those that are measures leave a mark, the others are comments."""
    held: list[tuple[Measure, ...]] = []
    comments: list[str] = []

    def lift(match: re.Match[str]) -> str:
        inner = match[1].strip(" ,;")
        measures = _bracketed(inner)
        if measures is None:
            comments.append(inner)
            return " "
        held.append(measures)
        return f" <{len(held) - 1}> "

    line = _BRACKET.sub(lift, line).replace(")", " ")
    again = _METRIC_AGAIN.search(line)
    if again is not None and re.match(r"[\d½¼¾⅓⅔⅛]", line):
        held.append(_bracketed(again[1]) or ())
        line = f"{line[: again.start()]} <{len(held) - 1}>"
    return " ".join(line.split()), held, tuple(comments)


def _bracketed(inner: str) -> tuple[Measure, ...] | None:
    """Read a bracket as measures; None where it is something else."""
    match = _BEFORE_MEASURE.fullmatch(inner)
    if match is None or not inner:
        return None
    try:
        tree = _tree(match[1].strip(), "bracket")
    except Unwritten:
        return None
    reader = _Reader([])
    each = re.search(r"\b(each|per person|apiece)\b", inner, re.IGNORECASE) is not None
    counts = _branches(tree, "count")
    if counts:
        return (Measure(reader.count(counts[0]), _noun(_token(tree, "HOLDER")), each=each),)
    measures = reader.measures(_branches(tree, "measures")[0])
    together = re.match(r"(about|approx|total|around|roughly)", inner, re.IGNORECASE) is not None
    return tuple(replace(measure, each=each, all_=together and not each) for measure in measures)
