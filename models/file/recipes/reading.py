"""A recipe that someone saved made into a batch to draft, with what is left to settle."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from email import message_from_string
from pathlib import PurePath
from typing import Any

from models.file.draft import DraftBatch
from models.file.food_entries import MOST_INGREDIENTS
from models.file.recipes.page import Node, recipes_in_json, recipes_in_page
from models.file.recipes.steps import steps_of
from models.foods.facts import Facts, RecipeLine, Unclear
from models.foods.food import Foods
from models.words.errors import InputError
from models.words.text import LONGEST_NAME, LONGEST_TEXT, is_printable, read_text

LARGEST_BYTES = 5_000_000
MOST_RECIPES, MOST_STEPS = 12, 60
USUAL_YIELD = 4
_PIECES = re.compile(
    r"\b\w*(piece|cookie|biscuit|muffin|bar|slice|roll|patt(y|ie)|burger|ball|cake|bite|falafel"
    r"|fritter|pancake|scone|flapjack|wrap|samosa|dumpling)s?\b",
    re.IGNORECASE,
)
_COUNT = re.compile(r"(?<![0-9.,])([1-9][0-9]{0,3})(?:\s*(?:-|–|to)\s*([1-9][0-9]{0,3}))?(?![0-9])")
_SERVED = re.compile(
    r"(?:serves|servings|portions|feeds)\D{0,12}?([0-9]+(?:\s*(?:-|–|to)\s*[0-9]+)?)"
    r"|([0-9]+(?:\s*(?:-|–|to)\s*[0-9]+)?)\s+(?:[a-z]+\s+)?(?:servings?|portions?|people|persons?)\b",
    re.IGNORECASE,
)
"""How many it serves, which says more than what it weighs or how many pieces it is."""
_MASS = re.compile(r"[0-9]\s*(?:g|kg|ml|l|litres?|liters?|oz|lbs?|pints?|cups?)\b", re.IGNORECASE)
_HEADING = re.compile(
    r"(?:for|to make) (?:the|your|an?) [^0-9,:]{1,40}:?|to (?:serve|finish|garnish):?"
    r"|[^0-9,:]{1,40}:",
    re.IGNORECASE,
)
"""A line that heads others: For the sauce."""
_TAG = re.compile(r"<[^<>]{0,500}>")
_ARCHIVE = re.compile(r"(?:[A-Za-z-]+:.*\n(?:[ \t].*\n)*)*?Content-Type:\s*multipart/related", re.I)
_INGREDIENT_KEYS = ("recipeIngredient", "ingredients")
_MARKUP = re.compile(
    r"<(?:!doctype|html|head|body|script|div|span|p|main|article)\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Saved:
    """A recipe as its page gives it: texts alone."""

    title: str
    makes: str
    ingredients: tuple[str, ...]
    method: tuple[str, ...]
    source: str


def read_recipes(file: str, guidance: str, cups: str) -> list[DraftBatch]:
    r"""Read the recipes of a file.

    Parameters
    ----------
    file
        A saved web page, JSON of schema.org, or plain text; "-" for standard input.
    guidance, cups
        Whose fridge lives and which cups the week will follow.

    Returns
    -------
    list of DraftBatch
        A batch for each recipe; lines that cannot be read are kept with why.

    Raises
    ------
    InputError
        When it cannot be read, or holds no recipe.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> text = "Pea soup\nServes 4\n\nIngredients\n200 g dried peas\n1 onion\n\nMethod\nBoil 1 h.\n"
    >>> with TemporaryDirectory() as folder:
    ...     saved = Path(folder, "soup.txt")
    ...     _ = saved.write_text(text, encoding="utf-8")
    ...     (batch,) = read_recipes(str(saved), "us", "label")
    >>> batch.name, batch.count, batch.ingredients
    ('Pea soup', 4, ('200 g dried peas', '1 onion'))
    """
    mend = "Name a saved web page, a JSON file or a text file with a recipe."
    source, text = read_text(file, LARGEST_BYTES, mend, any_encoding=True)
    return _batches(source, recipes_in(source, text), guidance, cups)


def pasted(source: str, text: str, guidance: str, cups: str) -> list[DraftBatch]:
    r"""Read what someone pasted: a recipe in any form, or no more than its name and its lines.

    Parameters
    ----------
    source
        What to call where it came from.
    text
        HTML, JSON, a recipe as plain text, or a name and ingredients, a line each.
    guidance, cups
        As `read_recipes` takes them.

    Returns
    -------
    list of DraftBatch
        As `read_recipes` gives it.

    Raises
    ------
    InputError
        When nothing in it is a recipe.

    Examples
    --------
    >>> (batch,) = pasted("the paste", "Pea soup\nServes 6\nsalt\n300 g dried peas", "us", "label")
    >>> batch.name, batch.count, batch.ingredients
    ('Pea soup', 6, ('salt', '300 g dried peas'))
    """
    text = _page_within(text)
    lines = [clean(line) for line in text.splitlines()[:2_000]]
    plain = text.lstrip()[:1] not in {"{", "["} and not _MARKUP.search(text)
    if plain and not any(_INGREDIENTS.fullmatch(line) for line in lines):
        return _batches(source, _listed(lines), guidance, cups)
    return _batches(source, recipes_in(source, text), guidance, cups)


def _listed(lines: Iterable[str]) -> list[Saved]:
    """Take lines for a name, what it makes, and ingredients."""
    told = [_BULLET.sub("", line) for line in lines if line]
    makes = next((line for line in told if _comes_to(line)), "")
    told = [line for line in told if line != makes]
    title = told.pop(0) if told and not re.match(r"[0-9½¼¾⅓⅔]", told[0]) else ""
    return [Saved(title, makes, tuple(told), (), "")] if told else []


def _comes_to(line: str) -> bool:
    alone = re.fullmatch(r"[0-9]+ (portions?|servings?|pieces?)", line, re.IGNORECASE)
    return bool(alone or (_MAKES.fullmatch(line) and _COUNT.search(line)))


def _batches(source: str, saved: list[Saved], guidance: str, cups: str) -> list[DraftBatch]:
    if not saved:
        raise InputError(
            source,
            "there is no recipe in it that can be read",
            "Copy its title, 'Ingredients', a line each, and 'Method' into a text file.",
        )
    if len(saved) > MOST_RECIPES:
        what = f"it holds {len(saved)} recipes"
        raise InputError(source, what, f"Keep those that you cook, {MOST_RECIPES} at the most.")
    facts = Facts(Foods([]), cups, guidance, {})
    return [_batch(recipe, facts) for recipe in saved]


def _page_within(text: str) -> str:
    """Take the page out of an archive of one file (RFC 2557), as browsers save them."""
    if not _ARCHIVE.match(text):
        return text
    try:
        parts = message_from_string(text).walk()
        page = next((part for part in parts if part.get_content_type() == "text/html"), None)
        data = None if page is None else page.get_payload(decode=True)
    except (RecursionError, ValueError):
        data = None
    return data.decode("utf-8", "replace") if isinstance(data, bytes) else text


def recipes_in(source: str, text: str) -> list[Saved]:
    r"""Find the recipes in a text, whatever form it has.

    Parameters
    ----------
    source
        What to call where it came from.
    text
        HTML, JSON or plain text.

    Returns
    -------
    In the order of the text, each once; those without ingredients are left out.

    Raises
    ------
    InputError
        When HTML or JSON cannot be read, or is built to exhaust its reader.

    Examples
    --------
    >>> recipes_in("stew.txt", "Stew\nServes 4\n\nIngredients\n2 onions")[0].makes
    'Serves 4'
    """
    text = _page_within(text)
    if text.lstrip()[:1] in {"{", "["}:
        nodes = recipes_in_json(source, text)
    elif _MARKUP.search(text):
        nodes = recipes_in_page(source, text)
    else:
        written = _plain(source, text)
        return [] if written is None else [written]
    known = {saved: None for node in nodes if (saved := _saved(source, node)).ingredients}
    return list(known)


# -- schema.org ------------------------------------------------------------------------


def _saved(source: str, node: Node) -> Saved:
    # Old pages have both words, for some lines or for the same ones.
    both = [line for key in _INGREDIENT_KEYS for text in _texts(node.get(key)) for line in text]
    lines = both if None in map(node.get, _INGREDIENT_KEYS) else list(dict.fromkeys(both))
    method = [line for text in _texts(node.get("recipeInstructions")) for line in text]
    makes = [line for text in _texts(_first(node, "recipeYield", "yield")) for line in text]
    where = [line for key in ("author", "url") for text in _texts(node.get(key)) for line in text]
    title = " ".join(line for text in _texts(_first(node, "name", "headline")) for line in text)
    credit = ", ".join(dict.fromkeys(part for part in (title, *where[:3], _file(source)) if part))
    # Of several the one with a word says more than a bare number.
    best = max(makes, key=lambda text: (not text.isdecimal(), -len(text)), default="")
    return Saved(title, best, tuple(lines), tuple(method), credit[:LONGEST_TEXT])


def _first(node: Node, *keys: str) -> Any:
    return next((node[key] for key in keys if node.get(key)), None)


def _texts(value: Any, depth: int = 0) -> Iterator[list[str]]:
    """Give the texts of a property as lines: a text, a list, or a step or section with texts."""
    if depth > 6:
        return
    if isinstance(value, (str, int, float)) and not isinstance(value, bool):
        lines = [clean(line) for line in _untagged(str(value)).splitlines()]
        yield [line for line in lines if line]
    elif isinstance(value, list):
        for inside in value[:500]:
            yield from _texts(inside, depth + 1)
    elif isinstance(value, Mapping) and value.get("@type") != "HowToTip":
        inner = _first(value, "itemListElement", "text", "name")
        if inner is None and "value" in value:
            inner = f"{value['value']} {value.get('unitText', '')}"
        yield from _texts(inner, depth + 1)


def _untagged(text: str) -> str:
    """Take markup out of a text: it may be escaped once more than it should be."""
    text = html.unescape(html.unescape(text[:50_000]))
    return _TAG.sub("\n" if "<li" in text or "<p" in text or "<br" in text else " ", text)


def clean(text: str) -> str:
    r"""Make one printable line of a text, its blanks one at a time.

    Parameters
    ----------
    text
        A stranger's text.

    Returns
    -------
    Not cut, however long; empty where nothing of it is printed.

    Examples
    --------
    >>> clean("2\u00a0tbsp  oil\x07")
    '2 tbsp oil'
    """
    shown = "".join(
        letter if is_printable(letter) and letter not in "\u200c\u200d" else " " for letter in text
    )
    return " ".join(shown.split())


def _file(source: str) -> str:
    return clean(PurePath(source).name)[:60]


# -- plain text ------------------------------------------------------------------------

_INGREDIENTS = re.compile(
    r"(the )?ingredients( list)?\s*(\(.{1,60}\)|for .{1,60}|: ?(serves|makes) .{1,60})?:?",
    re.IGNORECASE,
)
_METHOD = re.compile(
    r"(the )?(method|instructions?|directions?|preparation|steps|how to make( it)?):?",
    re.IGNORECASE,
)
_MAKES = re.compile(r"(serves|makes|yields?|servings?|portions?)\b.{0,60}", re.IGNORECASE)
_AFTER = re.compile(
    r"(cook'?s |recipe )?(notes?|tips?|storage|nutrition( facts| information)?|equipment):?",
    re.IGNORECASE,
)
_MARKED = re.compile(r"^\s*#{1,6}\s+|\*\*|__|^(\s*[-*]) \[[ xX]?\]")
"""Marks of Markdown, which say nothing of the recipe."""
_BULLET = re.compile(r"^(?:[-*•–▢□]|[0-9]{1,2}[.)])\s+")


def _plain(source: str, text: str) -> Saved | None:
    """Read plain text: a title, what it makes, the ingredients, the method."""
    part, title, makes = "", "", ""
    lines: dict[str, list[str]] = {"": [], "ingredients": [], "method": [], "after": []}
    for raw in text.splitlines()[:2_000]:
        line = clean(_MARKED.sub(lambda mark: mark[1] or "", raw))
        if not line:
            continue
        if head := _INGREDIENTS.fullmatch(line):
            part, makes = "ingredients", makes or head[3] or ""
        elif _METHOD.fullmatch(line):
            part = "method"
        elif part and _AFTER.fullmatch(line):
            part = "after"
        elif _MAKES.fullmatch(line) and _COUNT.search(line) and not makes:
            makes = line
        elif not title:
            title = line
        else:
            lines[part].append(_BULLET.sub("", line))
    if not lines["ingredients"]:
        # Without headings, what begins with an amount is an ingredient.
        loose = lines[""]
        lines["ingredients"] = [line for line in loose if re.match(r"[0-9½¼¾⅓⅔]", line)]
        lines["method"] += [line for line in loose if line not in lines["ingredients"]]
    if not lines["ingredients"]:
        return None
    makes = makes or (title if _SERVED.search(title) else "")
    credit = f"{title}, {_file(source)}"[:LONGEST_TEXT]
    return Saved(title, makes, tuple(lines["ingredients"]), tuple(lines["method"]), credit)


# -- a batch ---------------------------------------------------------------------------


def _batch(saved: Saved, facts: Facts) -> DraftBatch:
    count, unit, settle = _yield(saved.makes)
    read, not_read = _ingredients(saved.ingredients[:MOST_INGREDIENTS], facts)
    over = len(saved.ingredients) - MOST_INGREDIENTS
    if over > 0:
        settle = (*settle, f"{over} more ingredients are left out: a batch has {MOST_INGREDIENTS}.")
        not_read = (*not_read, (f"{over} more ingredients", "see the recipe"))
    name = saved.title if len(saved.title) <= LONGEST_NAME else _short(saved.title)
    steps = steps_of(saved.method)
    if len(steps) > MOST_STEPS:
        more = f"{len(steps) - MOST_STEPS} more steps are left out: a batch has {MOST_STEPS}."
        settle, steps = (*settle, more), steps[:MOST_STEPS]
    if any(step.oven is None and not step.hands and "bake" in step.do.casefold() for step in steps):
        settle = (*settle, "a step bakes, and no heat of the oven is told.")
    return DraftBatch(
        name=name or "recipe",
        count=count,
        unit=unit,
        source=saved.source,
        ingredients=read,
        not_read=not_read,
        steps=steps,
        settle=settle,
    )


def _short(title: str) -> str:
    return title[:LONGEST_NAME].rsplit(" ", 1)[0]


def _yield(makes: str) -> tuple[int, str, tuple[str, ...]]:
    """Read what a recipe makes; what is not told is taken, and said."""
    # A page may say anything at any length; the patterns are for a line.
    makes = makes[:LONGEST_TEXT]
    served = _SERVED.search(makes)
    if served is not None:
        makes = next(filter(None, served.groups()))
    unit = "pieces" if _PIECES.search(makes) else "portions"
    match = _COUNT.search(makes)
    if match is None or _MASS.search(makes) or int(match[1]) > 2_000:
        told = f"what it makes is told as {makes[:60]!r}" if makes else "what it makes is not told"
        return USUAL_YIELD, unit, (f"{told}: {USUAL_YIELD} {unit} are taken.",)
    count = int(match[1])
    if match[2]:
        return count, unit, (f"it makes {match[0]}: {count} {unit} are taken.",)
    return count, unit, ()


def _ingredients(
    lines: Sequence[str], facts: Facts
) -> tuple[tuple[str, ...], tuple[tuple[str, str], ...]]:
    """Tell the lines that are read from those that are not, each of these with what to write."""
    read: list[str] = []
    not_read: list[tuple[str, str]] = []
    for line in lines:
        if _HEADING.fullmatch(line):
            continue
        if len(line) > LONGEST_TEXT:
            not_read.append((line[: LONGEST_TEXT - 4] + " ...", "longer than 300 characters"))
            continue
        try:
            facts.recipe([RecipeLine(line)])
        except Unclear as why:
            not_read.append((line, f"{why.what}. {why.mend}"))
        else:
            read.append(line)
    return tuple(read), tuple(not_read)


def named_apart(batches: Iterable[DraftBatch]) -> list[DraftBatch]:
    """Rename batches until each has a name of its own.

    Parameters
    ----------
    batches
        The batches, in the order of the week file.

    Returns
    -------
    In the same order; a later one of a name gets a number, letters large and small alike.

    Examples
    --------
    >>> [batch.name for batch in named_apart([DraftBatch("stew", 4, "portions")] * 2)]
    ['stew', 'stew (2)']
    """
    apart: list[DraftBatch] = []
    taken: set[str] = set()
    for batch in batches:
        name, number = batch.name, 1
        while name.casefold() in taken:
            number += 1
            name = f"{batch.name[: LONGEST_NAME - 5]} ({number})"
        taken.add(name.casefold())
        apart.append(replace(batch, name=name))
    return apart
