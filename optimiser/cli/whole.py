"""Files written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from models.words.errors import InputError


def write_whole(path: Path, text: str) -> None:
    """Write a file so that either all of it is there or the old one still is.

    Parameters
    ----------
    path
        The file.
    text
        All of it; written as UTF-8 with line feeds.

    Raises
    ------
    InputError
        When it cannot be written; nothing has changed then.
    """
    try:
        with tempfile.NamedTemporaryFile(
            "w",
            encoding="utf-8",
            newline="\n",
            dir=path.parent,
            prefix=f".{path.name}.",
            delete=False,
        ) as stream:
            try:
                stream.write(text)
                stream.flush()
                os.fsync(stream.fileno())
                Path(stream.name).chmod(0o666 & ~_umask())
                Path(stream.name).replace(path)
            except BaseException:
                with contextlib.suppress(OSError):
                    Path(stream.name).unlink()
                raise
    except OSError as fault:
        raise InputError(
            str(path), f"it cannot be written ({fault.strerror})", "Name another file."
        ) from None


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
