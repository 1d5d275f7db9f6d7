"""The air's way through the machine, with pressures and temperatures written where they hold."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.figure import Figure

from jacketcalc.assessment.result import Assessment
from jacketcalc.inputs import Jacket
from jacketcalc.report.figures.number_labels import Shown, trimmed
from jacketcalc.report.figures.schematic_exhaust import put_exhausts
from jacketcalc.report.figures.schematic_plan import (
    AXIS,
    BARREL,
    DRIVE,
    DRIVE_LONG,
    ENDS,
    FEED,
    GALLERY,
    HOP,
    IN,
    JACKET,
    OUT,
    OUTSIDE,
    SQUARE,
    STAGE_LONG,
    VALVE,
    SchematicPlan,
    StageColumn,
)
from jacketcalc.report.figures.schematic_words import SolvedWords, short_name, source_words
from jacketcalc.report.figures.sheet import Sheet, SheetPoint
from jacketcalc.report.figures.style import (
    BLUE_PALE,
    FULL,
    GREY_PALE,
    GREY_WORDS,
    INK,
    WIDE,
    styled,
)


def draw_schematic(found: Assessment) -> Figure:
    """Draw the machine with jackets's air path."""
    with styled():
        plan = SchematicPlan(found.case, SolvedWords(found))
        sheet = Sheet(FULL, plan.height)
        put_machine(sheet, plan)
        return sheet.figure


def put_machine(sheet: Sheet, plan: SchematicPlan) -> None:
    """Draw a whole machine and its words."""
    _drive(sheet, plan)
    for column in plan.columns.values():
        _stage(sheet, plan, column)
    crossings = put_exhausts(sheet, plan)
    _supply(sheet, plan, crossings)
    _compressed(sheet, plan)


def _drive(sheet: Sheet, plan: SchematicPlan) -> None:
    x0, x1 = plan.drive, plan.drive + DRIVE_LONG
    shown = plan.shown
    for column in plan.columns.values():
        edge = x0 if column.out < 0 else x1
        piston = column.along(0.55)
        sheet.line([(plan.valve, AXIS), (piston, AXIS)], 1.2, order=1.9, colour="#999999")
    sheet.box(x0, AXIS - DRIVE, x1, AXIS + DRIVE, width=WIDE, order=2.0)
    middle = plan.valve
    sheet.box(middle - 2.0, AXIS - DRIVE, middle + 2.0, AXIS + DRIVE, fill="#DDDDDD", width=WIDE)
    drive = plan.machine.drive
    many = f"{drive.cylinders} cylinders, each" if drive.cylinders > 1 else "drive"
    name = f"{many} ⌀{shown.length(drive.bore)}"
    sheet.text(middle, AXIS + DRIVE + 6.0, name, ha="center")
    sheet.text(middle, AXIS + DRIVE + 2.4, plan.words.drive(), ha="center")
    for chamber, way in ((0, -1.0), (1, 1.0)):
        x = middle + way * (DRIVE_LONG / 4 + 1.0)
        sheet.text(x, AXIS + 6.2, f"chamber {chamber + 1}", ha="center", color=GREY_WORDS)
        sheet.text(x, AXIS - 5.6, plan.words.chamber(chamber), ha="center", linespacing=1.15)
        port = middle + way * 5.0
        edge = middle + way * (DRIVE_LONG / 2 - 3.0)
        sheet.line(
            [(edge, AXIS - DRIVE), (edge, VALVE + 9.0), (port, VALVE + 9.0), (port, VALVE + 4.0)],
            WIDE,
        )
    _valve(sheet, plan)


def _valve(sheet: Sheet, plan: SchematicPlan) -> None:
    """Draw the control valve as two squares, one a position, lines joined to one of them."""
    x, y = plan.valve, VALVE
    for middle, fed in ((x, -1.0), (x - 2 * SQUARE, 1.0)):
        sheet.box(middle - SQUARE, y - 4.0, middle + SQUARE, y + 4.0, fill="white", width=WIDE)
        sheet.arrow([(middle, y - 4.0), (middle + 5.0 * fed, y + 4.0)], size=1.8)
        sheet.arrow([(middle - 5.0 * fed, y + 4.0), (middle - 5.0 * fed, y - 4.0)], size=1.8)
        sheet.line([(middle + 5.0 * fed, y - 4.0), (middle + 5.0 * fed, y - 2.6)])
        sheet.line([(middle + 5.0 * fed - 1.0, y - 2.6), (middle + 5.0 * fed + 1.0, y - 2.6)])
    sheet.text(x, y + 6.3, "valve", ha="center", color=GREY_WORDS)


