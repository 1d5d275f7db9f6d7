"""Pictures of the rivals of the jackets, as PNG and SVG."""

from __future__ import annotations

from functools import partial

from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.rivals import RivalBar, Rivals, describe_rivals, draw_rivals
from jacketcalc.report.pictures import MakePicture, Picture, picture_files
from jacketcalc.studies.rival_table import RivalRow, RivalTable


def rival_figures(table: RivalTable) -> dict[str, MakePicture]:
    """Return the picture of a table of rivals."""
    data = rivals(table)
    picture = Picture(partial(draw_rivals, data), describe_rivals(data))
    words = f"{len(table.rows)} machines against the machine as it stands; no model range solved"
    return picture_files({"": picture}, table.case, words)


def rivals(table: RivalTable) -> Rivals:
    """Return the data of the figure."""
    shown = Shown(table.case.document.units)
    return Rivals(
        unit=shown.unit("temperature"),
        reference=table.reference,
        bars=tuple(_bar(table, row, shown) for row in table.rows),
    )


def _bar(table: RivalTable, row: RivalRow, shown: Shown) -> RivalBar:
    change, nan = table.changes(row), float("nan")
    known = change is not None and row.outcome is not None
    return RivalBar(
        name=row.name,
        delivery=100.0 * change.delivery if change is not None else nan,
        gas=shown.value(row.outcome.hottest_gas, "temperature")
        if known and row.outcome is not None
        else nan,
        broken=len(row.broken),
        jackets="jackets" in row.ways,
    )
