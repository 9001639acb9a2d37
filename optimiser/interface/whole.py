"""Files written whole or not at all, where they stood when the command began, and by one at a time.

A link stays a link and what it leads to is written; a file that is there keeps its mode.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import stat
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from models.words.errors import InputError
from optimiser import abrupt

# Room is left for the name of the file that is written first and then takes its place.
LONGEST_FILE_NAME = 200
PART = ".clearfridge-part"
"""How the name of a file ends that is not whole yet."""
HELD_BYTES, WAIT_SECONDS = 8_000_000, 5.0


@dataclass(frozen=True, slots=True)
class Target:
    """Where a file is to be written, and what stood there when that was decided.

    Attributes
    ----------
    name
        The file, as messages call it.
    path
        The file itself, behind all links.
    was
        Digest of what stood there; None where nothing did.
    """

    name: str
    path: Path
    was: str | None

    @property
    def there(self) -> bool:
        """Whether a file is there already."""
        return self.was is not None


def target(path: Path, cannot: str, *inputs: str) -> Target:
    """See that a file can be written, and hold what stands there.

    Parameters
    ----------
    path
        The file.
    cannot
        What to say where no file can be written.
    inputs
        What the command reads: none of it may be written over.

    Returns
    -------
    Target
        The file behind all links, with a digest of what stands there, if anything.

    Raises
    ------
    InputError
        When it is no ordinary file in a folder that is there, read-only, or one of the inputs.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     target(Path(folder) / "mine.yaml", "it cannot be written there").there
    False
    """
    try:
        # A name may be too long to ask about, and a link may lead in circles.
        good = path.parent.is_dir() and (path.is_file() or not (path.exists() or path.is_symlink()))
        good = good and len(path.name.encode()) <= LONGEST_FILE_NAME
        behind = path.resolve()
        was = _digest(behind) if good else None
    except (OSError, RuntimeError, ValueError):
        good = False
    if not good:
        raise InputError(str(path), cannot, "Name an ordinary file in a folder that is there.")
    if was is not None and not _may_write(behind):
        raise InputError(str(path), f"{cannot}: it is read-only", "Name another file.")
    if any(_is_same(name, behind) for name in inputs):
        what = "it is what the command reads, and would be lost"
        raise InputError(str(path), what, "Name another file to write.")
    return Target(str(path), behind, was)


def new_file(path: Path, cannot: str, *inputs: str, else_: str = "Name another file") -> Target:
    """See that a file can be written where nothing stands yet, as `target` does.

    Parameters
    ----------
    path
        The file.
    cannot
        What to say where no file can be written.
    inputs
        What the command reads.
    else_
        What to do where one is there.

    Returns
    -------
    Target
        The file behind all links; nothing stands there.

    Raises
    ------
    InputError
        When a file is there already, or none can be written.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     (Path(folder) / "mine.yaml").touch()
    ...     try:
    ...         new_file(Path(folder) / "mine.yaml", "it cannot be written there")
    ...     except InputError as fault:
    ...         print(fault.what)
    it is there already
    """
    held = target(path, cannot, *inputs)
    if held.there:
        raise InputError(held.name, "it is there already", f"{else_}; nothing was written.")
    return held


def plan_target(path: Path, *inputs: str) -> Target:
    """See that a plan can be written: over nothing but a plan.

    Parameters
    ----------
    path
        The file.
    inputs
        What the command reads.

    Returns
    -------
    Target
        As `target` gives it.

    Raises
    ------
    InputError
        When none can be written there, or something else stands there.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     plan_target(Path(folder) / "plan.json").there
    False
    """
    held = target(path, "a plan cannot be written there", *inputs)
    if held.there:
        from models.file.planfile import read_plan  # noqa: PLC0415

        try:
            read_plan(str(path))
        except InputError:
            raise InputError(
                str(path), "it is there already and is no plan", "Name another file for the plan."
            ) from None
    return held


def write_whole(held: Target, text: str | bytes) -> None:
    """Write a file so that either all of it is there or the old one still is.

    Parameters
    ----------
    held
        Where, and what stood there when the command began.
    text
        All of it; where it is text, written as UTF-8 with line feeds.

    Raises
    ------
    InputError
        When it cannot be written, or something else was written there meanwhile; nothing has
        changed then.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     held = target(Path(folder) / "mine.yaml", "it cannot be written there")
    ...     write_whole(held, "week: {}")
    ...     held.path.read_text()
    'week: {}'
    """
    data = text.encode() if isinstance(text, str) else text
    try:
        with _alone(held) as folder:
            if _digest(held.path) != held.was:
                what = "it was changed by something else while this command ran"
                raise InputError(held.name, what, "Nothing was written. Run the command again.")
            with abrupt.undisturbed():
                _replace(held.path, data)
            if folder is not None:
                # That the new name lasts through a power cut; the file is whole without it too.
                with contextlib.suppress(OSError):
                    os.fsync(folder)
    except OSError as fault:
        raise InputError(
            held.name, f"it cannot be written ({fault.strerror})", "Name another file."
        ) from None


def _replace(path: Path, data: bytes) -> None:
    mode = stat.S_IMODE(path.stat().st_mode) if path.exists() else 0o666 & ~_umask()
    handle, name = tempfile.mkstemp(PART, f".{path.name}.", path.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        part.chmod(mode)
        part.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink()
        raise


@contextlib.contextmanager
def _alone(held: Target) -> Iterator[int | None]:
    """Keep other runs from writing in the folder, and sweep what killed ones left there."""
    folder = _locked(held)
    try:
        if folder is not None:
            # Whoever holds the lock is alone: no other file here is still being written.
            for left in held.path.parent.glob(f".*{PART}"):
                with contextlib.suppress(OSError):
                    left.unlink()
        yield folder
    finally:
        if folder is not None:
            os.close(folder)


def _locked(held: Target) -> int | None:
    """Lock the folder; None where its file system has no locks."""
    try:
        import fcntl  # noqa: PLC0415 - not everywhere

        folder = os.open(held.path.parent, os.O_RDONLY)
    except (ImportError, OSError):
        return None
    ends = time.monotonic() + WAIT_SECONDS
    while True:
        try:
            fcntl.flock(folder, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > ends:
                os.close(folder)
                what = "something else is writing in this folder"
                raise InputError(held.name, what, "Nothing was written. Try again.") from None
            time.sleep(0.02)
        except OSError:
            os.close(folder)
            return None
        else:
            return folder


def _digest(path: Path) -> str | None:
    """Tell what stands in a file by its size and its first 8 MB; None where there is none."""
    try:
        with path.open("rb") as stream:
            size = os.fstat(stream.fileno()).st_size
            return f"{size} {hashlib.sha256(stream.read(HELD_BYTES)).hexdigest()}"
    except FileNotFoundError:
        return None


def _may_write(path: Path) -> bool:
    # The superuser may write everywhere; what nobody may write is meant to stay all the same.
    return os.access(path, os.W_OK) and bool(path.stat().st_mode & 0o222)


def _is_same(name: str, path: Path) -> bool:
    """Tell whether an input is the file that is to be written, whatever links lead to it."""
    with contextlib.suppress(OSError, ValueError):
        read = os.fstat(0) if name == "-" else Path(name).stat()
        return os.path.samestat(read, path.stat())
    return False


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