def _stage(sheet: Sheet, plan: SchematicPlan, column: StageColumn) -> None:
    shown = plan.shown
    x0, x1 = sorted((column.head, column.flange))
    sheet.box(x0, AXIS - BARREL, x1, AXIS + BARREL, fill="none", width=WIDE, order=3.5)
    piston = column.along(0.55)
    sheet.box(piston - 2.5, AXIS - BARREL, piston + 2.5, AXIS + BARREL, fill="#DDDDDD", width=WIDE)
    head = column.head
    sheet.line([(head, AXIS - BARREL), (head, AXIS + BARREL)], 1.2)
    top = AXIS + BARREL
    if column.stage.jacket is not None:
        fill = BLUE_PALE if column.fed else GREY_PALE
        top += JACKET
        a, b = sorted((column.along(0.04), column.along(0.86)))
        for low in (AXIS + BARREL, AXIS - BARREL - JACKET):
            sheet.box(a, low, b, low + JACKET, fill=fill, width=WIDE)
            for k in range(1, 8):
                x = a + (b - a) * k / 8
                sheet.line([(x - 0.9, low), (x + 0.9, low + JACKET)], WIDE)
            _galleries(sheet, column, low)
    middle = (column.head + column.flange) / 2
    name = f"{short_name(column.stage.name)}, ⌀{shown.length(column.stage.bore)}"
    charge = plan.words.stage(column.index)
    if column.long < STAGE_LONG:
        charge = charge.replace(" at ", "\nat ").replace(" on ", "\non ")
    lines = charge.count("\n")
    sheet.text(middle, top + 6.4 + 3.4 * lines, name, ha="center")
    sheet.text(middle, top + 2.6 + 1.7 * lines, charge, ha="center", linespacing=1.2)


def _galleries(sheet: Sheet, column: StageColumn, low: float) -> None:
    """Draw the ring grooves that several starts share, over the ribs that end there."""
    jacket = column.stage.jacket
    if jacket is None or not jacket.gallery_width:
        return
    for i, share in enumerate(ENDS):
        x0, x1 = sorted((column.along(share - GALLERY), column.along(share + GALLERY)))
        gid = f"gallery-{column.index}-{'upper' if low > AXIS else 'lower'}-{i}"
        sheet.box(x0, low, x1, low + JACKET, fill=BLUE_PALE, width=WIDE, order=3.2, gid=gid)


def _supply(sheet: Sheet, plan: SchematicPlan, crossings: Sequence[float]) -> None:
    machine, shown, x = plan.machine, plan.shown, plan.valve
    riser: list[SheetPoint] = [(x, FEED)]
    for y in sorted(crossings):
        riser += [(x + HOP * b, y + HOP * a) for a, b in (
            (-1.0, 0.0), (-0.71, 0.71), (0.0, 1.0), (0.71, 0.71), (1.0, 0.0))]  # fmt: skip
    sheet.line([*riser, (x, VALVE - 4.0)], WIDE)
    for column in plan.columns.values():
        if column.begins:
            _feed(sheet, plan, column)
    _inflow(sheet, x)
    out = plan.first.out
    ha = "left" if out < 0 else "right"
    both = any(c.stage.draws_from == "supply" and c.out != out for c in plan.columns.values())
    for k, line in enumerate(plan.words.supply()):
        sheet.text(x - out * 4.0, FEED - (3.2 if both else 1.0) - 3.6 * k, line, ha=ha)
    ambient = machine.ambient
    text = f"ambient {shown.pressure(ambient.pressure)}, {shown.temperature(ambient.temperature)}"
    sheet.text(x + out * 6.0, FEED - 4.6, text, ha="right" if out < 0 else "left",
               color=GREY_WORDS)  # fmt: skip


