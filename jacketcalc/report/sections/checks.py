"""The model range, the limits, water, and checks against other knowledge."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from jacketcalc.assessment.compare import SERVICE
from jacketcalc.assessment.hand_check import HandCheck
from jacketcalc.assessment.result import BandMember, Interval, LimitCheck
from jacketcalc.assessment.water_finding import WaterFinding
from jacketcalc.assessment.water_words import say_place
from jacketcalc.core.output_record import relative
from jacketcalc.fill.result import FillComparison
from jacketcalc.findings.water import Nearest, Water
from jacketcalc.number_text import fixed, percent
from jacketcalc.report.model import Block, Cell, Heading, Paragraph, Row, Table
from jacketcalc.report.sections.beside_limits import beside_limits
from jacketcalc.report.sections.fill import fill_blocks
from jacketcalc.report.sections.water import water_blocks
from jacketcalc.report.traced import Pen, left, minus, right, row
from jacketcalc.verification.published import NOT_MEASURED, Verification

STATES = (
    "PASS, FAIL: the whole model range is on one side of the limit; pass?, fail?: the limit lies "
    "inside the model range. Margins count from the nominal value; positive is good."
)

NEAREST = (
    "Each row is where and when water is nearest: every cell of the passage in every phase of a "
    "pulse, and every place of a stage that its gas touches at every instant, against the frost or "
    "dew point at the pressure of that place and instant."
)


def band_section(pen: Pen) -> Iterator[Block]:
    """Yield the members of the band and what drives it."""
    if pen.delivers:
        yield Paragraph(
            "For each row both machines, no jackets and with jackets, are solved again under the "
            "same model. The model range is the span of all rows; it is not a probability, and no "
            "coverage is claimed for it."
        )
        yield _band(pen)
        yield Paragraph(what_drives(pen))
    else:
        yield Paragraph(
            "No model range is stated: there is no change where a machine delivers nothing."
        )


def _band(pen: Pen) -> Table:
    found = pen.found
    unit = pen.unit("temperature difference")
    rows = [_member(pen, m, f"detail.members[{i}]") for i, m in enumerate(found.band.members)]
    spans = (("delivered_mass_flow", found.band.delivered_mass_flow),
             ("specific_air_consumption", found.band.specific_air_consumption),
             ("discharge_temperature", found.band.discharge_temperature))  # fmt: skip
    for end in ("low", "high"):
        cells = [_end(pen, name, interval, end) for name, interval in spans]
        rows.append(row("lowest" if end == "low" else "highest", *cells, total=True))
    columns = (left("Model", 2), right("Delivery"), right("Specific air consumption"),
               right(f"Hottest discharge / {unit}"))  # fmt: skip
    return pen.table("band", "Model range: changes from no jackets to with jackets", columns, rows)


def _member(pen: Pen, member: BandMember, path: str) -> Row:
    change = member.change
    at, fall = _fall(member)
    return row(
        member.label,
        pen.percent(change.delivered_mass_flow, f"{path}.change.delivered_mass_flow"),
        pen.percent(change.specific_air_consumption, f"{path}.change.specific_air_consumption"),
        pen.cell(fall, "temperature difference", 1, at and f"{path}.{at}", sign=True),
    )


def _fall(member: BandMember) -> tuple[str, float]:
    """Return how far the hottest discharge moves, with its place where one stage is both's."""
    bare, jacketed = (
        [s.discharge_temperature for s in o.stages] for o in (member.bare, member.jacketed)
    )
    one, other = bare.index(max(bare)), jacketed.index(max(jacketed))
    if one != other:
        return "", max(jacketed) - max(bare)
    change = member.change.stages[other].discharge_temperature
    return f"change.stages[{other}].discharge_temperature", change


def _end(pen: Pen, name: str, interval: Interval, end: str) -> Cell:
    value, path = getattr(interval, end), f"band.{name}.{end}"
    if name == "discharge_temperature":
        return pen.cell(value, "temperature difference", 1, path, sign=True)
    return pen.percent(value, path)


