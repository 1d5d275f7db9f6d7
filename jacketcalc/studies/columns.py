"""What a study keeps of each machine: columns of numbers in SI."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from jacketcalc.assessment.compare import compare, hottest_discharge
from jacketcalc.assessment.water import water_margins
from jacketcalc.components.passage_geometry import helix_sizes
from jacketcalc.coupling.outcome import JacketOutcome, Outcome, StageOutcome
from jacketcalc.inputs import Machine, Stage
from jacketcalc.units import SI_UNITS

Numbers = Mapping[str, float]
"""Column names to values."""

UNITS = {
    **SI_UNITS,
    "small mass": "kg",
    "hourly mass flow": "kg/s",
    "velocity": "m/s",
    "power": "W",
    "heat transfer coefficient": "W/(m2 K)",
    "percent": "",
}
"""SI unit of each dimension a column can have."""


@dataclass(frozen=True, kw_only=True)
class Column:
    """One quantity of a machine."""

    name: str
    """Stable name; a stage's name stands behind a point."""
    head: str
    """Name for people."""
    dimension: str
    """Dimension that gives the units."""

    @property
    def unit(self) -> str:
        """SI unit, empty where there is none."""
        return UNITS[self.dimension]


_MACHINE: dict[str, tuple[str, str, Callable[[Outcome], float]]] = {
    "delivered_mass_flow": (
        "delivered air", "hourly mass flow", lambda o: o.delivered_mass_flow,
    ),
    "cycle_rate": ("cycle rate", "rate", lambda o: o.cycle_rate),
    "mass_per_cycle": ("delivered a cycle", "small mass", lambda o: o.mass_per_cycle),
    "drive_air_per_kg": ("drive air / delivered", "number", lambda o: o.drive_air_per_kg),
    "hottest_discharge": ("hottest discharge", "temperature", hottest_discharge),
    "force_margin": ("drive force to spare", "percent", lambda o: o.force_margin),
    "stall_pressure": ("stalls at", "pressure", lambda o: o.stall_pressure),
}  # fmt: skip
_STAGE: dict[str, tuple[str, str, Callable[[StageOutcome], float]]] = {
    "charge_temperature": ("charge", "temperature", lambda s: s.charge_temperature),
    "discharge_temperature": ("discharge", "temperature", lambda s: s.discharge_temperature),
    "mass_per_stroke": ("mass per stroke", "small mass", lambda s: s.mass_per_stroke),
    "wall_temperature": ("wall, mean", "temperature", lambda s: s.wall_temperature.mean),
    "wall_hottest": ("wall, hottest", "temperature", lambda s: s.wall_temperature.max),
    "seal_temperature": ("seal", "temperature", lambda s: s.seal_temperature),
}
_JACKET: dict[str, tuple[str, str, Callable[[JacketOutcome], float]]] = {
    "velocity_peak": ("velocity, peak", "velocity", lambda j: j.velocity_peak),
    "mach_peak": ("Mach, peak", "number", lambda j: j.mach_peak),
    "coefficient": ("h", "heat transfer coefficient", lambda j: j.coefficient),
    "jacket_heat": ("jacket heat", "power", lambda j: j.heat),
    "back_pressure_mean": (
        "back-pressure, mean", "pressure difference", lambda j: j.back_pressure_mean,
    ),
    "back_pressure_peak": (
        "back-pressure, peak", "pressure difference", lambda j: j.back_pressure_peak,
    ),
    "passage_coldest": ("passage wall, coldest", "temperature", lambda j: j.coldest_wall),
}  # fmt: skip
_OF_DELIVERY = ("drive_air_per_kg", "hottest_discharge", "charge_temperature",
                "discharge_temperature")  # fmt: skip
"""Numbers that mean nothing where nothing is delivered."""
_GEOMETRY = {"turns": ("turns", "number"), "land": ("land", "length")}
_WATER = ("condensation_margin", "wall over the dew point", "temperature difference")
CHANGES = {
    "change.delivered_mass_flow": ("delivered air", "percent"),
    "change.mass_per_cycle": ("delivered a cycle", "percent"),
    "change.cycle_rate": ("cycle rate", "percent"),
    "change.drive_air_per_kg": ("drive air / delivered", "percent"),
    "change.hottest_discharge": ("hottest discharge", "temperature difference"),
}
"""Changes against the bare machine under the same stirring."""
COOLING_ALONE, RESISTANCE_ALONE = "change.cooling_alone", "change.resistance_alone"
PARTS = {
    COOLING_ALONE: "delivered air by cooling alone",
    RESISTANCE_ALONE: "delivered air by resistance alone",
}
"""Changes that explain the change of delivered air, under the models of the case alone."""


