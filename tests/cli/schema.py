"""Enough of JSON Schema to hold a document against the schemas that the command prints.

Written out here, so that no package is needed; a keyword that is not known fails, so that
a schema cannot grow past what is checked.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

_SAID_ELSEWHERE = {"$schema", "$defs", "title", "description", "default", "examples"}
_TYPES: dict[str, tuple[type, ...]] = {
    "object": (dict,),
    "array": (list,),
    "string": (str,),
    "integer": (int,),
    "number": (int, float),
    "boolean": (bool,),
    "null": (type(None),),
}


def faults(data: Any, schema: Any, whole: Any = None, place: str = "") -> Iterator[str]:
    """Say where data does not keep to a schema."""
    whole = schema if whole is None else whole
    if schema is True:
        return
    for word, wanted in schema.items():
        if word in _SAID_ELSEWHERE:
            continue
        yield from _one(word, wanted, data, schema, whole, place)


def _one(word: str, wanted: Any, data: Any, schema: Any, whole: Any, place: str) -> Iterator[str]:
    if word == "$ref":
        yield from faults(data, whole["$defs"][wanted.removeprefix("#/$defs/")], whole, place)
    elif word == "anyOf":
        if all(any(True for _ in faults(data, schema, whole, place)) for schema in wanted):
            yield f"{place}: {data!r} is none of {wanted}"
    elif word in _PARTS:
        yield from _PARTS[word](wanted, data, schema, whole, place)
    elif not _KEPT[word](data, wanted):
        yield f"{place}: {data!r} is not {word} {wanted!r}"


def _properties(wanted: Any, data: Any, _: Any, whole: Any, place: str) -> Iterator[str]:
    for key, schema in wanted.items():
        if isinstance(data, dict) and key in data:
            yield from faults(data[key], schema, whole, f"{place}/{key}")


def _others(wanted: Any, data: Any, schema: Any, whole: Any, place: str) -> Iterator[str]:
    if isinstance(data, dict):
        for key in data.keys() - schema.get("properties", {}).keys():
            if wanted is False:
                yield f"{place}: unknown key {key!r}"
            else:
                yield from faults(data[key], wanted, whole, f"{place}/{key}")


def _names(wanted: Any, data: Any, _: Any, whole: Any, place: str) -> Iterator[str]:
    for key in data if isinstance(data, dict) else ():
        yield from faults(key, wanted, whole, f"{place}/{key}")


def _items(wanted: Any, data: Any, _: Any, whole: Any, place: str) -> Iterator[str]:
    for at, entry in enumerate(data if isinstance(data, list) else ()):
        yield from faults(entry, wanted, whole, f"{place}/{at}")


_PARTS: dict[str, Callable[[Any, Any, Any, Any, str], Iterator[str]]] = {
    "properties": _properties,
    "additionalProperties": _others,
    "propertyNames": _names,
    "items": _items,
}


def _is_type(data: Any, wanted: str) -> bool:
    if isinstance(data, bool):
        return wanted == "boolean"
    if wanted == "integer" and isinstance(data, float):
        return data.is_integer()
    return isinstance(data, _TYPES[wanted])


def _is_format(data: Any, wanted: str) -> bool:
    assert wanted == "date"
    return isinstance(data, str) and date.fromisoformat(data).isoformat() == data


_KEPT: dict[str, Callable[[Any, Any], bool]] = {
    "type": _is_type,
    "format": _is_format,
    "enum": lambda data, wanted: data in wanted,
    "const": lambda data, wanted: data == wanted,
    "required": lambda data, wanted: not isinstance(data, dict) or set(wanted) <= data.keys(),
    "pattern": lambda data, wanted: not isinstance(data, str) or bool(re.search(wanted, data)),
    "minimum": lambda data, wanted: isinstance(data, str) or data >= wanted,
    "maximum": lambda data, wanted: isinstance(data, str) or data <= wanted,
    "minLength": lambda data, wanted: not isinstance(data, str) or len(data) >= wanted,
    "maxLength": lambda data, wanted: not isinstance(data, str) or len(data) <= wanted,
    "minItems": lambda data, wanted: not isinstance(data, list) or len(data) >= wanted,
    "maxItems": lambda data, wanted: not isinstance(data, list) or len(data) <= wanted,
    "minProperties": lambda data, wanted: not isinstance(data, dict) or len(data) >= wanted,
    "maxProperties": lambda data, wanted: not isinstance(data, dict) or len(data) <= wanted,
}
