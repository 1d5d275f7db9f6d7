"""The case that `jacketcalc new` writes from a few sizes; its comments say where each is from."""

from __future__ import annotations

import json

from jacketcalc.casefile.quick_options import USUAL_SUPPLY, Asked, Typed
from jacketcalc.casefile.quick_rules import (
    TUBE_SHARE,
    TUBES,
    QuickMachine,
    QuickStage,
    drive_force,
    friction,
    moving_mass,
    scale_machine,
)
from jacketcalc.flow_data import STANDARD_ATMOSPHERE, throat_area
from jacketcalc.geometry import circle_area, circle_diameter
from jacketcalc.number_text import significant

WIDE = 0.016
"""Outside diameter up to which tubes are usually polyurethane [m]."""
_COLUMN = 36
"""Column of the comments [-]."""
_WIDTH = 98
"""Columns that a line may take [-]."""
SIZE, PRESSURE, FLOW = "+- 0.5 %", "+- 2 %", "+- 10 %"
"""Tolerance of a size, a pressure and a catalogue's flow that were told: practice, no source."""
HEAD = """\
# A case for jacketcalc, scaled from a few sizes. It is a beginning, not a design.
# Every number says where it comes from: "told" is what the command was told, with a tolerance
# that is usual for its kind; all others follow a rule. Replace them with those of your machine,
# and `source` with measured, drawing, catalogue, standard or invented. Rules without a named
# source are common practice.
#
# HIGH-PRESSURE AIR CAN KILL. A design calculation is not a permit: follow local codes,
# and have pressure equipment designed, built and tested by licensed people. Strength is not
# checked here.
#
# `jacketcalc check FILE` prints what was understood; `jacketcalc assess FILE` computes;
# `jacketcalc new -` prints a case with every key that there is.
"""
"""What stands first."""


def write_case(asked: Asked, command: str = "", *, jackets: bool = True) -> str:
    """Return a whole commented case.

    Parameters
    ----------
    asked : what is told
    command : what it was told with
    jackets : whether its stages have any
    """
    machine = scale_machine(asked)
    parts = [
        HEAD + (f"#\n# Written by: {command}\n" if command else ""),
        f"title = {json.dumps(asked.title or _title(machine), ensure_ascii=False)}\n",
        *([] if jackets else [_make(asked, machine)]),
        _surroundings(asked),
        _valve(asked, machine),
        _drive(asked, machine),
        *(_stage(asked, machine, place, jackets) for place in range(len(machine.stages))),
        _receiver(asked, machine),
        _exhaust(asked, machine, jackets),
    ]
    return "\n".join(parts)


def _title(m: QuickMachine) -> str:
    count = "Single" if len(m.stages) == 1 else "Two"
    return f"{count}-stage booster, drive {_mm(m.bore)} x {_mm(m.stroke)}, {_gauge(m.receiver)}"


def _mm(size: float) -> str:
    return f"{significant(size * 1e3, 6)} mm"


def _rough(number: float) -> str:
    """Return a number with two digits that count, never with an exponent."""
    return f"{float(f'{number:.2g}'):.15g}"


def _gauge(pressure: float) -> str:
    return f"{significant((pressure - STANDARD_ATMOSPHERE) / 1e5, 4)} bar(g)"


def _entry(key: str, value: str, why: str = "") -> str:
    """Return one line, its comment in the column of comments and carried on where it is long."""
    text = f"{key} = {value}"
    if not why:
        return text
    words, lines = why.split(), [f"{text:<{_COLUMN - 2}}  #"]
    for word in words:
        if len(lines[-1]) + 1 + len(word) > _WIDTH:
            lines.append(" " * _COLUMN + "#  ")
        lines[-1] += f" {word}"
    return "\n".join(lines)


def _size(key: str, size: float, why: str) -> str:
    return _entry(key, f'"{_mm(size)}"', why)


def _told(key: str, typed: Typed | None, size: float, why: str) -> str:
    """Return a line of a size in the unit in which it was told."""
    return _entry(key, f'"{typed.text} {SIZE}"' if typed else f'"{_mm(size)}"', why)


def _table(head: str, *lines: str) -> str:
    return "\n".join([head, *lines, 'source = "assumed"']) + "\n"


