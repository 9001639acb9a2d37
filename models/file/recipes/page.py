"""A stranger's page or JSON searched for schema.org recipes: as JSON-LD, or as microdata.

The page is parsed as a stream, with no tree, no network and no entities of its own: it can fill
a list of texts or be refused, and nothing else. Property names are those of
https://schema.org/Recipe; microdata is read as https://html.spec.whatwg.org/#microdata says.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from lxml import etree

from models.words.errors import InputError
from models.words.text import quoted

MOST_TAGS = 200_000
DEEPEST_TAG = 1_000
DEEPEST_VALUE = 30
MOST_VALUES = 100_000
MOST_OPEN = 30
"""Properties of microdata that may be open at a time, one in another."""

_BEFORE = re.compile(r"\A(?:(?://|/\*)\s*)?(?:<!\[CDATA\[|<!--)\s*(?:\*/)?")
_BEHIND = re.compile(r"\A(?:/\*\s*)?(?:>\]\]|>--)\s*(?://|\*/)?")
"""What old pages put around a script, to hide it from older readers; behind it from the end on, so
that each is tried at one place and not at every blank of a page."""
_BLANKS = re.compile(r"\s+")
_LINES = {"br", "div", "h1", "h2", "h3", "li", "ol", "p", "tr", "ul"}
_UNSEEN = {"script", "style", "template", "noscript"}
_LINKS = {"a": "href", "area": "href", "link": "href", "img": "src", "time": "datetime"}

Node = Mapping[str, Any]


class Refused(ValueError):  # noqa: N818 - a finding, not a fault of the program
    """A page that is not read, and why."""


def recipes_in_page(source: str, text: str) -> list[Node]:
    """Find the recipes of a web page, those of JSON-LD before those of microdata.

    Parameters
    ----------
    source
        What to call the page in messages.
    text
        HTML.

    Returns
    -------
    Plain data by the words of schema.org, in the order of the page; empty where there is none.

    Raises
    ------
    InputError
        When the page is built to exhaust its reader.

    Examples
    --------
    >>> recipes = recipes_in_page("p", '<p itemscope itemtype="http://schema.org/Recipe">'
    ...                         '<b itemprop="name">Stew</b></p>')
    >>> recipes[0]["name"]
    ['Stew']
    """
    page, broken = _Page(), dict[str, None]()
    parser = etree.HTMLParser(target=page, no_network=True, recover=True, huge_tree=False)
    try:
        parser.feed(text)
        parser.close()
        nodes = [node for script in page.scripts for node in _json_recipes(script, broken)]
    except Refused as why:
        raise InputError(source, f"this page is not read: {why}", _MEND) from None
    except etree.LxmlError:
        raise InputError(source, "this page is no HTML", _MEND) from None
    if broken and not nodes and not page.recipes:
        what = f"the recipe in this page cannot be read: {'; '.join(broken)}"
        raise InputError(source, what, _MEND)
    return nodes or page.recipes


_MEND = "Copy the recipe's title, ingredients and method into a plain text file, and name that."


def recipes_in_json(source: str, text: str) -> list[Node]:
    """Find the recipes in JSON.

    Parameters
    ----------
    source
        What to call it in messages.
    text
        JSON; a recipe may stand alone, in a list, in @graph or inside another thing.

    Returns
    -------
    Plain data by the words of schema.org, in the order of the text; empty where there is none.

    Raises
    ------
    InputError
        When it is not JSON, or built to exhaust its reader.

    Examples
    --------
    >>> recipes_in_json("j", '[{"@type": "Recipe", "name": "Stew"}]')[0]["name"]
    'Stew'
    """
    try:
        return list(_recipes(_loaded(text)))
    except Refused as why:
        raise InputError(source, f"this JSON is not read: {why}", _MEND) from None


def _json_recipes(text: str, broken: dict[str, None]) -> Iterator[Node]:
    """Give the recipes of a script; of a broken one that names any, why it is not read."""
    try:
        data = _loaded(text)
    except Refused as why:
        if "Recipe" in text:
            broken[str(why)] = None
        return
    yield from _recipes(data)


def _loaded(text: str) -> Any:
    text = _BEHIND.sub("", _BEFORE.sub("", text.strip(), count=1)[::-1], count=1)[::-1]
    try:
        try:
            return json.loads(text, strict=False, object_pairs_hook=_once)
        except json.JSONDecodeError:
            # Pages often leave a comma behind the last of a list.
            bare = re.sub(r",(?=\s*[\]}])", "", text)
            return json.loads(bare, strict=False, object_pairs_hook=_once)
    except RecursionError:
        raise Refused("it is nested too deeply") from None
    except json.JSONDecodeError as wrong:
        raise Refused(f"it is not JSON ({wrong.msg}, line {wrong.lineno})") from None
    except ValueError as wrong:  # A number of more digits than are read.
        raise Refused(str(wrong)) from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Refuse a key that stands twice: nobody can tell which was meant, and food may be lost."""
    known: dict[str, Any] = {}
    for key, value in pairs:
        if key in known:
            raise Refused(f"{quoted(key)} stands twice in it")
        known[key] = value
    return known


