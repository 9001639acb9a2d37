"""A stranger's text: read whole or not at all, quoted in messages, kept to what can be printed."""

from __future__ import annotations

import re
import sys
import unicodedata
from contextlib import suppress
from pathlib import Path

from models.words.errors import InputError, Where

LARGEST_BYTES = 80_000
LONGEST_NAME = 60
LONGEST_TEXT = 300

# Control characters, half characters, private use, what breaks a line, what nobody sees.
_UNPRINTABLE = frozenset({"Cc", "Cf", "Cs", "Co", "Zl", "Zp"})
_JOINERS = "\u200c\u200d"
"""Unseen, but part of the writing of some scripts and of emoji: never after an ASCII letter."""


def trimmed(text: str) -> str:
    r"""Take the blanks from around a text.

    Parameters
    ----------
    text
        A text.

    Returns
    -------
    Without spaces, tabs and line ends at its ends; those inside stay, and other blanks too.

    Examples
    --------
    >>> trimmed(" 2026-11-29\n")
    '2026-11-29'
    """
    return text.strip(" \t\r\n")


def is_printable(letter: str) -> bool:
    r"""Tell whether a character may stand in a name: none unseen, none that moves others.

    Parameters
    ----------
    letter
        One character.

    Returns
    -------
    True for what joins letters, though it is unseen: scripts need it within a word.

    Examples
    --------
    >>> is_printable("ä"), is_printable("\u202e")
    (True, False)
    """
    return unicodedata.category(letter) not in _UNPRINTABLE or letter in _JOINERS


def unprintable(text: str, kind: str = "text") -> str:
    r"""Name the character that may not stand in a text, with its code; nothing where all may.

    Parameters
    ----------
    text
        The text.
    kind
        What to call it.

    Returns
    -------
    The end of a sentence, about the first such character.

    Examples
    --------
    >>> unprintable("so\u202eup", "name")
    'an unseen character is in this name (U+202E)'
    >>> unprintable("soup")
    ''
    """
    if text.isprintable():
        return ""
    for before, letter in zip(" " + text, text, strict=False):
        if not is_printable(letter) or (letter in _JOINERS and before.isascii()):
            unseen = unicodedata.category(letter) == "Cf"
            what = "an unseen character" if unseen else "a control character"
            return f"{what} is in this {kind} (U+{ord(letter):04X})"
    return ""


# Letters that are written from right to left, by their blocks of Unicode; with them the joiners.
_LEFTWARD = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff"
_WORD = f"[{_LEFTWARD}][{_LEFTWARD}{_JOINERS}]*"
ISOLATES = "\u2068\u2069"
"""Begin and end what has a direction of its own (Unicode Standard Annex 9)."""
# What is isolated already, or else words of one name: no comma, number or bracket between them.
_NAME = re.compile(
    f"\u2068[^\u2069]*\u2069|({_WORD}(?:(?: |[-/&'\u2019\u2013.]| [-/&\u2013] ){_WORD})*)"
)


def isolated(text: str) -> str:
    r"""Keep words that run from right to left from turning what stands beside them.

    Parameters
    ----------
    text
        What is printed.

    Returns
    -------
    Each such run between two isolates; plain ASCII as it is.

    Examples
    --------
    >>> ascii(isolated("20 g \u05ea\u05d4, 2 plums"))
    "'20 g \\u2068\\u05ea\\u05d4\\u2069, 2 plums'"
    """
    if text.isascii():
        return text
    return _NAME.sub(
        lambda name: f"{ISOLATES[0]}{name[1]}{ISOLATES[1]}" if name[1] else name[0], text
    )


def quoted(text: str) -> str:
    r"""Quote a stranger's text for a message: escaped, 40 characters at the most.

    Parameters
    ----------
    text
        A stranger's text.

    Returns
    -------
    Between quotes, one line; 37 letters and "..." of what is longer.

    Examples
    --------
    >>> quoted("a\tb")
    "'a\\tb'"
    """
    return repr(text if len(text) <= 40 else text[:37] + "...")


def read_text(
    file: str,
    largest: int = LARGEST_BYTES,
    mend: str = "Name a week file.",
    *,
    any_encoding: bool = False,
) -> tuple[str, str]:
    """Read a file, or standard input for "-"; give its name and its text.

    Parameters
    ----------
    file
        Its path, or "-".
    largest
        Bytes it may have at the most.
    mend
        What to do where it is no file.
    any_encoding
        True where text that is no UTF-8 is taken for UTF-16, by its mark, or for Windows-1252,
        as browsers do (WHATWG Encoding Standard, from memory).

    Returns
    -------
    tuple of str and str
        Name and text.

    Raises
    ------
    InputError
        When it is missing, a directory, too large or not UTF-8.

    Examples
    --------
    >>> from importlib.resources import files
    >>> name, text = read_text(str(files("scenarios") / "starter.yaml"))
    >>> "batches:" in text
    True
    """
    if file == "-":
        data = sys.stdin.buffer.read(largest + 1)
        return "standard input", _decode("standard input", data, largest, any_encoding)
    path = Path(file)
    try:
        if path.is_dir():
            raise InputError(file, "this is a directory", mend)
        if not path.is_file() and path.exists():
            raise InputError(file, "this is not an ordinary file", mend)
        with path.open("rb") as stream:
            data = stream.read(largest + 1)
    except (FileNotFoundError, NotADirectoryError):
        raise InputError(
            file, "there is no such file", "Check the name, or start one: clearfridge new FILE"
        ) from None
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise InputError(file, f"it cannot be read ({reason})", "Check its permissions.") from None
    return file, _decode(file, data, largest, any_encoding)


AN_ANSWER = b'"format": "clearfridge '
"""How a saved plan, and all else that a command answers as JSON, tells what it is."""


def no_week(source: str) -> InputError:
    """Say of an answer of this program that it is no week file.

    Parameters
    ----------
    source
        Name of the file.

    Returns
    -------
    InputError
        To be raised.

    Examples
    --------
    >>> print(no_week("plan.json"))
    plan.json: it is a saved plan or another answer, and no week file
    Name the week file that it was made from.
    """
    what = "it is a saved plan or another answer, and no week file"
    return InputError(source, what, "Name the week file that it was made from.")


_NO_TEXT = {
    b"%PDF": "a PDF",
    b"PK\x03\x04": "a zip archive or a word processor's file",
    b"\x1f\x8b": "compressed by gzip",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
}
"""How files begin that are often named by mistake."""


def _decode(source: str, data: bytes, largest: int, any_encoding: bool) -> str:
    if len(data) > largest:
        if AN_ANSWER in data[:400]:
            raise no_week(source)
        raise InputError(
            source,
            f"it is larger than {largest // 1000} kB",
            "That is too large; check that this is the file you mean.",
        )
    for begins, kind in _NO_TEXT.items():
        if data.startswith(begins):
            what = f"it is {kind}, and no text"
            raise InputError(source, what, "Copy what it says into a text file, and name that.")
    try:
        if any_encoding and data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            return data.decode("utf-16")
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        if any_encoding and b"\0" not in data:
            with suppress(UnicodeDecodeError):
                return data.decode("windows-1252")
        line = data.count(b"\n", 0, fault.start) + 1
        raise InputError(
            Where(source, line), "it is not UTF-8 text", "Save it as UTF-8 and try again."
        ) from None
