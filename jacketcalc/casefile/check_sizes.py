"""Checks of sizes that no machine can have together, each with the relation it breaks.

What can be but is hardly meant is a note: see `improbable`.
"""

from __future__ import annotations

from jacketcalc.casefile.catalogue_data import typed_flow
from jacketcalc.casefile.collect import Collector
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.read_values import CaseView
from jacketcalc.flow_data import VALVE_AREA
from jacketcalc.inputs import FEEDS

AREA_OF_CONDUCTANCE = VALVE_AREA / 1e-8
"""Effective area of a valve over its sonic conductance [m2 Pa s/m3]."""
STRONGEST = 3e9
"""Stress that the strongest drawn steel wire bears, some 3 GPa (from memory) [Pa]."""
QUARTER_PI = 0.785398163
"""Area of a circle over the square of its diameter [-]."""


def check_sizes(collector: Collector) -> None:
    """Check what stands in several tables of the machine."""
    _check_rests(collector)
    _check_rod_stress(collector)
    for path in collector.values.stage_paths:
        stage = collector.values.at(*path)
        _check_barrel(collector, stage)
        _check_springs(collector, stage)
        for key in ("inlet", "delivery"):
            _check_valve_area(collector, stage, key)
        jacket = stage.inside("jacket")
        _check_roughness(collector, jacket, "gap", "the gap")
    for port in ("port_1", "port_2"):
        tube = collector.values.at("exhaust", port, "tube")
        _check_roughness(collector, tube, "bore", "the bore")


def _length(collector: Collector, value: float) -> str:
    return collector.show(value, "length")


def _stated(collector: Collector, path: Path) -> bool:
    return path in collector.source.spots.keys


def _check_barrel(collector: Collector, stage: CaseView) -> None:
    """Refuse a barrel that does not hold stroke, clearance and piston."""
    stroke = collector.values.at("drive").maybe("stroke")
    if stroke is None or not stage.holds("barrel_length", "clearance", "piston_length"):
        return
    barrel, piston = stage.number("barrel_length"), stage.number("piston_length")
    clearance = stage.number("clearance") * stroke
    least = stroke + clearance + piston
    if barrel >= least * (1.0 - 1e-6):
        return
    filled = "" if _stated(collector, (*stage.path, "piston_length")) else " (filled in)"
    space = barrel - stroke - clearance
    shorter = f", or a piston_length of {_length(collector, space)} or less" if space > 0.0 else ""
    collector.add(
        "barrel-short",
        "the barrel is shorter than stroke, clearance and piston",
        (*stage.path, "barrel_length"),
        label=f"{_length(collector, barrel)}, together {_length(collector, least)}",
        why=f"stroke {_length(collector, stroke)}, clearance {_length(collector, clearance)} and "
        f"piston {_length(collector, piston)}{filled} lie one behind the other in it",
        fix=f"a barrel_length of {_length(collector, least)} or more{shorter}",
    )


def _check_rod_stress(collector: Collector) -> None:
    """Refuse a rod that no material could be made into; strength itself is not checked."""
    drive, values = collector.values.at("drive"), collector.values
    supply, ambient = values.at("supply").maybe("pressure"), values.at("ambient").maybe("pressure")
    bore = drive.maybe("bore")
    if supply is None or ambient is None or bore is None or supply <= ambient:
        return
    for key in ("rod_1", "rod_2"):
        rod = drive.maybe(key)
        if rod is None or not 0.0 < rod < bore * ((supply - ambient) / STRONGEST) ** 0.5:
            continue
        force = (supply - ambient) * QUARTER_PI * bore**2
        stress = force / (QUARTER_PI * rod**2)
        collector.add(
            "rod-thin",
            f'"{key}" is too thin for the force of the drive',
            (*drive.path, key),
            label=_length(collector, rod),
            why=f"{collector.show(force, 'force')} on it is a stress of {stress / 1e9:.3g} GPa; "
            f"the strongest steel wire bears some {STRONGEST / 1e9:.0f} GPa",
            fix="its diameter, or 0 mm where no rod passes",
        )


def _check_roughness(collector: Collector, table: CaseView, key: str, what: str) -> None:
    """Refuse grains that would touch those of the opposite wall."""
    if not table.holds("roughness", key):
        return
    grain, height = table.number("roughness"), table.number(key)
    if 2.0 * grain < height:
        return
    own = (*table.path, "roughness")
    collector.add(
        "roughness-size",
        f"the roughness fills {what}",
        own if _stated(collector, own) else (*table.path, key),
        label=f"roughness {_length(collector, grain)}, {key} {_length(collector, height)}",
        why=f"grains on both walls, {_length(collector, 2.0 * grain)}, leave nothing of it",
        fix=f"a roughness below {_length(collector, 0.5 * height)}",
    )


def _check_valve_area(collector: Collector, stage: CaseView, key: str) -> None:
    """Refuse a check valve that passes more than an opening as wide as the piston."""
    valve = stage.inside(key)
    bore, sonic = stage.maybe("bore"), valve.maybe("C")
    if bore is None or sonic is None:
        return
    area, piston = AREA_OF_CONDUCTANCE * sonic, QUARTER_PI * bore**2
    if area <= piston:
        return
    most = collector.show(piston / AREA_OF_CONDUCTANCE, "conductance", 3)
    collector.add(
        "valve-wide",
        f"the {'suction' if key == 'inlet' else 'delivery'} valve is wider than the piston",
        typed_flow(collector.values, valve.path),
        label=f"as a nozzle of {collector.show(area, 'area', 3)}, piston "
        f"{collector.show(piston, 'area', 3)}",
        why="a conductance of 1 dm3/(s bar) is that of a nozzle of 5.02 mm2, and the valve sits "
        "in the head, which is as wide as the piston",
        fix=f"less than {most}; usual is a hundredth of it",
    )


def _check_rests(collector: Collector) -> None:
    """Refuse an imposed rate whose cycle is over before its rests are."""
    valve = collector.values.at("valve")
    rate = valve.maybe("cycle_rate")
    if rate is None or not valve.holds("switching_time", "pause"):
        return
    rests = 2.0 * (valve.number("switching_time") + valve.number("pause"))
    if rests * rate < 1.0:
        return
    collector.add(
        "rest-long",
        "the rests alone last longer than the imposed cycle",
        (*valve.path, "cycle_rate"),
        label=f"a cycle of {collector.show(1.0 / rate, 'time')}",
        why=f"switching_time and pause come twice a cycle: {collector.show(rests, 'time')}",
        fix=f"a cycle_rate below {collector.show(1.0 / rests, 'rate')}, or shorter rests",
    )


def _check_springs(collector: Collector, stage: CaseView) -> None:
    """Refuse a suction valve that even an empty chamber does not open."""
    values, fed_by = collector.values, stage.word("draws_from")
    first = fed_by in FEEDS
    name = fed_by if first else "receiver"
    source = values.at(name).maybe("pressure")
    opening = stage.inside("inlet").maybe("cracking_pressure")
    if source is None or opening is None or opening < source:
        return
    collector.add(
        "spring-strong",
        "the suction valve never opens",
        (*stage.path, "inlet", "cracking_pressure"),
        label=f"{name} {collector.show(source, 'pressure')}",
        why="the pressure difference over it is at most that of the gas before it, when the "
        "chamber is empty" + ("" if first else "; that gas never has the receiver's pressure"),
        fix=f"less than {collector.show(source, 'pressure difference')}; usual is 0.05 bar",
    )