def what_drives(pen: Pen) -> str:
    """Return which member of the band moves the change of delivered flow most."""
    stated = pen.found.change.delivered_mass_flow
    others = pen.found.band.members[1:]
    if not others:
        return ""
    most = max(others, key=lambda m: abs(m.change.delivered_mass_flow - stated))
    label = most.label
    moved = most.change.delivered_mass_flow - stated
    points = minus(fixed(100 * moved, 1, sign=True))
    with_jackets, without = (
        minus(percent(relative(new.delivered_mass_flow, old.delivered_mass_flow)))
        for new, old in ((most.jacketed, pen.found.jacketed), (most.bare, pen.found.bare))
    )
    tell = (
        "Measuring the temperature at start of compression and that of the wall decides it."
        if "mixing" in label
        else "A measurement of the jacket's heat on a test bench decides it."
    )
    return (
        f"The change of delivery depends most on “{label}”: {points} percentage points from the "
        f"nominal change. Delivery itself moves by {with_jackets} with the jackets and "
        f"by {without} without them. {tell}"
    )


def limits_table(pen: Pen) -> Table:
    """Return every limit with its state."""
    unit, difference = pen.unit("temperature"), pen.unit("temperature difference")
    rows: list[Row] = []
    for i, check in enumerate(pen.found.limits):
        one = _limit(pen, check, i)
        if pen.runs:
            rows += [one, *_gas(pen, check, i)]
        else:
            rows.append(row("not judged", one.cells[1], "–", "–", "–", one.cells[5], "–"))
    columns = (
        left("State", 0),
        left("Asked of the design", 2.4),
        right(f"No jackets / {unit}"),
        right(f"With jackets / {unit}"),
        right(f"Model range / {unit}"),
        right(f"Limit / {unit}"),
        right(f"Margin / {difference}"),
    )
    sources = "; ".join(dict.fromkeys(check.source for check in pen.found.limits if check.source))
    note = pen.prose(f"{STATES} {SERVICE} Sources: {sources}.")
    return pen.table("limits", "Limits", columns, rows, note)


def _limit(pen: Pen, check: LimitCheck, index: int) -> Row:
    path = f"detail.limits[{index}]"

    def temperature(value: float, field: str) -> Cell:
        return pen.cell(value, "temperature", 0, f"{path}.{field}")

    most = check.kind == "at most"
    ends = [temperature(getattr(check, f), f).text for f in ("low", "high")]
    limit, jacketed = (temperature(getattr(check, f), f) for f in ("limit", "jacketed"))
    space = (limit.number or 0.0) - (jacketed.number or 0.0)
    own = pen.display(check.limit - check.jacketed, "temperature difference")
    text = minus(fixed(space if most else -space, 0, sign=True))
    return row(
        Cell(text=check.state, strong=True),
        check.what,
        # What is limited from below, shells and tubes, the machine without jackets does not have.
        temperature(check.bare, "bare") if most else Cell(text="–"),
        jacketed,
        f"{ends[0]} to {ends[1]}",
        Cell(text=f"{'max' if most else 'min'} {limit.text}", path=limit.path, value=limit.value),
        Cell(text=text, number=space if most else -space, full=own if most else -own),
    )


def _gas(pen: Pen, check: LimitCheck, index: int) -> list[Row]:
    """Return the row of the gas that meets a seal."""
    if check.gas_bare is None:
        return []
    bare, jacketed = (
        pen.cell(getattr(check, field), "temperature", 0, f"detail.limits[{index}].{field}")
        for field in ("gas_bare", "gas_jacketed")
    )
    what = f"gas at that seal, {check.what.rpartition(', ')[2]}"
    return [row("not judged", what, bare, jacketed, "–", "–", "–")]


def limits_section(
    pen: Pen, water: WaterFinding | None, fill: FillComparison | None
) -> Iterator[Block]:
    """Yield limits, water and fill, and say what of them was not run."""
    yield limits_table(pen)
    yield from beside_limits(pen)
    yield Heading("Stall")
    yield from _stall(pen)
    yield Heading("Water")
    if pen.runs and pen.found.jacketed.water is not None:
        yield _water(pen, pen.found.jacketed.water)
    else:
        yield Paragraph("No margins: a machine that stalls has no coldest wall.")
    yield from water_blocks(pen, water)
    yield Heading("Filling of the receiver")
    yield from fill_blocks(pen, fill)