def _recipes(data: Any) -> Iterator[Node]:
    """Walk JSON-LD: a recipe may stand alone, in a list, in @graph or inside another thing."""
    waiting, seen = [(data, 0)], 0
    while waiting:
        value, depth = waiting.pop()
        seen += 1
        if seen > MOST_VALUES or depth > DEEPEST_VALUE:
            raise Refused("it holds too much, or is nested too deeply")
        if isinstance(value, dict) and "Recipe" in _types(value):
            yield value
        elif isinstance(value, (dict, list)):
            inside = list(value.values()) if isinstance(value, dict) else value
            waiting += [(child, depth + 1) for child in reversed(inside)]


def _types(node: Node) -> list[str]:
    kinds = node.get("@type")
    names = kinds if isinstance(kinds, list) else [kinds]
    return [str(name).rsplit("/", 1)[-1] for name in names]


class _Page:
    """What the parser calls for each tag and text of a page."""

    def __init__(self) -> None:
        self.scripts: list[str] = []
        self.recipes: list[Node] = []
        self.tags = 0
        self.script: list[str] | None = None
        self.unseen = 0
        # One entry for each open tag: the item it began and the text property it gathers.
        self.open: list[tuple[dict[str, Any] | None, list[str] | None]] = []
        self.items: list[dict[str, Any]] = []
        self.texts: list[list[str]] = []
        self.ends: list[tuple[dict[str, Any], str] | None] = []

    def start(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Take a tag that opens."""
        self.tags += 1
        if self.tags > MOST_TAGS or len(self.open) > DEEPEST_TAG or len(self.texts) > MOST_OPEN:
            raise Refused("it holds too many tags, or is nested too deeply")
        if tag == "script" and "ld+json" in attributes.get("type", ""):
            self.script = []
        elif tag in _UNSEEN:
            self.unseen += 1
        self._breaks(tag)
        item = self._item(attributes)
        name = attributes.get("itemprop", "").strip()
        gathered: list[str] | None = None
        end: tuple[dict[str, Any], str] | None = None
        if name and self.items:
            value = self._value(tag, attributes)
            if item is not None:
                self._keep(self.items[-1], name, item)
            elif value is not None:
                self._keep(self.items[-1], name, value)
            else:
                gathered, end = [], (self.items[-1], name)
                self.texts.append(gathered)
        if item is not None:
            self.items.append(item)
        self.open.append((item, gathered))
        self.ends.append(end)

    def end(self, tag: str) -> None:
        """Take a tag that closes."""
        if not self.open:
            return
        if tag == "script" and self.script is not None:
            self.scripts.append("".join(self.script))
            self.script = None
        elif tag in _UNSEEN:
            self.unseen -= 1
        self._breaks(tag)
        item, gathered = self.open.pop()
        end = self.ends.pop()
        if gathered is not None and end is not None:
            self.texts.pop()
            self._keep(*end, "".join(gathered))
        if item is not None:
            self.items.pop()
            if "Recipe" in _types(item):
                self.recipes.append(item)

    def data(self, text: str) -> None:
        """Take text."""
        if self.script is not None:
            self.script.append(text)
        elif not self.unseen:
            for gathered in self.texts:
                # What begins a line in a page is its tags, not its line breaks.
                gathered.append(_BLANKS.sub(" ", text))

    def comment(self, text: str) -> None:
        """Take a remark: it says nothing."""

    def close(self) -> None:
        """Take the end of the page."""

    def _breaks(self, tag: str) -> None:
        if tag in _LINES:
            for gathered in self.texts:
                gathered.append("\n")

    @staticmethod
    def _item(attributes: Mapping[str, str]) -> dict[str, Any] | None:
        if "itemscope" not in attributes:
            return None
        return {"@type": attributes.get("itemtype", "").split()[:5]}

    @staticmethod
    def _value(tag: str, attributes: Mapping[str, str]) -> str | None:
        if "content" in attributes:
            return attributes["content"]
        return attributes.get(_LINKS[tag]) if tag in _LINKS else None

    @staticmethod
    def _keep(item: dict[str, Any], names: str, value: Any) -> None:
        for name in names.split()[:5]:
            if not name.startswith("@"):
                item.setdefault(name, []).append(value)
