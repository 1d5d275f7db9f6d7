"""The rows of the side-by-side table: what is shown of a machine, in which unit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from jacketcalc.core.outcome import JacketOutcome, Outcome, StageOutcome
from jacketcalc.inputs import Machine

Kind = Literal["relative", "difference", "none"]
Read = Callable[[Outcome], float | None]


@dataclass(frozen=True, kw_only=True)
class Row:
    """One quantity of a machine."""

    label: str
    dimension: str
    """Dimension, which gives the unit."""
    read: Read
    """Its SI value, None where this machine has none."""
    digits: int = 4
    """Significant digits of the larger value [-]."""
    change: Kind = "relative"
    """How a change of it is shown."""


def machine_rows() -> list[Row]:
    """Return the rows of the whole machine."""
    return [
        Row(
            label="delivered air",
            dimension="hourly mass flow",
            read=lambda o: o.delivered_mass_flow,
        ),
        Row(label="cycle rate", dimension="rate", read=lambda o: o.cycle_rate),
        Row(label="drive air", dimension="hourly mass flow", read=lambda o: o.drive_air_mass_flow),
        Row(
            label="drive air / delivered",
            dimension="share",
            read=lambda o: o.drive_air_per_kg if o.delivers else None,
        ),
        Row(label="drive work per cycle", dimension="energy", read=lambda o: o.drive_work),
        Row(
            label="drive cylinder wall",
            dimension="temperature",
            read=lambda o: o.drive_wall_temperature,
            change="difference",
        ),
    ]


def stage_rows(index: int) -> list[Row]:
    """Return the rows of one stage's gas and wall."""

    def at(read: Callable[[StageOutcome], float]) -> Read:
        return lambda outcome: read(outcome.stages[index])

    def passing(read: Callable[[StageOutcome], float]) -> Read:
        def value(outcome: Outcome) -> float | None:
            stage = outcome.stages[index]
            return read(stage) if stage.delivers else None

        return value

    def temperature(
        label: str, read: Callable[[StageOutcome], float], where: Callable[..., Read] = at
    ) -> Row:
        return Row(label=label, dimension="temperature", read=where(read), change="difference")

    return [
        temperature("charge temperature", lambda s: s.charge_temperature, passing),
        temperature("discharge temperature", lambda s: s.discharge_temperature, passing),
        temperature("peak temperature", lambda s: s.peak_temperature),
        Row(label="mass per stroke", dimension="small mass", read=at(lambda s: s.mass_per_stroke)),
        Row(
            label="volumetric efficiency",
            dimension="ratio",
            read=at(lambda s: s.volumetric_efficiency),
            digits=3,
        ),
        Row(label="compression work", dimension="energy", read=at(lambda s: s.compression_work)),
        temperature("wall, coldest", lambda s: s.wall_temperature.min),
        temperature("wall, mean", lambda s: s.wall_temperature.mean),
        temperature("wall, hottest", lambda s: s.wall_temperature.max),
    ]


def exhaust_rows(machine: Machine, index: int) -> list[Row]:
    """Return the rows of the exhaust that feeds one stage's jacket."""
    node = find_node(machine, machine.stages[index].name)

    def jacket(read: Callable[[JacketOutcome], float]) -> Read:
        def value(outcome: Outcome) -> float | None:
            found = outcome.stages[index].jacket
            return None if found is None else read(found)

        return value

    def port(read: Callable[[Outcome], tuple[float, ...]]) -> Read:
        return lambda outcome: read(outcome)[node]

    return [
        Row(
            label="exhaust at the port",
            dimension="temperature",
            read=port(lambda o: o.port_temperature),
            change="difference",
        ),
        Row(
            label="jacket inlet",
            dimension="temperature",
            read=jacket(lambda j: j.inlet_temperature),
        ),
        Row(
            label="jacket vent",
            dimension="temperature",
            read=jacket(lambda j: j.outlet_temperature),
        ),
        Row(label="jacket heat", dimension="power", read=jacket(lambda j: j.heat)),
        Row(
            label="back-pressure, mean",
            dimension="pressure difference",
            read=port(lambda o: o.back_pressure_mean),
            digits=3,
            change="none",
        ),
        Row(
            label="back-pressure, peak",
            dimension="pressure difference",
            read=port(lambda o: o.back_pressure_peak),
            digits=3,
            change="none",
        ),
        Row(
            label="equivalent C",
            dimension="conductance",
            read=jacket(lambda j: j.sonic_conductance),
            digits=3,
        ),
        Row(
            label="equivalent b",
            dimension="ratio",
            read=jacket(lambda j: j.critical_pressure_ratio),
            digits=2,
        ),
    ]


def find_node(machine: Machine, stage: str) -> int:
    """Return the exhaust node that feeds a stage's jacket; both ports into one share a node."""
    return 0 if machine.exhaust_1.to == stage else 1