def _feed(sheet: Sheet, plan: SchematicPlan, column: StageColumn) -> None:
    """Draw the way of supply or source to a stage."""
    out, head = column.out, column.head
    outermost = all((c.head - head) * out <= 0 for c in plan.columns.values())
    wide = 13.0 if column.long == STAGE_LONG else OUTSIDE - 1.0
    edge = head + out * (wide if outermost else 5.0)
    path = [(edge, FEED), (edge, AXIS - 2.2), (head, AXIS - 2.2)]
    if column.stage.draws_from == "supply":
        sheet.arrow([(plan.valve, FEED), *path], width=WIDE)
        sheet.circle(plan.valve, FEED, 0.7, fill=INK)
        return
    sheet.arrow(path, width=WIDE)
    _inflow(sheet, edge)
    ha = "left" if out < 0 else "right"
    for k, words in enumerate(source_words(plan.machine, plan.shown)):
        sheet.text(edge - out * 4.0, FEED - 1.0 - 3.6 * k, words, ha=ha)


def _inflow(sheet: Sheet, x: float) -> None:
    """Draw the sign of what comes from outside."""
    sheet.area([(x - 1.8, FEED - 5.0), (x + 1.8, FEED - 5.0), (x, FEED - 2.0)], fill=INK, width=0.0)
    sheet.line([(x, FEED - 4.0), (x, FEED)], WIDE)


def _compressed(sheet: Sheet, plan: SchematicPlan) -> None:
    """Draw delivery of each stage, the lines between, and the receiver."""
    for column in plan.columns.values():
        after = plan.after(column)
        if after is None:
            continue
        roof, start = plan.level[column.index], _delivery(column)
        end = _suction(plan, after)
        sheet.line([*start, (start[-1][0], roof)], WIDE)
        path = [(start[-1][0], roof), (end, roof), (end, AXIS + 2.2), (after.head, AXIS + 2.2)]
        sheet.arrow(path, width=WIDE)
        _between(sheet, plan, column, after, (start[-1][0], end))
    for place, column in enumerate(plan.finals):
        _receiver(sheet, plan, column, told=place == len(plan.finals) - 1)


def _delivery(column: StageColumn) -> list[SheetPoint]:
    """Return the way out of a head up to its riser, clear of the line that leads in."""
    y = AXIS + 2.2 if column.begins else AXIS - 2.2
    return [(column.head, y), (column.head + column.out * OUT, y)]


def _suction(plan: SchematicPlan, column: StageColumn) -> float:
    """Return where the line that leads into a stage comes down [mm]."""
    rises = plan.on_top or plan.after(column) is not None
    return column.head + column.out * (IN if rises else OUT)


def _between(
    sheet: Sheet,
    plan: SchematicPlan,
    column: StageColumn,
    after: StageColumn,
    ends: tuple[float, float],
) -> None:
    shown, roof = plan.shown, plan.level[column.index]
    share = 0.65 if column.out == after.out else 0.5
    middle = share * ends[0] + (1.0 - share) * ends[1]
    line = after.stage.line
    sheet.box(middle - 8.0, roof - 2.2, middle + 8.0, roof + 2.2, fill="white", width=WIDE,
              order=4.7)  # fmt: skip
    if line is not None:
        volume = trimmed(shown.value(line.volume, "volume"), 3)
        sheet.text(middle, roof, f"{volume} {shown.unit('volume')}", ha="center")
    before, drawn = plan.words.delivered(column.index), plan.words.drawn(after.index)
    turn = 1.0 if ends[1] > ends[0] else -1.0
    beside = -turn if column.out == after.out else turn
    y = roof - 1.2 if column.out == after.out else roof + 2.4
    for x, words, way, level in ((ends[0], before, beside, y), (ends[1], drawn, -turn, roof + 2.4)):
        sheet.text(x + way * 1.5, level, words, ha="left" if way > 0 else "right")


