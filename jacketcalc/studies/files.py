"""Files that appear whole or not at all, and studies as CSV, JSON and NetCDF."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterable
from pathlib import Path

_TEMPORARY = ".jacketcalc-"
"""How the names of unfinished files begin."""


def write_bytes(path: Path, data: bytes, *, force: bool = False) -> None:
    """Write beside the goal, then give the file its name.

    Raises
    ------
    FileExistsError
        When the file exists and `force` is not set.
    """
    handle, name = tempfile.mkstemp(prefix=_TEMPORARY, dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(name, 0o666 & ~mask)
        if force:
            os.replace(name, path)
        else:
            _link(name, path)
    finally:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(name)


def _link(name: str, path: Path) -> None:
    """Name a file without ever replacing another; where links are not known, look first."""
    try:
        os.link(name, path)
    except FileExistsError:
        raise
    except OSError:
        if os.path.lexists(path):
            raise FileExistsError(str(path)) from None
        os.replace(name, path)


def find_existing(folder: Path, stem: str, endings: Iterable[str]) -> list[str]:
    """Return which files of a study stand in a folder already, figures of any name among them."""
    found = [stem + ending for ending in endings if os.path.lexists(folder / (stem + ending))]
    figures = (file.name for form in ("png", "svg") for file in folder.glob(f"{stem}-*.{form}"))
    return [*found, *sorted(figures)]
