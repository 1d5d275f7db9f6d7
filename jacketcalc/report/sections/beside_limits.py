"""What stands beside the limits in the report: gas at seals and tubes, oil, stress, cautions."""

from __future__ import annotations

from collections.abc import Iterator

from jacketcalc.assessment.limit_context import (
    CAUTIONS,
    OIL,
    PRESSURE_CODE,
    LimitFigure,
    list_figures,
    list_seals,
    list_stresses,
    oil_figures,
)
from jacketcalc.number_text import fixed
from jacketcalc.report.model import Block, Bullets, Cell, Row, Table
from jacketcalc.report.traced import Pen, left, minus, right, row
from jacketcalc.wall_stress import Wall

USUAL = (
    "Pressure above ambient, the highest that is estimated or computed inside. Up to a wall of a "
    "tenth of the radius p d / (2 t), beyond it Lamé's formula at the bore. Usual: two thirds of "
    "the proof stress of the softest and the hardest usual condition."
)


def beside_limits(pen: Pen) -> Iterator[Block]:
    """Yield temperatures that are not judged, hoop stress, and the cautions beside them."""
    if list_figures(pen.found):
        yield _figures(pen)
        yield _seals(pen)
    yield _stresses(pen)
    yield Bullets(tuple(pen.prose(words) for words in CAUTIONS))


def _figures(pen: Pen) -> Table:
    unit, figures = pen.unit("temperature"), list_figures(pen.found)
    rows = [_figure(pen, one, f"detail.beside_limits[{i}]") for i, one in enumerate(figures)]
    columns = (
        left("Not judged", 2.4),
        right(f"No jackets / {unit}"),
        right(f"With jackets / {unit}"),
        right(f"Limit / {unit}"),
        right(f"Margin / {pen.unit('temperature difference')}"),
    )
    sources = "; ".join(dict.fromkeys(one.source for one in figures))
    note = pen.prose(f"{OIL if oil_figures(figures) else ''} Sources: {sources}.".strip())
    return pen.table("beside limits", "Beside the limits", columns, rows, note)


def _figure(pen: Pen, one: LimitFigure, path: str) -> Row:
    bare, with_jackets, limit = (
        pen.cell(value, "temperature", 0, f"{path}.{field}")
        for value, field in ((one.bare, "bare"), (one.jacketed, "jacketed"), (one.limit, "limit"))
    )
    side = "max" if one.kind == "at most" else "min"
    return row(
        one.what,
        bare,
        with_jackets,
        Cell(text=f"{side} {limit.text}", path=limit.path, value=limit.value),
        pen.cell(one.margin, "temperature difference", 0, f"{path}.margin", sign=True),
    )


def _seals(pen: Pen) -> Table:
    found, unit = list_seals(pen.found), pen.unit("temperature")
    fields = ("hot_wall", "hot_gas", "cold_gas", "cold_wall")
    rows = [
        row(
            one.material,
            pen.cell(one.lowest, "temperature", 0, f"{path}.lowest"),
            pen.cell(one.highest, "temperature", 0, f"{path}.highest"),
            *(pen.cell(getattr(one, field), "temperature difference", 0, f"{path}.{field}",
                       sign=True) for field in fields),
        )
        for one, path in ((one, f"detail.seal_materials[{i}]") for i, one in enumerate(found))
    ]  # fmt: skip
    columns = (
        left("Material of seals", 1.4),
        right(f"Lowest / {unit}"),
        right(f"Highest / {unit}"),
        *(right(f"{field.replace('_', ' ').capitalize()} / "
                f"{pen.unit('temperature difference')}") for field in fields),
    )  # fmt: skip
    sources = "; ".join(dict.fromkeys(one.source for one in found))
    note = (
        "Margins of the stage that is worst for each, with jackets. A seal's own temperature lies "
        f"between wall and gas. Sources: {sources}."
    )
    return pen.table("seals", "Usual materials of seals", columns, rows, note)


def _stresses(pen: Pen) -> Table:
    walls = list_stresses(pen.found)
    unit = pen.unit("pressure difference")
    rows = [_stress(pen, wall, f"detail.hoop_stress[{i}]") for i, wall in enumerate(walls)]
    columns = (
        left("Wall, not judged", 2.2),
        right("Wall over bore"),
        right(f"Pressure / {unit}"),
        right(f"Hoop stress / {unit}"),
        right(f"Usual / {unit}", 1.2),
        left("Formula", 1.2),
    )
    return pen.table("hoop stress", "Hoop stress", columns, rows, f"{PRESSURE_CODE} {USUAL}")


def _stress(pen: Pen, wall: Wall, path: str) -> Row:
    usual = "–"
    if wall.usual is not None:
        usual = " to ".join(
            minus(fixed(pen.display(v, "pressure difference"), 0)) for v in wall.usual
        )
    return row(
        wall.name,
        pen.cell(wall.thickness / wall.bore, "number", 3, f"{path}.wall_over_bore"),
        pen.cell(wall.pressure, "pressure difference", 1, f"{path}.pressure"),
        pen.cell(wall.stress, "pressure difference", 0, f"{path}.stress"),
        usual,
        "thin wall" if wall.is_thin else "Lamé",
    )
