"""What a person meant where a text is no YAML: the line as it should stand.

Each way to write a line anew is tried, and the one taken with which reading gets furthest. Of
equals the commonest slip is taken; a change of indentation, which mends too much, comes last.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

LONGEST_TRIED = 60_000
"""Letters of a file beyond which no line is tried anew: each trial reads all of it."""
_REACH = 3
"""Lines above the place where reading stopped that may be at fault."""


@dataclass(frozen=True, slots=True)
class Slip:
    """A line that is no YAML, and how it was meant.

    Attributes
    ----------
    line
        Its number, from 1.
    written
        The whole line as it should stand.
    """

    line: int
    what: str
    written: str

    @property
    def mend(self) -> str:
        """What to write instead; the blanks before it where they are what is wrong."""
        if self.what in (INDENT, TAB):
            blanks = len(self.written) - len(self.written.lstrip())
            return f"Write {blanks} spaces before {self.written.strip()!r}."
        return f"Write '{self.written.strip()}'."


_COLON = "a colon is missing behind the key"
INDENT = "the indentation fits no line around it"
TAB = "a tab indents this line; YAML takes spaces"
FailsAt = Callable[[str], "int | None"]
"""Says on which line, from 1, reading a text stops; None where it is YAML."""


def meant(text: str, line: int, opened: int | None, fails_at: FailsAt) -> Slip | None:
    r"""Find the line near a fault that was meant otherwise.

    Parameters
    ----------
    text
        The whole file.
    line, opened
        Where reading stopped, and where what it was in had begun; from 1.
    fails_at
        Says where reading another text stops.

    Returns
    -------
    The slip, or None where no way to write a line anew helps.

    Examples
    --------
    >>> slip = meant("batches:\n  stew\n    yield: 4 portions\n", 3, None, lambda text: None)
    >>> slip.line, slip.mend
    (2, "Write 'stew:'.")
    """
    lines = text.splitlines()
    near = [*range(line - 1, line - 2 - _REACH, -1), *([] if opened is None else [opened - 1])]
    several = any(line.rstrip() in ("---", "...") for line in lines[1:])
    if len(text) > LONGEST_TRIED or several:
        return None
    best: Slip | None = None
    furthest = fails_at(text) or line
    for ways in _WAYS:
        for at in dict.fromkeys(near):
            if not 0 <= at < len(lines):
                continue
            for what, written in ways(lines, at):
                stops = fails_at("\n".join([*lines[:at], written, *lines[at + 1 :]]) + "\n")
                if stops is None:
                    return Slip(at + 1, what, written)
                if stops > furthest:
                    best, furthest = Slip(at + 1, what, written), stops
    return best


def indents(lines: list[str], at: int) -> Iterator[str]:
    """Give the indentations that would fit a line, by the lines around it.

    Parameters
    ----------
    lines
        The lines of the file.
    at
        The line, from 0.

    Returns
    -------
    Blanks, the likeliest first, each once; never its own, and none with a tab.

    Examples
    --------
    >>> [len(blank) for blank in indents(["a:", " b: 1", "  c: 2"], 1)]
    [2, 4, 0]
    """
    before = next((line for line in reversed(lines[:at]) if line.strip()), "")
    after = next((line for line in lines[at + 1 :] if line.strip()), "")
    own, last, next_ = _blank(lines[at]), _blank(before), _blank(after)
    further = (next_ if len(next_) > len(last) else f"{last}  ", f"{last}  ", f"{last}    ")
    heads = before.partition(" #")[0].rstrip().endswith(":")
    opens = lines[at].partition(" #")[0].rstrip().endswith(":") and len(next_) > 1
    fit = (*further, last) if heads else (last, next_, *further)
    fit = (next_[:-2], *fit) if opens else fit
    yield from (blank for blank in dict.fromkeys(fit) if blank != own and "\t" not in blank)


def _blank(line: str) -> str:
    return line[: len(line) - len(line.lstrip())]


def _colon(lines: list[str], at: int) -> Iterator[tuple[str, str]]:
    bare = re.fullmatch(
        r"(\s*)([A-Za-z][A-Za-z0-9_' -]{0,59}?|[A-Za-z_]+ [^:=#\"'{}\[\]]{1,59}?)\s*(#.*)?",
        lines[at],
    )
    if bare is None:
        return
    below = next((line for line in lines[at + 1 :] if line.strip()), "")
    if len(_blank(below)) > len(bare[1]):
        yield _COLON, f"{bare[1]}{bare[2]}:"
    key, _, value = bare[2].partition(" ")
    if value:
        yield _COLON, f"{bare[1]}{key}: {value.strip()}"


def _spaced(lines: list[str], at: int) -> Iterator[tuple[str, str]]:
    line = lines[at]
    if key := re.fullmatch(r"(\s*(?:- )?[A-Za-z][\w' -]*?):([^\s:/].*)", line):
        yield "a space is missing behind the colon", f"{key[1]}: {key[2]}"
    if key := re.fullmatch(r"(\s*(?:- )?[A-Za-z][\w' -]*?)\s*=\s*(\S.*)", line):
        yield "'=' stands where a colon belongs", f"{key[1]}: {key[2]}"
    if value := re.search(r": [>@%`|]+\s*(?=[\w.])", line):
        yield "a sign stands before the value", f"{line[: value.start()]}: {line[value.end() :]}"
    if item := re.fullmatch(r"(\s*)(?:[–—•·▪*]\s*)?([^\W_].*)", line):
        beside = (lines[at - 1] if at else "", *lines[at + 1 : at + 2])
        if any(other.startswith(f"{item[1]}- ") for other in beside):
            yield "a dash is missing before this line", f"{item[1]}- {item[2]}"
    if item := re.fullmatch(r"(\s*)-([^\s-].*)", line):
        yield "a space is missing behind the dash", f"{item[1]}- {item[2]}"


def _quoted(lines: list[str], at: int) -> Iterator[tuple[str, str]]:
    line = lines[at].rstrip()
    for quote in ('"', "'"):
        if line.count(quote) % 2:
            what = "a quotation mark is not closed"
            if line.endswith(":"):
                yield what, f"{line[:-1]}{quote}:"
            yield what, f"{line}{quote}"
            yield what, line.replace(quote, "", 1)


def _closed(lines: list[str], at: int) -> Iterator[tuple[str, str]]:
    line = lines[at].rstrip()
    for opens, closes in ("[]", "{}"):
        if line.count(opens) > line.count(closes):
            what = f"'{opens}' is not closed"
            key = re.search(r",\s*[A-Za-z_]+:", line[line.rindex(opens) :])
            if key is not None:
                end = line.rindex(opens) + key.start()
                yield what, line[:end] + closes + line[end:]
            yield what, line + closes
            for end in reversed([match.start() for match in re.finditer(r"[\]},]", line)]):
                yield what, line[:end] + closes + line[end:]
        elif line.count(opens) < line.count(closes):
            last = line.rindex(closes)
            yield f"'{closes}' closes nothing", line[:last] + line[last + 1 :]
            blank = _blank(line)
            yield f"'{opens}' is missing", f"{blank}{opens}{line.strip()}"


def _parted(lines: list[str], at: int) -> Iterator[tuple[str, str]]:
    for key in re.finditer(r"(: [^,:{}\[\]]*[^,:{}\[\]\s]) +(?=[a-z_]+: )", lines[at]):
        what = "a comma is missing before the next key"
        yield what, f"{lines[at][: key.end(1)]}, {lines[at][key.end() :]}"


def _braced(lines: list[str], at: int) -> Iterator[tuple[str, str]]:
    line, remark, more = lines[at].partition(" #")
    if several := re.fullmatch(r"(\s*(?:- |[\w' -]+: ))([\w' -]+: .*\S)\s*", line):
        what = "braces are missing around what stands on one line"
        yield what, f"{several[1]}{{{several[2]}}}{remark}{more}"


def _headed(lines: list[str], at: int) -> Iterator[tuple[str, str]]:
    name = re.fullmatch(r"(\s*)([\w' -]+:) [^#]*", lines[at])
    below = [line for line in lines[at + 1 : at + 4] if line.strip()][:2]
    # A line like no other, and one line alone that stands further in, more likely stand wrong.
    others = {_blank(line) for line in (*lines[:at], *lines[at + 1 :])}
    further = len(below) == 2 and all(len(_blank(line)) > len(name[1]) for line in below if name)
    # Behind a head that nothing stands below it is what belongs there.
    headed = at > 0 and re.fullmatch(r"(\s*)[^#]*:\s*", lines[at - 1])
    below_head = bool(headed and name and headed[1] == name[1])
    if name and further and name[1] in others and not below_head:
        yield "a value stands before what belongs to it", f"{name[1]}{name[2]}"


def _undashed(lines: list[str], at: int) -> Iterator[tuple[str, str]]:
    if name := re.fullmatch(r"(\s*)- ([\w' -]+:.*)", lines[at]):
        yield "a dash stands before a name", f"{name[1]}{name[2]}"


def _indented(lines: list[str], at: int) -> Iterator[tuple[str, str]]:
    if re.match(r"\s*(- |[\w\"'])", lines[at]):
        for blank in indents(lines, at):
            yield TAB if "\t" in _blank(lines[at]) else INDENT, blank + lines[at].lstrip()


_WAYS = (
    *(_colon, _spaced, _quoted, _closed, _parted, _braced),
    *(_undashed, _headed, _indented),
)
"""In which a line is tried anew, the commonest slips first."""
