"""Where a case sits in the stated range of each correlation it uses."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from jacketcalc.assessment.gas_notes import CYLINDER_LAWS
from jacketcalc.core.profiles import PassageDetail, StageDetail
from jacketcalc.correlations.blends import TUBE_TURBULENT
from jacketcalc.correlations.records import CLOSURE_RECORDS, catalogue
from jacketcalc.formula import Correlation
from jacketcalc.gas.stage_gas import stage_gas_table
from jacketcalc.gas.table import GasTable, air
from jacketcalc.geometry import circle_area, helix_sizes, radius_ratio
from jacketcalc.inputs import Case, Exhaust, Jacket, Stage

if TYPE_CHECKING:
    from jacketcalc.assessment.result import Assessment

Span = tuple[float, float]
LAMINAR = TUBE_TURBULENT
"""Reynolds number above which a laminar form has no say: turbulent flow in a straight tube is
complete there (from memory) [-]."""
_CHANNEL = (
    "rectangle, laminar friction",
    "coil, laminar friction",
    "coil, turbulent friction",
    "coil, critical Reynolds number",
)


@dataclass(frozen=True, kw_only=True)
class RangeUse:
    """One variable of a correlation, stated range against the case."""

    record: str
    """Name of the correlation."""
    place: str
    """Where it is used, such as `jacket of second`."""
    variable: str
    stated: Span
    """Stated range, lowest and highest [-]."""
    found: Span
    """Lowest and highest value in the case [-]."""
    in_force: bool = True
    """Whether the flow is in the regime the correlation is for."""

    @property
    def inside(self) -> bool:
        """Whether the case keeps the range."""
        return self.stated[0] <= self.found[0] and self.found[1] <= self.stated[1]


def used_records(case: Case) -> tuple[Correlation, ...]:
    """Return the correlations that a case's models use, the band's closures included."""
    machine = case.machine
    closures = dict.fromkeys((machine.models.jacket, "low", "high"))
    names = [*_CHANNEL, *(name for c in closures for name in CLOSURE_RECORDS[c])]
    names += ["gas property ratio"]
    if any(e.tube is not None for e in (machine.exhaust_1, machine.exhaust_2)):
        names += ["tube, turbulent friction", "tube, turbulent"]
    if any(s.jacket is not None and s.jacket.rib_joint == "barrel" for s in machine.stages):
        names += ["fin"]
    names += [*CYLINDER_LAWS[machine.models.cylinder], "drive chamber"]
    names += ["ambient air round a horizontal cylinder", "ISO 6358 element"]
    return tuple(catalogue()[name] for name in dict.fromkeys(names))


def range_uses(found: Assessment) -> tuple[RangeUse, ...]:
    """Return every stated range that has a value in this case."""
    if found.jacketed.stalled:
        return ()
    uses = []
    for record in used_records(found.case):
        for place, values in _values(found, record.name):
            for variable, stated in record.variables_range.items():
                if variable in values:
                    uses.append(
                        RangeUse(record=record.name, place=place, variable=variable,
                                 stated=stated, found=values[variable],
                                 in_force=_in_force(record.name, values))
                    )  # fmt: skip
    return tuple(uses)


def _in_force(record: str, values: Mapping[str, Span]) -> bool:
    """Return whether a laminar form meets any laminar flow."""
    return "laminar" not in record or values.get("Re", (0.0, 0.0))[0] <= LAMINAR


def _values(found: Assessment, record: str) -> list[tuple[str, Mapping[str, Span]]]:
    machine = found.case.machine
    if record == "ISO 6358 element":
        elements = [machine.valve.supply_path, machine.valve.exhaust_path]
        elements += [c.conductance for s in machine.stages for c in (s.inlet, s.delivery)]
        ratios = [element.critical_back_pressure_ratio for element in elements]
        return [("valves", {"b": (min(ratios), max(ratios))})]
    if record == "gas spring":
        pairs = zip(machine.stages, found.jacketed_detail.stages, strict=True)
        rate, gas = found.jacketed.cycle_rate, stage_gas_table(machine)
        return [(f"stage {s.name}", {"Pe": _peclet(gas, s, detail, rate)}) for s, detail in pairs]
    tube = record.startswith("tube")
    places = []
    for stage, outcome in zip(machine.stages, found.jacketed.stages, strict=True):
        along = [p for p in found.jacketed_detail.passages if p.stage == stage.name]
        if stage.jacket is None or outcome.jacket is None or not along:
            continue
        if tube:
            fed = [e for e in (machine.exhaust_1, machine.exhaust_2) if e.to == stage.name]
            places += [(f"tube to {stage.name}", _tube(e, along[0])) for e in fed[:1] if e.tube]
            continue
        Re = (outcome.jacket.reynolds_mean, outcome.jacket.reynolds_peak)
        places.append((f"jacket of {stage.name}", _channel(stage, stage.jacket, Re, along[0])))
    return places


def _channel(stage: Stage, jacket: Jacket, Re: Span, passage: PassageDetail) -> Mapping[str, Span]:
    sizes = helix_sizes(stage, jacket)
    curvature = sizes.hydraulic_diameter / sizes.curvature_diameter
    aspect = jacket.gap / sizes.clear_width
    ratio = radius_ratio(stage, jacket)
    slender = sizes.hydraulic_diameter / sizes.path_length
    T = 0.5 * (passage.temperature[1:] + passage.temperature[:-1])
    heating = T / passage.wall_temperature
    Pr = _prandtl(passage)
    return {
        "Re": Re,
        "De": (Re[0] * math.sqrt(curvature), Re[1] * math.sqrt(curvature)),
        "curvature": (curvature, curvature),
        "aspect": (aspect, aspect),
        "radius ratio": (ratio, ratio),
        "D/L": (slender, slender),
        "Pr": Pr,
        "temperature ratio": (float(heating.min()), float(heating.max())),
    }


def _prandtl(passage: PassageDetail) -> Span:
    gas = air()
    T = np.asarray(passage.temperature)
    p = np.asarray(passage.pressure_peak)
    mu, k = gas.transport(T, p)
    Pr = mu * gas.thermo(T, p).h_T / k
    return float(Pr.min()), float(Pr.max())


def _tube(exhaust: Exhaust, passage: PassageDetail) -> Mapping[str, Span]:
    tube = exhaust.tube
    assert tube is not None
    strong = int(np.argmax(passage.flow))
    mu, _ = air().transport(passage.port_temperature[strong], passage.port_pressure[strong])
    peak = 4.0 * float(passage.flow[strong]) / (math.pi * tube.bore * float(mu))
    rough = tube.roughness / tube.bore
    return {"Re": (peak, peak), "relative roughness": (rough, rough), "Pr": _prandtl(passage)}


def _peclet(gas: GasTable, stage: Stage, detail: StageDetail, rate: float) -> Span:
    T, p, V = detail.temperature, detail.pressure, detail.volume
    face = circle_area(stage.bore)
    area = 2 * face + 4.0 * V / stage.bore
    state, (_, k) = gas.thermo_beyond(T, p), gas.transport(T, p)
    Pe = 2 * math.pi * rate * (4.0 * V / area) ** 2 * state.rho * state.h_T / (4.0 * k)
    return float(Pe.min()), float(Pe.max())
