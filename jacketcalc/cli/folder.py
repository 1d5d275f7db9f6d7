"""The folder of a study: checked, held by one run, and gone on with after a stop.

What a command needs until it is done stands in `unfinished`, in a folder of its own for this
command on this case: finished batches, and which results it has written. Nothing else is removed.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import re
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from jacketcalc.cli.lock import take_lock
from jacketcalc.cli.output import (
    CommandError,
    cannot,
    check_folder,
    check_packages,
    refuse_case,
    say,
)
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.inputs import Case
from jacketcalc.progress import WRITING, Tally
from jacketcalc.studies.files import find_existing, sweep_unfinished, write_bytes

UNFINISHED = "unfinished"
"""Folder inside the output folder for what is needed until the study is done."""
WRITTEN = "written.json"
"""File that names the results written so far."""
FORMAT = "jacketcalc-written-1"
"""Name and version of that file's format."""
_BATCH = re.compile(r"[0-9a-f]{32}\.json")

MakeFile = Callable[[], bytes]


@dataclass(frozen=True, kw_only=True)
class Folder:
    """A folder for the files of a study; keeps nothing when its name is empty."""

    path: str = ""
    stem: str = ""
    """How the names of its files begin."""
    force: bool = False
    """Whether files in it may be replaced."""
    own: str = ""
    """Name of this command's folder inside `unfinished`."""
    written: dict[str, str] = field(default_factory=dict)
    """Results that this command wrote before it was stopped, and their SHA-256."""

    @property
    def checkpoint(self) -> str:
        """Where finished batches are kept, empty when there is no folder."""
        return str(Path(self.path) / UNFINISHED / self.own) if self.path else ""

    def write(self, forms: Mapping[str, MakeFile]) -> None:
        """Write files by their endings, then drop what was kept for them.

        A file that cannot be made does not keep the others from being written.
        """
        if not self.path:
            return
        wrong: dict[str, Exception] = {}
        with ProgressLine(sys.stderr) as progress:
            tally = Tally(progress, len(forms), WRITING)
            for ending, make in forms.items():
                tally.part(1)
                file = f"{self.stem}{ending}"
                try:
                    data = make()
                except Exception as fault:
                    wrong[file] = fault
                    continue
                self.write_file(file, data)
        made = [name for name in (self.stem + ending for ending in forms) if name not in wrong]
        say(f"wrote {', '.join(made)} into {self.path}")
        if wrong:
            raise ExceptionGroup(f"not made: {', '.join(wrong)}", list(wrong.values()))
        self._drop()

    def write_file(self, file: str, data: bytes) -> None:
        """Write one file, once its digest is noted.

        Raises
        ------
        CommandError
            When a file stands there that this study did not write, or when there is no space.
        """
        name, ours = Path(self.path) / file, file in self.written
        self.written[file] = hashlib.sha256(data).hexdigest()
        note = json.dumps({"format": FORMAT, "files": self.written})
        try:
            Path(self.checkpoint).mkdir(parents=True, exist_ok=True)
            write_bytes(Path(self.checkpoint) / WRITTEN, note.encode(), force=True)
            write_bytes(name, data, force=self.force or ours)
        except FileExistsError:
            raise CommandError(f'"{name}" exists; it was left as it is') from None
        except OSError as fault:
            raise cannot(str(name), fault, "what is finished is kept") from None

    def _drop(self) -> None:
        folder = Path(self.checkpoint)
        with contextlib.suppress(OSError):
            for file in folder.iterdir():
                if _BATCH.fullmatch(file.name):
                    file.unlink()
            (folder / WRITTEN).unlink()


@contextmanager
def open_folder(
    path: str | None, stem: str, endings: list[str], *, force: bool, case: Case, asked: str
) -> Iterator[Folder]:
    """Check a folder before anything is computed, hold it, and clear up after.

    Parameters
    ----------
    path : name as given; None where no files are asked for
    stem : how the names of the files begin
    endings : how they end, figures apart
    force : whether files may be replaced
    case : the case that is studied; its file is never replaced
    asked : what is asked of it; the same command goes on from what it has left
    """
    if path is None:
        yield Folder()
        return
    own = hashlib.sha256("\n".join([stem, case.sha256, asked]).encode()).hexdigest()[:16]
    folder = Folder(path=path, stem=stem, force=force, own=f"{stem}-{own}")
    new = _check_place(folder)
    try:
        Path(folder.checkpoint).parent.mkdir(parents=True, exist_ok=True)
        lock = take_lock(Path(path) / UNFINISHED / f"{stem}.lock")
    except OSError as fault:
        raise cannot(path, fault) from None
    if lock is None:
        say(f'another run is writing {stem} into "{path}"; this one prints its result and writes '
            "no files")  # fmt: skip
        yield Folder()
        return
    try:
        Path(folder.checkpoint).mkdir(exist_ok=True)
        sweep_unfinished(path)
        sweep_unfinished(folder.checkpoint)
        folder.written.update(_left_by_us(folder))
        _check_files(folder, endings, case)
        yield folder
    except KeyboardInterrupt:
        if any(_BATCH.fullmatch(name) for name in os.listdir(folder.checkpoint)):
            say("finished batches are kept; the same command goes on from them")
        raise
    except BrokenPipeError:
        raise
    except OSError as fault:
        name = fault.filename if isinstance(fault.filename, str) else folder.checkpoint
        raise cannot(name, fault, "what is finished is kept") from None
    finally:
        lock.release()
        for empty in (Path(folder.checkpoint), Path(path) / UNFINISHED, *new):
            with contextlib.suppress(OSError):
                empty.rmdir()


def _check_place(folder: Folder) -> list[Path]:
    """Refuse a place that cannot take the files; return the folders that are to be made."""
    new = check_folder(folder.path)
    kept = Path(folder.path) / UNFINISHED
    if os.path.lexists(kept) and not kept.is_dir():
        raise CommandError(
            f'"{kept}" is a file, and a study keeps its finished batches in a folder of that '
            "name; rename the file, or name another folder"
        )
    check_packages(("matplotlib", "xlsxwriter"), "-o")
    return new


def _check_files(folder: Folder, endings: list[str], case: Case) -> None:
    """Refuse to replace the case, or what this command has not written itself."""
    there = find_existing(Path(folder.path), folder.stem, endings)
    for name in there:
        refuse_case(Path(folder.path) / name, case.file)
    strange = [name for name in there if name not in folder.written]
    if strange and not folder.force:
        raise CommandError(
            f'"{folder.path}" holds {", ".join(strange)}; they were left as they are: name '
            "another folder, or add --force"
        )


def _left_by_us(folder: Folder) -> dict[str, str]:
    """Return the results that this command wrote before it was stopped, unchanged since."""
    try:
        kept = json.loads((Path(folder.checkpoint) / WRITTEN).read_bytes())
        files = dict(kept["files"]) if kept["format"] == FORMAT else {}
    except (OSError, ValueError, KeyError, TypeError):
        return {}
    found = {}
    for name, digest in files.items():
        with contextlib.suppress(OSError):
            data = (Path(folder.path) / Path(name).name).read_bytes()
            if hashlib.sha256(data).hexdigest() == digest:
                found[name] = digest
    return found
