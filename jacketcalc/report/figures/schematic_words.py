"""What is written into the schematic: what was solved, or what of a case belongs together."""

from __future__ import annotations

from typing import Protocol

from jacketcalc.assessment.result import Assessment
from jacketcalc.inputs import Case, Machine, Stroke
from jacketcalc.report.figures.number_labels import Shown, number
from jacketcalc.report.figures.style import shorten

Lines = tuple[str, ...]


class PlanWords(Protocol):
    """Words by the place they stand at; stages and ports by their index."""

    def drive(self) -> str: ...
    def chamber(self, index: int) -> str: ...
    def stage(self, index: int) -> str: ...
    def supply(self) -> Lines: ...
    def delivered(self, index: int) -> str: ...
    def drawn(self, index: int) -> str: ...
    def receiver(self, index: int) -> Lines: ...
    def inlet(self, index: int) -> str: ...
    def outlet(self, index: int) -> str: ...
    def ports(self) -> tuple[Lines, ...]: ...


class SolvedWords:
    """Pressures, temperatures and flows of the machine with jackets."""

    def __init__(self, found: Assessment) -> None:
        self.out, self.detail = found.jacketed, found.jacketed_detail
        self.machine, self.shown = found.case.machine, Shown(found.case.document.units)

    def drive(self) -> str:
        return f"{number(self.out.cycle_rate, 2)} cycles a second"

    def chamber(self, index: int) -> str:
        p = self.detail.drive_pressure[index]
        decimals = 1 if self.shown.system == "SI" else 0
        ends = (float(p.min()), float(p.max()))
        low, high = (number(self.shown.value(end, "pressure"), decimals) for end in ends)
        return f"{low} to\n{high} {self.shown.unit('pressure')}"

    def stage(self, index: int) -> str:
        outcome = self.out.stages[index]
        return (
            f"compression starts at {self.shown.temperature(outcome.compression_start_temperature)}"
            f", {self.shown.pressure(outcome.compression_start_pressure)}"
        )

    def supply(self) -> Lines:
        flow = self.shown.with_unit(self.out.drive_air_mass_flow, "mass flow", 2)
        return (supply_words(self.machine, self.shown), f"drive takes {flow}")

    def delivered(self, index: int) -> str:
        outcome = self.out.stages[index]
        return (
            f"delivers {self.shown.temperature(outcome.discharge_temperature)}, "
            f"{self.shown.pressure(outcome.delivery_pressure)}"
        )

    def drawn(self, index: int) -> str:
        return f"draws {self.shown.temperature(self.out.stages[index].suction_temperature)}"

    def receiver(self, index: int) -> Lines:
        return (
            f"delivers {self.shown.temperature(self.out.stages[index].discharge_temperature)}",
            f"at {self.shown.pressure(self.machine.receiver_pressure)},",
            self.shown.with_unit(self.out.delivered_mass_flow, "mass flow", 3),
        )

    def inlet(self, index: int) -> str:
        jacket = self.out.stages[index].jacket
        return "" if jacket is None else f"in {self.shown.temperature(jacket.inlet_temperature)}"

    def outlet(self, index: int) -> str:
        jacket = self.out.stages[index].jacket
        T = "" if jacket is None else f" {self.shown.temperature(jacket.outlet_temperature)}"
        return f"outlet{T}"

    def ports(self) -> tuple[Lines, ...]:
        """Return the exhaust at the valve: temperature, back-pressure mean and peak."""
        out, shown = self.out, self.shown
        decimals, unit = 2 if shown.system == "SI" else 1, shown.unit("pressure difference")
        found = []
        for i, T in enumerate(out.port_temperature):
            both = (out.back_pressure_mean[i], out.back_pressure_peak[i])
            over, top = (number(shown.value(p, "pressure difference"), decimals) for p in both)
            told = (f": {shown.temperature(T)}", f"mean {over} {unit}", f"peak {top} {unit}")
            found.append((*told, "above ambient"))
        return tuple(found)


class CaseWords:
    """Which chamber, port, stage and stroke belong together, from the case alone."""

    def __init__(self, case: Case) -> None:
        self.machine, self.shown = case.machine, Shown(case.document.units)

    def drive(self) -> str:
        return f"stroke {self.shown.length(self.machine.drive.stroke)}"

    def chamber(self, index: int) -> str:
        return f"filled on\nstroke {index + 1}"

    def stage(self, index: int) -> str:
        return f"compresses on stroke {self.machine.stages[index].compresses_on}"

    def supply(self) -> Lines:
        return (supply_words(self.machine, self.shown),)

    def delivered(self, index: int) -> str:
        return f"delivers on stroke {self.machine.stages[index].compresses_on}"

    def drawn(self, index: int) -> str:
        return f"draws on stroke {other_stroke(self.machine.stages[index].compresses_on)}"

    def receiver(self, index: int) -> Lines:
        return (
            f"delivers on stroke {self.machine.stages[index].compresses_on}",
            f"at {self.shown.pressure(self.machine.receiver_pressure)}",
        )

    def inlet(self, index: int) -> str:
        strokes = fed_on(self.machine, self.machine.stages[index].name)
        return f"on stroke {strokes[0]}" if len(strokes) == 1 else "on both strokes"

    def outlet(self, index: int) -> str:
        return "outlet"

    def ports(self) -> tuple[Lines, ...]:
        return ((": exhausts", "on stroke 2"), (": exhausts", "on stroke 1"))


def supply_words(machine: Machine, shown: Shown) -> str:
    """Return what the supply air has."""
    supply = machine.supply
    return f"supply {shown.pressure(supply.pressure)}, {shown.temperature(supply.temperature)}"


def source_words(machine: Machine, shown: Shown) -> Lines:
    """Return what the source of the stages' gas has."""
    source = machine.source
    if source is None:
        return ()
    at = f"{shown.pressure(source.pressure)}, {shown.temperature(source.temperature)}"
    return (machine.gas.name, at)


def other_stroke(stroke: Stroke) -> Stroke:
    """Return the stroke that is not this one."""
    return 2 if stroke == 1 else 1


def fed_on(machine: Machine, stage: str) -> list[Stroke]:
    """Return the strokes on which exhaust flows through a stage's jacket."""
    ports: tuple[tuple[str, Stroke], ...] = (
        (machine.exhaust_2.to, 1),
        (machine.exhaust_1.to, 2),
    )
    return [stroke for goal, stroke in ports if goal == stage]


def short_name(name: str) -> str:
    """Return a stage's name as the schematic has it."""
    return shorten(name, 22)
