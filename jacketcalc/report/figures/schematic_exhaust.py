"""The exhausts in the schematic: from the valve through tubes and jackets to the surroundings."""

from __future__ import annotations

from collections.abc import Sequence

from jacketcalc.inputs import Exhaust
from jacketcalc.report.figures.number_labels import Shown, trimmed
from jacketcalc.report.figures.schematic_plan import (
    AXIS,
    BARREL,
    BRANCH,
    ENDS,
    HEAD,
    HOP,
    JACKET,
    LOWER,
    MANIFOLD,
    MOST_BRANCHES,
    PORT_WORDS,
    SQUARE,
    TIGHT,
    TUBE,
    UPPER,
    VALVE,
    SchematicPlan,
    StageColumn,
)
from jacketcalc.report.figures.sheet import Sheet, SheetPoint
from jacketcalc.report.figures.style import BLUE, BLUE_WORDS


def put_exhausts(sheet: Sheet, plan: SchematicPlan) -> list[float]:
    """Draw both exhausts; return the heights at which they cross the supply's riser."""
    crossings: list[float] = []
    machine, shown = plan.machine, plan.shown
    ports = [machine.exhaust_1, machine.exhaust_2]
    goals = [plan.column(e.to) for e in ports]
    exits = [plan.valve - 5.0, plan.valve + 5.0]
    # The run that turns towards its own side stays on the upper level; one that crosses the
    # middle takes the lower level, the other then hops over its riser.
    crosses = [g is not None and (g.out > 0) == (i == 0) for i, g in enumerate(goals)]
    both = all(crosses)
    levels = [LOWER if crosses[0] else UPPER, UPPER if both or not crosses[1] else LOWER]
    for i, (exhaust, goal) in enumerate(zip(ports, goals, strict=True)):
        x = exits[i]
        if goal is None:
            _to_ambient(sheet, plan, x, i, exhaust)
            continue
        target = _inlet_place(goal)
        path: list[SheetPoint] = [(x, VALVE - 4.0), (x, levels[i]), (target, levels[i])]
        hops = [exits[0]] if both and i == 1 else []
        _run(sheet, path, hops)
        _feed(sheet, goal, target, levels[i], f"arrow-inlet-{i}")
        if (target - plan.valve) * (x - plan.valve) < 0:
            crossings.append(levels[i])
        _tube_words(sheet, shown, exhaust, x, target, levels[i], goal)
    shared = goals[0] is not None and goals[0] is goals[1]
    if shared and goals[0] is not None:
        target = _inlet_place(goals[0])
        sheet.circle(target, max(levels), 0.9, fill=BLUE, edge=BLUE, order=5.0)
    for column in plan.columns.values():
        _ends(sheet, plan, column)
    _port_words(sheet, plan, shared)
    return crossings


def _branches(column: StageColumn) -> list[float]:
    """Return where holes at one end of a jacket stand beside the end's middle [mm]."""
    jacket = column.stage.jacket
    count = 1 if jacket is None else min(jacket.holes, MOST_BRANCHES)
    return [BRANCH * (k - (count - 1) / 2) for k in range(count)]


def _feed(sheet: Sheet, goal: StageColumn, x: float, low: float, gid: str) -> None:
    """Draw the riser into a jacket; it parts in a manifold where each start has its hole."""
    bottom, beside = AXIS - BARREL - JACKET, _branches(goal)
    if len(beside) == 1:
        sheet.arrow([(x, low), (x, bottom + 1.0)], BLUE, TUBE, HEAD, gid=f"{gid}-0")
        return
    bar = bottom - MANIFOLD
    sheet.line([(x, low), (x, bar)], TUBE, colour=BLUE, order=3.0)
    sheet.line([(x + beside[0], bar), (x + beside[-1], bar)], TUBE, colour=BLUE, order=3.0)
    for k, dx in enumerate(beside):
        path = [(x + dx, bar), (x + dx, bottom + 1.0)]
        sheet.arrow(path, BLUE, TUBE, HEAD * 0.8, gid=f"{gid}-{k}")


def _jacket_inlet(column: StageColumn) -> str:
    jacket = column.stage.jacket
    return jacket.inlet_at if jacket is not None else "head"


def _inlet_place(column: StageColumn) -> float:
    """Return where a jacket's riser stands [mm]."""
    return column.along(ENDS[_jacket_inlet(column) != "head"])


def _beside_risers(plan: SchematicPlan, x: float, way: float) -> float:
    """Return where a port's words begin, beyond any riser that would strike them."""
    goals = (plan.column(e.to) for e in (plan.machine.exhaust_1, plan.machine.exhaust_2))
    risers = sorted((_inlet_place(g) for g in goals if g is not None), key=lambda r: way * r)
    for riser in risers:
        if -1.0 < way * (riser - x) < PORT_WORDS:
            x = riser + way * 1.5
    return x


