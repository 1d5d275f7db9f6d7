"""Where results go: standard output, or a file that appears whole or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
import sys
from dataclasses import dataclass

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
        """Write a result, and say where it went when that is a file."""
        if self.is_stdout:
            write_out(text)
            return
        try:
            _write_file(self.path, text.encode("utf-8", "replace"), bool(self.force))
        except FileExistsError:
            raise _exists(self.shown, self.force) from None
        except OSError as fault:
            raise CommandError(f'"{self.shown}" cannot be written: {_reason(fault)}') from None
        say(f"wrote {self.shown}")


def check_target(path: str | None, *, force: bool | None = None, keep: str = "") -> Target:
    """Refuse a place that cannot take a result, before anything is computed.

    Parameters
    ----------
    path : file name as given; None or `-` for standard output
    force : whether an existing file may be replaced; None where the command never replaces one
    keep : a file that must not be replaced, such as the case itself
    """
    if path is None or path == "-":
        return Target(path="", shown="-", force=force)
    if not path:
        raise CommandError("the name of the output file is empty")
    real = os.path.realpath(path)
    try:
        _check_place(path, real, force, keep)
    except OSError as fault:
        raise CommandError(f'"{path}" cannot be written: {_reason(fault)}') from None
    return Target(path=real, shown=path, force=force)


def _check_place(path: str, real: str, force: bool | None, keep: str) -> None:
    folder = os.path.dirname(real)
    if os.path.isdir(real) or path.endswith(("/", os.sep)):
        raise CommandError(f'"{path}" is a directory, not a file')
    if not os.path.isdir(folder):
        raise CommandError(f'there is no directory "{os.path.dirname(path)}" to write into')
    mode = _mode(real)
    if mode is not None and not stat.S_ISREG(mode):
        return
    if mode is not None and os.path.exists(keep) and os.path.samefile(real, keep):
        raise CommandError(f'"{path}" is the case itself; name another file')
    if mode is not None and not force:
        raise _exists(path, force)
    from jacketcalc.studies.files import new_file, sweep_unfinished

    sweep_unfinished(folder)
    handle, probe = new_file(folder)
    os.close(handle)
    os.unlink(probe)


def _exists(path: str, force: bool | None) -> CommandError:
    way = "name another file" if force is None else "name another file, or add --force"
    return CommandError(f'"{path}" exists; it was left as it is: {way}')


def _mode(path: str) -> int | None:
    """Return the kind and permissions of a file, None where there is none."""
    try:
        return os.stat(path).st_mode
    except FileNotFoundError:
        return None


def _write_file(path: str, data: bytes, force: bool) -> None:
    """Write beside the goal and rename, so that only a whole file ever bears its name."""
    mode = _mode(path)
    if mode is not None and not stat.S_ISREG(mode):
        with open(path, "wb") as stream:
            stream.write(data)
        return
    from jacketcalc.studies.files import new_file

    handle, name = new_file(os.path.dirname(path))
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(name, _permissions(mode))
        _put(name, path, force)
    finally:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(name)


def _permissions(mode: int | None) -> int:
    """Return the permissions of the file replaced, or those any new file gets."""
    if mode is not None:
        return stat.S_IMODE(mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _put(name: str, path: str, force: bool) -> None:
    """Give a finished file its name; a hard link never replaces what came in between."""
    if force:
        os.replace(name, path)
        return
    try:
        os.link(name, path)
    except FileExistsError:
        raise
    except OSError:
        if os.path.lexists(path):
            raise FileExistsError(path) from None
        os.replace(name, path)


def _reason(fault: OSError) -> str:
    return (fault.strerror or str(fault)).lower()


def write_out(text: str) -> None:
    """Write to standard output; a reader that has gone raises `BrokenPipeError`."""
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
