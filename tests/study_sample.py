"""A short solve and an invented table for the tests of studies."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from jacketcalc.casefile.reading import read_case
from jacketcalc.core.resolution import Resolution
from jacketcalc.inputs import Case
from jacketcalc.studies.axes import parse_axis
from jacketcalc.studies.columns import list_columns
from jacketcalc.studies.grid import make_points
from jacketcalc.studies.study_table import StudyRow, StudyTable

CASES = Path(__file__).resolve().parent / "machines"
COARSE = Resolution().scaled(0.25)
"""Steps enough for a test of what happens round the physics."""


def main_case() -> Case:
    return read_case(str(CASES / "hot.toml"))


def small_case() -> Case:
    """Return the case that is solved fastest."""
    return read_case(str(CASES / "single.toml"))


def invented(
    *axes: str, number: Callable[..., float], members: int = 2, case: Case | None = None
) -> StudyTable:
    """Make a table whose every column is `number(values in mm..., member)`."""
    case = case or main_case()
    read = [parse_axis(case, axis) for axis in axes]
    columns = list_columns(case.machine)
    rows = []
    for point in make_points(case, read):
        if point.gap:
            rows.append(StudyRow(values=point.values, texts=point.texts, state="impossible",
                            reason=point.gap))  # fmt: skip
            continue
        shown = [value if axis.words else 1e3 * value
                 for axis, value in zip(read, point.values, strict=True)]  # fmt: skip
        numbers = tuple(
            {c.name: number(*shown, member) for c in columns} for member in range(members)
        )
        rows.append(
            StudyRow(values=point.values, texts=point.texts, state="solved", members=numbers)
        )
    names = ("nominal", *(f"member {i}" for i in range(1, members)))
    bare = tuple({c.name: 1.0 for c in columns if c.own} for _ in names)
    drawn = tuple({c.name: 0.0 for c in columns} for _ in names)
    return StudyTable(case=case, axes=tuple(read), members=names, columns=columns, rows=tuple(rows),
                 bare=bare, drawn=StudyRow(values=(), texts=(), state="solved", members=drawn),
                 )  # fmt: skip
