"""Shipped cases with what was read at a bench written behind them, and machines that are fakes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.overrides import set_value, with_value
from jacketcalc.casefile.reading import read_case, read_case_text
from jacketcalc.core.run import run as solve_all
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.inputs import Case, Machine
from jacketcalc.readings import Reading
from jacketcalc.uncertainty.predict import predict

SHIPPED = Path(__file__).parents[1] / "cases"
NAMES = ("impact_laboratory", "single_stage", "tight_jacket")


@cache
def shipped(name: str = "single_stage") -> Case:
    """Read a shipped case; the single stage is the quickest to solve."""
    return read_case(str(SHIPPED / f"{name}.toml"))


def table(**entries: str) -> str:
    """Return one [[reading]] as text."""
    return "\n[[reading]]\n" + "".join(f'{key} = "{value}"\n' for key, value in entries.items())


def with_tables(case: Case, *tables: str) -> Case:
    """Return a case with readings behind it."""
    return read_case_text(case.text.rstrip("\n") + "\n" + "".join(tables), "bench.toml")


def shown_by(machine: Machine, readings: Sequence[Reading], stated: Machine) -> list[Reading]:
    """Return readings that hold exactly what a machine shows."""
    values = predict([machine], readings, stated)[0]
    return [replace(r, value=float(v)) for r, v in zip(readings, values, strict=True)]


def changed(case: Case, values: dict[str, float | str]) -> Case:
    """Return a case with several entries typed anew."""
    text = case.text
    for path, value in values.items():
        text = with_value(text, path, value)
    return read_case_text(text, case.file)


def gain_of(case: Case) -> float:
    """Return the relative change of delivery, from two machines solved by hand."""
    bare = bare_machine(case.machine, case.judgement.no_jackets)
    new, old = solve_all([Design(machine=case.machine), Design(machine=bare)])
    return new.outcome.delivered_mass_flow / old.outcome.delivered_mass_flow - 1.0


def near_break_even() -> Case:
    """Return the single stage with a gap at which jackets neither pay nor cost."""
    return set_value(shipped(), "jacket.gap", "2.4 mm")


class FakeMachines:
    """Machines whose delivery is a closed form of their numbers, in place of the core.

    Parameters
    ----------
    gain : judged change of a machine with jackets, from that machine
    fails : whether a machine has no solution
    """

    def __init__(
        self, gain: Callable[[Machine], float], fails: Callable[[Machine], bool] = lambda m: False
    ) -> None:
        self.gain, self.fails = gain, fails
        self.asked: list[list[Machine]] = []
        case = shipped()
        bare = bare_machine(case.machine, case.judgement.no_jackets)
        self.solved = solve_all([Design(machine=case.machine), Design(machine=bare)])

    def __call__(self, designs: Sequence[Design], **kept: Any) -> list[Result]:
        machines = [design.machine for design in designs]
        self.asked.append(machines)
        return [self._result(machine) for machine in machines]

    def _result(self, machine: Machine) -> Result:
        new, old = self.solved
        jackets = any(stage.jacket is not None for stage in machine.stages)
        if self.fails(machine):
            return replace(new, failure="it does not settle")
        flow = old.outcome.delivered_mass_flow
        own = new if jackets else old
        flow *= 1.0 + (self.gain(machine) if jackets else 0.0)
        return replace(own, failure="", outcome=replace(own.outcome, delivered_mass_flow=flow))