def _make(asked: Asked, m: QuickMachine) -> str:
    """Return what the shop can make, to be filled in before jackets are proposed."""
    lines = [
        _entry("#step", '"0.5 mm"', "of pitch, gap, rib, length and holes"),
        _entry("#smallest_rib", '"2 mm"', "that can be made"),
        _entry("#least_turns", "2", "of each start round its barrel"),
        _entry("#cutter_widths", '"12 mm, 16 mm, 20 mm"', "a pitch less its rib is one of them"),
    ]
    if asked.tube:
        why = f"of the tube that was told, {_mm(m.tube_outside)} outside; a usual wall"
        lines.append(_entry("tube_bores", f'"{_mm(m.tube_bore)}"', why))
    else:
        lines.append(_entry("#tube_bores", '"9 mm, 12 mm"', "on the shelf"))
    head = f"{'[make]':<{_COLUMN - 2}}  # what your shop can make: `propose` keeps to it"
    return _table(head, *lines)


def _surroundings(asked: Asked) -> str:
    supply = asked.supply or USUAL_SUPPLY
    why = "told" if asked.supply else "not told: a usual workshop network"
    return "\n".join([
        _table("[ambient]", _entry("temperature", '"20 degC"', "a usual workshop")),
        _table("[supply]",
               _entry("pressure", _pressure(asked.supply, supply.text), why),
               _entry("temperature", '"20 degC"', "as the workshop: after a receiver and a dryer"),
               _entry("pressure_dew_point", '"3 degC"', "refrigeration dryer, ISO 8573-1 class 4")),
    ])  # fmt: skip


def _valve(asked: Asked, m: QuickMachine) -> str:
    if asked.valve:
        entries, why = asked.valve.entries, "told"
    else:
        entries = f'Qn = "{m.flow * 6e4:.0f} L/min"'
        why = "not told: a throat of 1/400 of the drive's piston, for 0.2 to 0.3 m/s"
    return _table(
        "[valve]",
        _entry("supply_path", f"{{ {_tolerated(entries) if asked.valve else entries} }}", why),
        _entry("exhaust_path", f"{{ {entries} }}", "as the supply path"),
        _entry("switching_time", '"30 ms"', "a piloted valve"),
    )


def _tolerated(entries: str) -> str:
    """Return a valve's flow with the tolerance of a catalogue."""
    key, number, rest = entries.split('"', 2)
    return f'{key}"{number} {FLOW}"{rest}'


def _drive(asked: Asked, m: QuickMachine) -> str:
    bore = "told" if asked.bore else "not told: " + (
        "a usual bore that pushes the stages with 40 % of force to spare" if asked.stages else
        "a usual bore")  # fmt: skip
    stroke = "told" if asked.stroke else "not told: the next usual stroke from 1.2 bores"
    dead = f"{_rough(0.05 * m.swept * 1e6)} cm3"
    wall = max(3e-3, round(m.bore / 40.0 * 2e3) / 2e3)
    rods = {1: 0.0, 2: m.stages[0].rod}
    if len(m.stages) == 2:
        rods = {1: m.stages[0].rod, 2: m.stages[1].rod}
    force = f"{drive_force(m.supply, m.bore) / 1e3:.3g} kN"
    why = f"{force} at 150 MPa at most where that fits into its stage's bore"
    return _table(
        "[drive]",
        _told("bore", asked.bore, m.bore, bore),
        _told("stroke", asked.stroke, m.stroke, stroke),
        _size("rod_1", rods[1], why if rods[1] else "no stage at this end"),
        _size("rod_2", rods[2], why if not rods[1] else "by the same rule"),
        _entry("dead_volume_1", f'"{dead}"', "5 % of the swept volume"),
        _entry("dead_volume_2", f'"{dead}"', "5 % of the swept volume"),
        _entry("moving_mass", f'"{moving_mass(m.bore):g} kg"', "4 kg at 100 mm, as the area"),
        _entry("friction", f'"{friction(m.bore):.0f} N"', "60 N at 100 mm, as the bore"),
        _size("wall_thickness", wall, "1/40 of the bore, at least 3 mm"),
        _entry("material", '"aluminium 6061"', "extruded cylinder tube"),
    )


