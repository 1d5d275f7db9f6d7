"""Where results go: standard output, or a file that appears whole or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

import click


class CommandError(click.ClickException):
    """A command that cannot be done as given; the message says what to change."""

    exit_code = 2


@dataclass(frozen=True, kw_only=True)
class Target:
    """A checked place for a result."""

    path: str
    """File, links resolved; empty for standard output."""
    shown: str
    """The name as given."""
    force: bool | None
    """Whether an existing file may be replaced; None where the command cannot be told to."""

    @property
    def is_stdout(self) -> bool:
        """Whether the result goes to standard output."""
        return not self.path

    def write(self, text: str) -> None:
        """Write a result, and say where it went when that is a file.

        Raises
        ------
        CommandError
            When the file has appeared meanwhile, or cannot be written.
        """
        if self.is_stdout:
            write_out(text)
            return
        from jacketcalc.studies.files import write_bytes

        try:
            write_bytes(Path(self.path), text.encode("utf-8", "replace"), force=bool(self.force))
        except FileExistsError:
            raise exists(self.shown, self.force) from None
        except OSError as fault:
            raise cannot(self.shown, fault) from None
        say(f"wrote {self.shown}")


def check_target(path: str | None, *, force: bool | None = None, keep: str = "") -> Target:
    """Refuse a place that cannot take a result, before anything is computed.

    Parameters
    ----------
    path : file name as given; None or `-` for standard output
    force : whether an existing file may be replaced; None where the command never replaces one
    keep : a file that must not be replaced, such as the case itself

    Raises
    ------
    CommandError
        When the place is no file, cannot be written, is the case itself, or must not be
        replaced.
    """
    if path is None or path == "-":
        return Target(path="", shown="-", force=force)
    if not path:
        raise CommandError("the name of the output file is empty")
    real = os.path.realpath(path)
    try:
        _check_place(path, real, force, keep)
    except OSError as fault:
        raise cannot(path, fault) from None
    return Target(path=real, shown=path, force=force)


def _check_place(path: str, real: str, force: bool | None, keep: str) -> None:
    folder = os.path.dirname(real)
    if os.path.isdir(real) or path.endswith(("/", os.sep)):
        raise CommandError(f'"{path}" is a directory, not a file')
    if not os.path.isdir(folder):
        raise CommandError(f'there is no directory "{os.path.dirname(path)}" to write into')
    from jacketcalc.studies.files import file_mode, new_file, sweep_unfinished

    mode = file_mode(real)
    if mode is not None and not stat.S_ISREG(mode):
        return
    refuse_case(real, keep)
    if mode is not None and not force:
        raise exists(path, force)
    sweep_unfinished(folder)
    handle, probe = new_file(folder)
    os.close(handle)
    os.unlink(probe)


def exists(path: str, force: bool | None) -> CommandError:
    """Say that a file stands already; `force` None where the command cannot be told to replace."""
    way = "name another file" if force is None else "name another file, or add --force"
    return CommandError(f'"{path}" exists; it was left as it is: {way}')


def cannot(name: str, fault: OSError, kept: str = "") -> CommandError:
    """Say that a file cannot be written, and what to do."""
    cure = f"; {kept}: make space, then give the same command again" if kept else ""
    return CommandError(f'"{name}" cannot be written: {_reason(fault)}{cure}')


def refuse_case(goal: str | Path, case: str) -> None:
    """Refuse to replace the case itself, even where files may be replaced.

    Raises
    ------
    CommandError
        When the two are one file.
    """
    with contextlib.suppress(OSError, ValueError):
        if os.path.samefile(goal, case):
            raise CommandError(f'"{goal}" is the case itself; name another file or folder')


def check_folder(path: str) -> list[Path]:
    """Refuse a folder that cannot take files; return the folders that are to be made.

    Raises
    ------
    CommandError
        When it has no name, is a file, or cannot be written into.
    """
    if not path:
        raise CommandError("the name of the output folder is empty")
    new, above = [], Path(path).absolute()
    while not above.exists():
        new.append(above)
        above = above.parent
    if not above.is_dir():
        raise CommandError(f'"{above if new else path}" is a file, not a folder')
    if not os.access(above, os.W_OK):
        raise CommandError(f'"{path}" cannot be written into')
    return new


def check_packages(needed: Sequence[str], what: str) -> None:
    """Refuse what cannot be done without packages that are not there.

    Raises
    ------
    CommandError
        When one is not installed; the message names it.
    """
    missing = [name for name in needed if find_spec(name) is None]
    if missing:
        raise CommandError(
            f"{what} needs {' and '.join(missing)}; pip install jacketcalc brings them"
        )


def _reason(fault: OSError) -> str:
    return (fault.strerror or str(fault)).lower()


def write_out(text: str) -> None:
    """Write to standard output.

    Raises
    ------
    BrokenPipeError
        When the reader has gone.
    CommandError
        When it takes nothing.
    """
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as fault:
        raise unwritable(fault) from None


def unwritable(fault: OSError) -> CommandError:
    """Return the refusal of a standard output that takes nothing; what it holds is dropped."""
    silence()
    return CommandError(f"standard output cannot be written: {_reason(fault)}")


def say(text: str) -> None:
    """Write a line to standard error."""
    sys.stderr.write(f"{text}\n")
    sys.stderr.flush()


def silence() -> None:
    """Send what is still buffered for standard output nowhere, so that leaving is quiet."""
    null = os.open(os.devnull, os.O_WRONLY)
    with contextlib.suppress(OSError, ValueError):
        os.dup2(null, sys.stdout.fileno())
    os.close(null)