def list_columns(machine: Machine, *, split: bool = False) -> tuple[Column, ...]:
    """Return the columns of a machine, in the order of tables; `split` adds `PARTS`."""
    found = [Column(name=n, head=h, dimension=d) for n, (h, d, _) in _MACHINE.items()]
    found += [Column(name="frost_margin", head="frost margin", dimension="temperature difference")]
    for stage in machine.stages:
        entries = {n: (h, d) for n, (h, d, _) in _STAGE.items()}
        if fed(machine, stage):
            entries.update(_GEOMETRY)
            entries.update({n: (h, d) for n, (h, d, _) in _JACKET.items()})
        entries[_WATER[0]] = _WATER[1:]
        found += [
            Column(name=f"{n}.{stage.name}", head=f"{h}, {stage.name}", dimension=d)
            for n, (h, d) in entries.items()
        ]
    found += [
        Column(name=n, head=f"{h}, change from bare", dimension=d) for n, (h, d) in CHANGES.items()
    ]
    found += [
        Column(name=n, head=f"{h}, change from bare", dimension="percent")
        for n, h in PARTS.items()
        if split
    ]
    return tuple(found)


def fed(machine: Machine, stage: Stage) -> bool:
    """Return whether a stage has a jacket that an exhaust port feeds."""
    to = (machine.exhaust_1.to, machine.exhaust_2.to)
    return stage.jacket is not None and stage.name in to


def measure(machine: Machine, outcome: Outcome) -> dict[str, float]:
    """Return the numbers of a machine; of one that stalls or delivers nothing, those it has."""
    numbers = _geometry(machine)
    if outcome.stalled:
        at_rest = {"delivered_mass_flow": 0.0, "cycle_rate": 0.0}
        return {**at_rest, "stall_pressure": outcome.stall_pressure, **numbers}
    idle = () if outcome.delivers else _OF_DELIVERY
    numbers.update({n: read(outcome) for n, (_, _, read) in _MACHINE.items() if n not in idle})
    for stage in outcome.stages:
        idle = () if stage.delivers else _OF_DELIVERY
        for name, (_, _, of_stage) in _STAGE.items():
            if name not in idle:
                numbers[f"{name}.{stage.name}"] = of_stage(stage)
        for name, (_, _, of_jacket) in _JACKET.items() if stage.jacket else ():
            assert stage.jacket is not None
            numbers[f"{name}.{stage.name}"] = of_jacket(stage.jacket)
    if any(stage.jacket is not None for stage in outcome.stages):
        margins = water_margins(machine, outcome)
        numbers["frost_margin"] = margins.frost
        for stage, over_dew in zip(outcome.stages, margins.condensation, strict=True):
            numbers[f"{_WATER[0]}.{stage.name}"] = over_dew
    return numbers


def _geometry(machine: Machine) -> dict[str, float]:
    numbers: dict[str, float] = {}
    for stage in machine.stages:
        if stage.jacket is not None and fed(machine, stage):
            numbers[f"turns.{stage.name}"] = helix_sizes(stage, stage.jacket).turns
            numbers[f"land.{stage.name}"] = stage.jacket.land
    return numbers


def measure_changes(outcome: Outcome, bare: Outcome) -> dict[str, float]:
    """Return the changes from the bare machine; none where that one delivers nothing.

    A jacketed machine that stalls or idles where the bare one delivers has lost all its flow.
    """
    if not bare.delivers:
        return {}
    change = compare(outcome, bare)
    if not outcome.delivers:
        return {"change.delivered_mass_flow": -1.0, "change.cycle_rate": change.cycle_rate}
    return {
        "change.delivered_mass_flow": change.delivered_mass_flow,
        "change.mass_per_cycle": change.mass_per_cycle,
        "change.cycle_rate": change.cycle_rate,
        "change.drive_air_per_kg": change.drive_air_per_kg,
        "change.hottest_discharge": hottest_discharge(outcome) - hottest_discharge(bare),
    }