def _stage(asked: Asked, m: QuickMachine, place: int, jackets: bool) -> str:
    stage, single = m.stages[place], len(m.stages) == 1
    name = "single" if single else ("first", "second")[place]
    bore = "told" if asked.stages else "not told: " + (
        "leaves 40 % of the drive's force to spare" if asked.receiver else
        f"{(0.32, 0.14)[place]:g} drive bores")  # fmt: skip
    if not asked.stages and asked.receiver and not single:
        bore += ", both stages of one pressure ratio"
    stroke = 1 if single or place == 1 else 2
    parts = [_table(
        f"{'[[stage]]':<{_COLUMN - 2}}  # its check valves are filled in from the bore",
        _entry("name", f'"{name}"'),
        _entry("draws_from", '"supply"' if place == 0 else '"first"'),
        _entry("compresses_on_stroke", str(stroke), "" if single else "the stages push in turn"),
        _told("bore", asked.stages[place] if asked.stages else None, stage.bore, bore),
        _entry("clearance", '"5 %"', "valves in the head"),
        _size("wall_thickness", stage.wall, f"Lame's formula at {_gauge(stage.pressure)} and "
              "100 MPa, at least 5 mm"),
        _entry("material", '"carbon steel"', "honed tube"),
        _entry("seal_material", '"PTFE"', "dry running"),
    )]  # fmt: skip
    if place == 1:
        parts.append(_table(
            "[stage.line]",
            _entry("volume", f'"{_rough(m.line_volume * 1e6)} cm3"',
                   "4 times what the first stage sweeps: pressure stays steady"),
            _entry("heat_loss", f'"{_rough(m.line_heat)} W/K"',
                   "cooler of 3 times the air's capacity flow at 0.25 m/s: a quarter of the "
                   "temperature rise stays"),
        ))  # fmt: skip
    return "\n".join([*parts, *([_jacket(stage)] if jackets else [])])


def _jacket(stage: QuickStage) -> str:
    j = stage.jacket
    return _table(
        "[stage.jacket]",
        _size("gap", j.gap, "with the pitch, 5 times the throat of the valve: the passage then has "
              "about twice the valve's C"),
        _size("pitch", j.pitch, f"{j.turns} turns: the most with a gap of "
              "0.35 widths and a hydraulic diameter of 0.14 diameters of curvature at most"
              if j.turns > 2 else "2 turns, the fewest"),
        _size("rib", j.rib, "can be moulded"),
        _size("length", j.length, "most of the stroke, in whole turns"),
        _size("offset", j.offset, "at least half of pitch and rib: the jacket begins at the head"),
        _entry("rib_joint", '"shell"', "the ribs are moulded with the shell"),
        _size("shell_thickness", j.shell, "1/20 of the shell's bore, at least 4 mm"),
        _entry("shell_material", '"POM"', "can be turned or moulded"),
    )  # fmt: skip


def _receiver(asked: Asked, m: QuickMachine) -> str:
    text = _pressure(asked.receiver, _gauge(m.receiver))
    why = "told" if asked.receiver else "not told: 60 % of where the drive's force ends"
    return _table("[receiver]", _entry("pressure", text, why))


def _pressure(typed: Typed | None, otherwise: str) -> str:
    """Return a pressure, with the tolerance of one that was told."""
    return f'"{typed.text} {PRESSURE}"' if typed else f'"{otherwise}"'


def _exhaust(asked: Asked, m: QuickMachine, jackets: bool) -> str:
    if not jackets:
        return "\n".join(
            _table(f"[exhaust.port_{port}]", _entry("to", '"atmosphere"', "no jackets yet"))
            for port in (1, 2)
        )
    wall = 0.5 * (m.tube_outside - m.tube_bore)
    material = "PU" if m.tube_outside <= WIDE else "PA12"
    share = circle_area(m.tube_bore) / throat_area(m.sonic)
    why = "told" if asked.tube else "not told: the next that is wide enough"
    why = f"outside {_mm(m.tube_outside)}, {why}; a usual wall. Its bore has {share:.2g} times "
    why += "the area of the valve's throat"
    least = circle_diameter(TUBE_SHARE * throat_area(m.sonic))
    wider = next((outside for outside, bore in TUBES.items() if bore >= least), 0.0)
    if wider > m.tube_outside:
        why += f": it resists. One of {_mm(wider)} has {TUBE_SHARE:g} times or more"
    tube = f'{{ bore = "{_mm(m.tube_bore)}", wall = "{_mm(wall)}", length = "0.4 m", '
    tube += f'material = "{material}" }}'
    single = len(m.stages) == 1
    goals = ("single", "single") if single else ("second", "first")
    said = ("both ports feed the one jacket, in turn" if single else "the hotter stage", "")
    return "\n".join(
        _table(f"[exhaust.port_{port}]", _entry("to", f'"{goals[port - 1]}"', said[port - 1]),
               *_over(why if port == 1 else "as the other tube"), f"tube = {tube}")
        for port in (1, 2)
    )  # fmt: skip


def _over(why: str) -> list[str]:
    """Return a comment on the lines above an entry that is too long to hold it."""
    lines = ["#"]
    for word in why.split():
        if len(lines[-1]) + 1 + len(word) > _WIDTH:
            lines.append("#")
        lines[-1] += f" {word}"
    return lines
