"""Water along the path, where asked for: every place, how dry the supply must be, a figure."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from jacketcalc.assessment.water_finding import BLOCKED, WaterFinding
from jacketcalc.assessment.water_path_words import (
    NEEDED,
    PATH_NOTES,
    floor_to,
    say_entering,
    say_ice,
    say_latent,
    say_snow,
    say_supply,
)
from jacketcalc.findings.water_path import WaterPath, WaterPlace
from jacketcalc.number_text import fixed, significant
from jacketcalc.report.figures.water import describe_water, draw_water
from jacketcalc.report.model import Block, Bullets, Cell, Heading, Paragraph, Row, Table
from jacketcalc.report.traced import Pen, left, minus, right, row

LEGEND = (
    "Point: frost or dew point at the pressure there and then. Margin: how far wall or air is "
    "above it. Needed: dew point of the supply up to which the place stays dry. Most: water that "
    "leaves there at most. Ice: least hours until it has blocked a quarter of the cross-section. "
    "These numbers are those of jacketcalc water and stand in its JSON."
)


def water_blocks(pen: Pen, found: WaterFinding | None) -> Iterator[Block]:
    """Yield water along the path, or say that it was not asked for."""
    if found is None:
        yield Paragraph(
            "Not run: the water along the path, its amounts, and how dry the supply must be "
            "(--with water)."
        )
        return
    if found.jacketed is None:
        return
    system = pen.case.document.units
    yield Heading("Water along the path")
    yield Paragraph(pen.prose(f"{say_supply(found, system)} {say_entering(found, system)}"))
    yield _needs(pen, found)
    yield pen.figure(
        partial(draw_water, found),
        "Margin to frost or dew point along the exhaust from the valve, least over the phases of a "
        "pulse, and in each stage over the cycle, least over the surfaces that its gas touches. "
        "Shaded: water or ice leaves the air.",
        describe_water(found),
    )
    yield _places(pen, found, found.jacketed)
    told = (say_ice(found, BLOCKED), say_snow(found, BLOCKED, system), say_latent(found, system),
            *PATH_NOTES)  # fmt: skip
    yield Bullets(tuple(pen.prose(words) for words in told if words))


def _needs(pen: Pen, found: WaterFinding) -> Table:
    unit = pen.unit("temperature")
    bare = {need.key: need for need in found.needs_bare}
    rows = [
        row(
            need.name,
            _down(pen, found, need.dew_point),
            _down(pen, found, bare[need.key].dew_point) if need.key in bare else "–",
            "any" if need.any_will_do else str(need.humidity_class or "–"),
            "none" if need.any_will_do else need.dryer,
        )
        for need in found.needs
    ]
    columns = (
        left("What stays dry", 2),
        right(f"With jackets / {unit}"),
        right(f"No jackets / {unit}"),
        right("Class, ISO 8573-1"),
        left("Dryer", 1.6),
    )
    return pen.table("dew points", "Highest dew point of the supply", columns, rows, NEEDED)


def _down(pen: Pen, found: WaterFinding, point: float) -> Cell | str:
    """Return a highest dew point, rounded down: a little lower does, a little higher does not."""
    if point >= found.case.machine.supply.temperature:
        return "any"
    shown = pen.display(point, "temperature")
    down = floor_to(shown, 1)
    return Cell(text=minus(fixed(down, 1)), number=down, value=point, full=shown)


def _places(pen: Pen, found: WaterFinding, path: WaterPath) -> Table:
    unit, difference = pen.unit("temperature"), pen.unit("temperature difference")
    columns = (
        left("Machine with jackets", 2.2),
        left("When", 1.3),
        right(f"At / {unit}", 0.8),
        right(f"Pressure / {pen.unit('pressure')}", 0.9),
        right(f"Point / {unit}", 0.8),
        right(f"Margin / {difference}", 0.9),
        right(f"No jackets / {difference}", 0.9),
        right(f"Needed / {unit}", 0.9),
        right(f"Most / {pen.per('water flow')}", 0.8),
        right("Ice / h", 0.7),
    )
    rows = [_place(pen, found, place) for place in path.places]
    return pen.table("water path", "Water along the path", columns, rows, LEGEND)


def _place(pen: Pen, found: WaterFinding, place: WaterPlace) -> Row:
    near, twin = place.nearest, found.twin(place)
    hours = place.hours(BLOCKED) if place.part == "passage wall" else None
    most = pen.display(place.most if place.wet else 0.0, "water flow")
    return row(
        place.name,
        near.moment,
        pen.cell(near.temperature, "temperature", 0, ""),
        pen.cell(near.pressure, "pressure", 1, ""),
        pen.cell(near.point, "temperature", 0, ""),
        pen.cell(near.margin, "temperature difference", 1, "", sign=True),
        pen.cell(twin.nearest.margin if twin else None, "temperature difference", 1, "", sign=True),
        _down(pen, found, place.dew_point_needed),
        Cell(text=significant(most, 2), number=float(significant(most, 2)), full=most),
        "–" if hours is None else Cell(text=significant(hours, 2),
                                       number=float(significant(hours, 2)), full=hours),
    )  # fmt: skip