def _receiver(sheet: Sheet, plan: SchematicPlan, column: StageColumn, *, told: bool) -> None:
    """Draw the way of a stage's air into the receiver, and with the last one its words."""
    head, out = column.head, column.out
    pipe = head + out * OUT
    if plan.on_top:
        y = plan.store
        several = len(plan.finals) > 1
        end = plan.valve + out * 11.0 if several else pipe - out * 34.0
        sheet.arrow([*_delivery(column), (pipe, y), (end, y)], width=WIDE)
        x0, x1 = sorted((end, end - out * 22.0))
        low, words_x, words_y, ha = y - 4.0, (x0 + x1) / 2 - out * 13.0, y + 3.6, (
            "right" if out > 0 else "left")  # fmt: skip
        if several:
            words_x, words_y, ha = (x0 + x1) / 2, low - 2.6, "center"
        name = (x0 + x1) / 2, y
    else:
        low = FEED - 6.0
        sheet.arrow([(head, AXIS - 2.2), (pipe, AXIS - 2.2), (pipe, low + 9.0)], width=WIDE)
        far = min(max(pipe + out * 8.0, 1.5), FULL - 1.5)
        x0, x1 = sorted((far, far - out * 22.0))
        words_x, words_y = (x0 if out > 0 else x1) - out * 2.0, low + 7.6
        ha = "right" if out > 0 else "left"
        name = (x0 + x1) / 2, low + 4.5
    if not told:
        return
    sheet.box(x0, low, x1, low + (8.0 if plan.on_top else 9.0), fill="white", width=0.5)
    sheet.text(*name, "receiver", ha="center")
    lines = plan.words.receiver(column.index)
    for k, words in enumerate(lines[1:] if len(plan.finals) > 1 else lines):
        sheet.text(words_x, words_y - 3.6 * k, words, ha=ha)


def describe_schematic(found: Assessment) -> str:
    """Say in words which way air and gas go and what they have where."""
    shown, machine, out = Shown(found.case.document.units), found.case.machine, found.jacketed
    source = machine.source
    and_stage = ", and the first stage" if source is None else ""
    words = [
        f"Supply air at {shown.pressure(machine.supply.pressure)} and "
        f"{shown.temperature(machine.supply.temperature)} feeds the drive, "
        f"{shown.with_unit(out.drive_air_mass_flow, 'mass flow', 2)}{and_stage}."
    ]
    if source is not None:
        words.append(
            f"A source of {machine.gas.name} at {shown.pressure(source.pressure)} and "
            f"{shown.temperature(source.temperature)} feeds the first stage."
        )
    for i, exhaust in enumerate((machine.exhaust_1, machine.exhaust_2)):
        node = min(i, len(out.port_temperature) - 1)
        goal = "ambient" if exhaust.to == "atmosphere" else f"the jacket of {exhaust.to}"
        words.append(
            f"Drive port {i + 1} exhausts at {shown.temperature(out.port_temperature[node])} "
            f"to {goal}."
        )
    for stage, drawn in zip(out.stages, machine.stages, strict=True):
        text = (
            f"Stage {stage.name}: starts compression at "
            f"{shown.temperature(stage.compression_start_temperature)}, delivers "
            f"at {shown.temperature(stage.discharge_temperature)} and "
            f"{shown.pressure(stage.delivery_pressure)}"
        )
        if stage.jacket is not None:
            text += (
                f"; its jacket's air enters at "
                f"{shown.temperature(stage.jacket.inlet_temperature)} and leaves at "
                f"{shown.temperature(stage.jacket.outlet_temperature)}"
            )
            text += _starts_words(drawn.jacket)
        words.append(text + ".")
    flow = shown.with_unit(out.delivered_mass_flow, "mass flow", 3)
    words.append(f"The receiver, at {shown.pressure(machine.receiver_pressure)}, takes {flow}.")
    return " ".join(words)


def _starts_words(jacket: Jacket | None) -> str:
    """Say how several starts are fed and emptied."""
    if jacket is None or jacket.starts == 1:
        return ""
    if jacket.gallery_width:
        return f"; its {jacket.starts} starts share a gallery at each end"
    return f"; its {jacket.starts} starts have {jacket.holes} inlets and {jacket.holes} outlets"