def _stall(pen: Pen) -> Iterator[Block]:
    """Yield the pressure at which the machine stalls, and the force that is left before it."""
    out, unit = pen.found.jacketed, pen.unit("pressure")
    reach = pen.cell(out.stall_pressure, "pressure", 1, "detail.jacketed.stall_pressure")
    asked = pen.quantity(pen.case.machine.receiver_pressure, "pressure", 4)
    rows = [
        row("receiver pressure at which the machine stalls, absolute", unit, reach),
        row("force margin at the end of the final stage's stroke", "%",
            pen.cell(out.force_margin, "percent", 1, "detail.jacketed.force_margin")),
    ]  # fmt: skip
    columns = (left("Quantity", 3), left("Unit", 0), right("Both machines"))
    yield pen.table("stall", "Stall pressure and force margin", columns, rows)
    yield Paragraph(
        f"The receiver stands at {asked} absolute. Stall pressure and force margin follow from a "
        "balance of forces at rest, so that they are the same with and without jackets. The force "
        "margin is the drive force that is left over the force that the stroke needs."
    )


def _water(pen: Pen, water: Water) -> Table:
    found = [("passage_wall", water.passage_wall), ("exhaust", water.exhaust)]
    stages = [(f"stages[{i}]", one) for i, one in enumerate(water.stages)]
    found += [(at, one) for at, one in stages if one is not None]
    rows = [
        _nearest(pen, one, f"detail.jacketed.water.{at}") for at, one in found if one is not None
    ]
    unit = pen.unit("temperature")
    columns = (
        left("State", 0.9),
        left("Machine with jackets", 2.4),
        left("When", 1.2),
        right(f"At / {unit}"),
        right(f"Pressure / {pen.unit('pressure')}"),
        right(f"Point / {unit}"),
        right(f"Margin / {pen.unit('temperature difference')}"),
    )
    return pen.table("water", "Margins against frost and condensation", columns, rows, NEAREST)


def _nearest(pen: Pen, one: Nearest, path: str) -> Row:
    place = pen.prose(say_place(one, pen.case.document.units).rstrip(","))
    forms = "ice can form" if one.freezes else "water can condense"
    return row(
        "dry" if one.margin >= 0 else forms,
        place,
        one.moment,
        pen.cell(one.temperature, "temperature", 0, f"{path}.temperature"),
        pen.cell(one.pressure, "pressure", 1, f"{path}.pressure"),
        pen.cell(one.point, "temperature", 0, f"{path}.point"),
        pen.cell(one.margin, "temperature difference", 1, f"{path}.margin", sign=True),
    )


def checks_section(
    pen: Pen, checks: Sequence[HandCheck], verification: Verification
) -> Iterator[Block]:
    """Yield the hand checks and the summary of verification."""
    unit = pen.per("power")
    if checks:
        rows = [
            row(
                check.what,
                check.how,
                pen.cell(check.by_hand, "power", 1, f"detail.hand_checks[{i}].by_hand"),
                pen.cell(check.found, "power", 1, f"detail.hand_checks[{i}].found"),
                pen.percent(check.difference, ""),
            )
            for i, check in enumerate(checks)
        ]
        columns = (left("Check", 1.3), left("Worked out as", 2.2), right(f"By hand / {unit}"),
                   right(f"Program / {unit}"), right("Difference"))  # fmt: skip
        yield pen.table("hand checks", "Alternative calculation by the first law and a table of "
                        "air", columns, rows)  # fmt: skip
    else:
        yield Paragraph("No hand check: the machine stalls.")
    yield Paragraph(
        f"{NOT_MEASURED} Published cases run through this version of the program: "
        f"{verification.count}."
    )
    yield _verification(pen, verification)
    yield Paragraph(
        "Not validated by test: no machine of this kind with its measurements is behind these "
        "numbers. Method of checking: alternative calculation (above) and published cases."
    )


def _verification(pen: Pen, verification: Verification) -> Table:
    every = Counter(f.check.part for f in verification.findings)
    states = Counter((f.check.part, f.state) for f in verification.findings)
    asked = ("agrees", "same formula", "doubtful", "DISAGREES")
    rows = [
        row(part, *(Cell(text=str(n), number=float(n)) for n in (
            count, *(states[part, state] for state in asked))))
        for part, count in every.items()
    ]  # fmt: skip
    columns = (left("Part of the model", 3), right("Checks"), right("Agree"),
               right("Own formula"), right("Doubtful"), right("Disagree"))  # fmt: skip
    return pen.table("verification", "Verification against published numbers", columns, rows)
