"""Files that appear whole or not at all; unfinished ones of dead runs are swept."""

from __future__ import annotations

import contextlib
import hashlib
import os
import platform
import re
import stat
import tempfile
from collections.abc import Iterable
from pathlib import Path

_TEMPORARY = ".jacketcalc-"
"""How the names of unfinished files begin; host and process of the run that writes them follow."""
_UNFINISHED = re.compile(r"\.jacketcalc-([0-9a-f]{8})-(\d{1,10})-\w{8}")


def host_mark() -> str:
    """Return what tells this host from others in the name of a file."""
    return hashlib.sha256(platform.node().encode()).hexdigest()[:8]


def new_file(folder: str | Path) -> tuple[int, str]:
    """Return a new file, open, under a name that nobody has."""
    return tempfile.mkstemp(prefix=f"{_TEMPORARY}{host_mark()}-{os.getpid()}-", dir=folder)


def sweep_unfinished(folder: str | Path) -> None:
    """Remove the unfinished files of runs of this host that are no more."""
    with contextlib.suppress(OSError):
        for entry in list(os.scandir(folder)):
            match = _UNFINISHED.fullmatch(entry.name)
            if match and match.group(1) == host_mark() and not _is_alive(int(match.group(2))):
                with contextlib.suppress(OSError):
                    os.unlink(entry.path)


def _is_alive(process: int) -> bool:
    """Return whether a process runs; true where that cannot be told."""
    if os.name != "posix":
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


def write_bytes(path: Path, data: bytes, *, force: bool = False) -> None:
    """Write beside the goal, then give the file its name and the permissions of the one before.

    What is no regular file, such as a pipe, is written to as it is.

    Raises
    ------
    FileExistsError
        When the file exists and `force` is not set.
    """
    mode = file_mode(path)
    if mode is not None and not stat.S_ISREG(mode):
        path.write_bytes(data)
        return
    handle, name = new_file(path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(name, _permissions(mode))
        if force:
            os.replace(name, path)
        else:
            _link(name, path)
    finally:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(name)


def file_mode(path: str | Path) -> int | None:
    """Return the kind and permissions of a file, None where there is none."""
    try:
        return os.stat(path).st_mode
    except FileNotFoundError:
        return None


def _permissions(mode: int | None) -> int:
    """Return the permissions of the file replaced, or those any new file gets."""
    if mode is not None:
        return stat.S_IMODE(mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


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
