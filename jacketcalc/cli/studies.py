"""What the commands that solve many machines share: options, processes, progress, folders."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.output import CommandError, say
from jacketcalc.cli.progress import Progress
from jacketcalc.cli.settings import Command
from jacketcalc.progress import WRITING, Tally

if TYPE_CHECKING:
    from jacketcalc.inputs import Case
    from jacketcalc.studies.axes import Axis
    from jacketcalc.studies.limits import Limits
    from jacketcalc.studies.table import Table

UNFINISHED = "unfinished"
"""Folder inside the output folder that keeps finished batches until the study is done."""

Make = Callable[[], bytes]


def study_options(function: Command) -> Command:
    """Add the options of every study."""
    for option in (
        click.option("--processes", metavar="N", type=click.IntRange(1, 512),
                     help="Processes for large studies; one for each core when not given."),
        click.option("--force", is_flag=True, help="Replace files that are in FOLDER."),
        click.option("-o", "--output", metavar="FOLDER", type=click.Path(file_okay=False),
                     help="Write tables and figures into FOLDER; an interrupted study goes on "
                     "from what it has left there."),
        click.option("--json", "as_json", is_flag=True, help="Print one JSON object in SI units."),
    ):  # fmt: skip
        function = option(function)
    return function


def pool(designs: int, processes: int | None) -> AbstractContextManager[Executor | None]:
    """Return processes for a study of so many designs, none where one does as well."""
    from jacketcalc.studies.sweep import WORTH_TWO, split
    from jacketcalc.studies.workers import Workers

    count = min(processes or os.cpu_count() or 1, len(split(designs)))
    if count < 2 or designs < WORTH_TWO:
        return nullcontext(None)
    return Workers(count)


@dataclass(frozen=True, kw_only=True)
class Folder:
    """A checked folder for the files of a study; keeps nothing when its name is empty."""

    path: str
    stem: str
    """How the names of its files begin."""
    force: bool
    """Whether files in it may be replaced."""

    @property
    def checkpoint(self) -> str:
        """Where finished batches are kept, empty when there is no folder."""
        return str(Path(self.path) / UNFINISHED) if self.path else ""

    @contextmanager
    def keeping(self) -> Iterator[None]:
        """Keep finished batches while a study runs, and say so when it is interrupted."""
        if self.path:
            try:
                os.makedirs(self.path, exist_ok=True)
            except OSError as fault:
                raise _cannot(self.path, fault) from None
        try:
            yield
        except KeyboardInterrupt:
            if self.path and os.path.isdir(self.checkpoint):
                say("finished batches are kept; the same command goes on from them")
            raise

    def write(self, forms: dict[str, Make]) -> None:
        """Write files by their endings, then drop the batches that led to them."""
        if not self.path:
            return
        with Progress(sys.stderr) as progress:
            tally = Tally(progress, len(forms), WRITING)
            for ending, make in forms.items():
                tally.part(1)
                self._write(f"{self.stem}{ending}", make)
        self._drop()
        say(f"wrote {', '.join(self.stem + ending for ending in forms)} into {self.path}")

    def _write(self, file: str, make: Make) -> None:
        from jacketcalc.studies.files import write_bytes

        name = Path(self.path) / file
        try:
            write_bytes(name, make(), force=self.force)
        except FileExistsError:
            raise CommandError(f'"{name}" exists; it was left as it is') from None
        except OSError as fault:
            raise _cannot(str(name), fault) from None

    def _drop(self) -> None:
        folder = Path(self.checkpoint)
        for file in folder.glob("*.json"):
            file.unlink()
        with contextlib.suppress(OSError):
            folder.rmdir()


def check_folder(path: str | None, stem: str, endings: list[str], force: bool) -> Folder:
    """Refuse a folder that cannot take the files of a study, before anything is computed."""
    if path is None:
        return Folder(path="", stem=stem, force=force)
    from jacketcalc.studies.files import find_existing

    if not path:
        raise CommandError("the name of the output folder is empty")
    above = Path(path).resolve()
    while not above.exists():
        above = above.parent
    if not above.is_dir() or not os.access(above, os.W_OK):
        raise CommandError(f'"{path}" cannot be written into')
    _check_extras()
    there = find_existing(Path(path), stem, endings)
    if there and not force:
        raise CommandError(f'"{path}" holds {", ".join(there)}; they were left as they are')
    return Folder(path=path, stem=stem, force=force)


def _check_extras() -> None:
    """Refuse to begin what could not be written: workbooks and figures need an extra."""
    missing = [name for name in ("matplotlib", "xlsxwriter") if find_spec(name) is None]
    if missing:
        raise CommandError(
            f"-o needs {' and '.join(missing)}; pip install 'jacketcalc[report]' brings them"
        )


def _cannot(name: str, fault: OSError) -> CommandError:
    return CommandError(f'"{name}" cannot be written: {(fault.strerror or str(fault)).lower()}')


TABLE_ENDINGS = [".txt", ".csv", ".json", ".xlsx", ".nc"]
"""Endings of the files of a table."""


def table_forms(table: Table, *, as_drawn: bool = True) -> dict[str, Make]:
    """Return the files of a table by their endings, each made when it is written."""
    from jacketcalc.report.study_figures import study_figures
    from jacketcalc.report.study_workbook import make_workbook
    from jacketcalc.show.study_json import make_study_json
    from jacketcalc.show.study_sheet import make_csv, make_sheet
    from jacketcalc.show.study_text import make_study_text
    from jacketcalc.studies.netcdf import make_netcdf

    return {
        ".txt": lambda: make_study_text(table).encode(),
        ".csv": lambda: make_csv(make_sheet(table)).encode(),
        ".json": lambda: make_study_json(table).encode(),
        ".xlsx": lambda: make_workbook(table),
        ".nc": lambda: make_netcdf(table),
        **study_figures(table, as_drawn=as_drawn),
    }


def solve_table(
    case: Case,
    axes: Sequence[Axis],
    band: bool,
    limits: Limits,
    folder: Folder,
    processes: int | None,
) -> Table:
    """Solve a study with progress on the terminal."""
    from jacketcalc.studies.grid import make_plan
    from jacketcalc.studies.study import solve_plan

    plan = make_plan(case, axes, band=band, limits=limits)
    count = len(plan.designs)
    with folder.keeping(), Progress(sys.stderr) as progress, pool(count, processes) as executor:
        return solve_plan(plan, executor, folder=folder.checkpoint, progress=progress)
