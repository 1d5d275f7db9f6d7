"""What a study keeps of each machine: columns of numbers in SI."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from jacketcalc.assessment.compare import compare, hottest_discharge
from jacketcalc.core.outcome import JacketOutcome, Outcome, StageOutcome
from jacketcalc.inputs import Machine, Stage
from jacketcalc.passage_geometry import helix_sizes
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


BAND_ENDS = ("@low", "@high")
"""What stands behind a column's name for the ends of its band; no stage's name can hold an @."""


@dataclass(frozen=True, kw_only=True)
class Column:
    """One quantity of a machine."""

    name: str
    """Stable name; a stage's name stands behind a point, and groups such as `bare.` in front."""
    head: str
    """Name for people."""
    dimension: str
    """Dimension that gives the units."""
    own: bool = True
    """Whether it is a number of the jacketed machine alone, compared with no other."""
    banded: bool = False
    """Whether the ends of its band stand beside it in files."""

    @property
    def band(self) -> tuple[Column, ...]:
        """Columns of the ends of its band, low and high; none where it has none."""
        if not self.banded:
            return ()
        return tuple(
            Column(name=self.name + end, head=f"{self.head}, {words} end of its band",
                   dimension=self.dimension, own=self.own)
            for end, words in zip(BAND_ENDS, ("low", "high"), strict=True)
        )  # fmt: skip

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
_CHANGES = {
    "delivered_mass_flow": ("delivered air", "percent"),
    "mass_per_cycle": ("delivered a cycle", "percent"),
    "cycle_rate": ("cycle rate", "percent"),
    "drive_air_per_kg": ("drive air / delivered", "percent"),
    "hottest_discharge": ("hottest discharge", "temperature difference"),
}
"""Quantities whose changes are kept."""
CHANGE, FROM_CASE, BARE_FROM_CASE = "change", "from_case", "bare_from_case"
_GROUPS = {
    CHANGE: "change from bare",
    FROM_CASE: "change from the case as it stands",
    BARE_FROM_CASE: "bare, change from the bare machine of the case as it stands",
}
"""Changes of a point: from its own bare machine, and of both machines from those of the case;
always under the same member of the band."""
BARE = "bare"
"""Group of the numbers of a point's own bare machine."""
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
    found += _compared(machine)
    found += [
        Column(name=n, head=f"{h}, change from bare", dimension="percent", own=False)
        for n, h in PARTS.items()
        if split
    ]
    return tuple(found)


def _compared(machine: Machine) -> list[Column]:
    """Return the columns of the bare machine and of what changes."""
    bare = [(n, h, d) for n, (h, d, _) in _MACHINE.items()]
    bare += [
        (f"{n}.{stage.name}", f"{h}, {stage.name}", d)
        for stage in machine.stages
        for n, (h, d, _) in _STAGE.items()
    ]
    found = [Column(name=f"{BARE}.{n}", head=f"{h}, bare", dimension=d, own=False)
             for n, h, d in bare]  # fmt: skip
    found += [
        Column(name=f"{group}.{n}", head=f"{h}, {words}", dimension=d, own=False, banded=True)
        for group, words in _GROUPS.items()
        for n, (h, d) in _CHANGES.items()
    ]
    return found


def fed(machine: Machine, stage: Stage) -> bool:
    """Return whether a stage has a jacket that an exhaust port feeds."""
    to = (machine.exhaust_1.to, machine.exhaust_2.to)
    return stage.jacket is not None and stage.name in to


def measure(machine: Machine, outcome: Outcome) -> dict[str, float]:
    """Return the numbers of a machine; of one that stalls or delivers nothing, those it has."""
    numbers = measure_sizes(machine)
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
    numbers.update(_water(outcome))
    return numbers


def _water(outcome: Outcome) -> dict[str, float]:
    """Return the margins against water of a machine with jackets."""
    water = outcome.water
    if water is None or all(stage.jacket is None for stage in outcome.stages):
        return {}
    names = [f"{_WATER[0]}.{stage.name}" for stage in outcome.stages]
    numbers = {n: one.margin for n, one in zip(names, water.stages, strict=True)}
    if water.passage_wall is not None:
        numbers["frost_margin"] = water.passage_wall.margin
    return numbers


def measure_sizes(machine: Machine) -> dict[str, float]:
    """Return the numbers of a machine that need no solving."""
    numbers: dict[str, float] = {}
    for stage in machine.stages:
        if stage.jacket is not None and fed(machine, stage):
            numbers[f"turns.{stage.name}"] = helix_sizes(stage, stage.jacket).turns
            numbers[f"land.{stage.name}"] = stage.jacket.land
    return numbers


def measure_bare(machine: Machine, outcome: Outcome) -> dict[str, float]:
    """Return the numbers of a point's bare machine, under the names of its group."""
    return {f"{BARE}.{name}": value for name, value in measure(machine, outcome).items()}


def measure_changes(outcome: Outcome, base: Outcome, group: str = CHANGE) -> dict[str, float]:
    """Return the changes from another machine; none where that one delivers nothing.

    A machine that stalls or idles where the other one delivers has lost all its flow.
    """
    if not base.delivers:
        return {}
    change = compare(outcome, base)
    found = {"delivered_mass_flow": -1.0, "cycle_rate": change.cycle_rate}
    if outcome.delivers:
        found = {
            "delivered_mass_flow": change.delivered_mass_flow,
            "mass_per_cycle": change.mass_per_cycle,
            "cycle_rate": change.cycle_rate,
            "drive_air_per_kg": change.drive_air_per_kg,
            "hottest_discharge": hottest_discharge(outcome) - hottest_discharge(base),
        }
    return {f"{group}.{name}": value for name, value in found.items()}