def _run(sheet: Sheet, path: Sequence[SheetPoint], hops: Sequence[float]) -> None:
    """Draw an exhaust line; on its level part it hops over the risers at `hops`."""
    (x0, y0), (x1, y1), (x2, _) = path
    sheet.line([(x0, y0), (x1, y1)], TUBE, colour=BLUE, order=3.0)
    way = 1.0 if x2 > x1 else -1.0
    points: list[SheetPoint] = [(x1, y1)]
    for hop in hops:
        points += _arc(hop, y1, way)
    points.append((x2, y1))
    sheet.line(points, TUBE, colour=BLUE, order=3.0)


def _arc(x: float, y: float, way: float) -> list[SheetPoint]:
    shape = ((-1.0, 0.0), (-0.92, 0.38), (-0.71, 0.71), (-0.38, 0.92), (0.0, 1.0),
             (0.38, 0.92), (0.71, 0.71), (0.92, 0.38), (1.0, 0.0))  # fmt: skip
    return [(x + way * HOP * a, y + HOP * b) for a, b in shape]


def _tube_words(
    sheet: Sheet,
    shown: Shown,
    exhaust: Exhaust,
    start: float,
    end: float,
    y: float,
    goal: StageColumn,
) -> None:
    if exhaust.tube is None:
        return
    length = (
        f"{trimmed(exhaust.tube.length, 3)} m"
        if shown.system == "SI"
        else (f"{trimmed(shown.value(exhaust.tube.length, 'length'), 3)} in")
    )
    words = f"tube ⌀{shown.length(exhaust.tube.bore)}, {length}"
    middle = (end + start) / 2 if abs(end - start) < 40 else end - goal.out * 16.0
    sheet.text(middle, y - 2.2, words, ha="center", color=BLUE_WORDS)


def _to_ambient(sheet: Sheet, plan: SchematicPlan, x: float, index: int, exhaust: Exhaust) -> None:
    y = VALVE - 4.0
    sheet.arrow([(x, y), (x, y - 7.5)], BLUE, TUBE, HEAD)
    way = -1.0 if index == 0 else 1.0
    words = "to ambient" + (" through silencer" if exhaust.silencer is not None else "")
    sheet.text(x + way * 1.6, y - 7.0, words, ha="right" if way < 0 else "left", color=BLUE_WORDS)


def _ends(sheet: Sheet, plan: SchematicPlan, column: StageColumn) -> None:
    """Write inlet and outlet temperatures below a jacket."""
    if not column.fed:
        return
    bottom = AXIS - BARREL - JACKET
    at_head = _jacket_inlet(column) == "head"
    inlet, outlet = column.along(ENDS[not at_head]), column.along(ENDS[at_head])
    beside = _branches(column)
    for k, dx in enumerate(beside):
        path = [(outlet + dx, bottom), (outlet + dx, bottom - 7.0)]
        sheet.arrow(path, BLUE, TUBE, HEAD, gid=f"arrow-outlet-{column.index}-{k}")
    way = 1.0 if outlet > inlet else -1.0
    lines, drop = [plan.words.inlet(column.index)], 10.0 if column.long < TIGHT else 0.0
    wound = column.stage.jacket
    if wound is not None and wound.starts > 1:
        lines.append(f"{wound.starts} starts")
    for k, words in enumerate(lines):
        sheet.text(
            inlet + way * (1.6 + beside[-1]), bottom - 3.2 - drop - 3.5 * k, words,
            ha="left" if way > 0 else "right", color=BLUE_WORDS,
        )  # fmt: skip
    ports = (plan.machine.exhaust_1, plan.machine.exhaust_2)
    silenced = any(e.to == column.stage.name and e.silencer is not None for e in ports)
    words = plan.words.outlet(column.index) + (", silencer" if silenced else "")
    words = f"{wound.holes} outlets" + words[4:] if wound is not None and wound.holes > 1 else words
    sheet.text(outlet, bottom - 9.4, words, ha="center", color=BLUE_WORDS)


def _port_words(sheet: Sheet, plan: SchematicPlan, shared: bool) -> None:
    """Write beside the valve what leaves by each port."""
    for i, told in enumerate(plan.words.ports()):
        way = -1.0 if i == 0 else 1.0
        x = _beside_risers(plan, plan.valve + (SQUARE + 1.5 if way > 0 else -3 * SQUARE - 1.5), way)
        name = "ports 1 and 2" if shared and len(plan.words.ports()) == 1 else f"port {i + 1}"
        ha = "right" if way < 0 else "left"
        for k, words in enumerate((name + told[0], *told[1:])):
            sheet.text(x, VALVE + 5.0 - 3.5 * k, words, ha=ha, color=BLUE_WORDS)
