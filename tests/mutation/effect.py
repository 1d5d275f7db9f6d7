"""What the machines of a setting do: run in a process that has a package of its own.

    python -m mutation.effect SETTING [TEST]

Prints the verdict's numbers as JSON; then runs a test, if one is named, and says whether it
failed by an assertion of its own: an error elsewhere is no proof.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, dataclass
from typing import Any

import pytest

from jacketcalc.core.layout import constants
from jacketcalc.core.read_outcome import read_outcome
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import read_result, solve
from jacketcalc.designs import Design
from jacketcalc.fill.machine_step import MachineStep, NoCycleError
from jacketcalc.fill.march import Marcher, Run
from jacketcalc.fill.receiver import Vessel
from jacketcalc.inputs import Machine

from . import machines
from .broken import ROOT

MARK = "verdict: "
NOTICED = "noticed by assertion"
"""What is printed when every failure was a test's own assertion."""


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """The numbers that a verdict rests on."""

    gain: float
    """Delivered flow, jacketed over bare, less 1 [-]."""
    discharge: float
    """Hottest mean discharge temperature of the machine with jackets [K]."""
    flow: float
    """Delivered mass flow of the machine with jackets [kg/s]."""
    tight: float
    """The gain of the machine with tightly wound jackets, over the same bare one [-]."""
    state: tuple[float, ...]
    """Sums over each machine's unknowns, which tell whether anything has moved at all."""
    failure: str = ""
    """Why a machine did not settle, or that it stalls; empty when all is well."""


def verdict(trio: tuple[Machine, ...]) -> Verdict:
    """Solve a machine without jackets, with them, and with tightly wound ones."""
    solutions = [solve(Design(machine=machine)) for machine in trio]
    words = [
        read_result(solution).failure or ("a machine stalls" if solution.stalled else "")
        for solution in solutions
    ]
    for solution in solutions:
        # A term may be missing from the balance alone: the machine is read as if it had closed.
        if solution.found["ended"] == constants()["UNBALANCED"]:
            solution.found["ended"] = constants()["SOLVED"]
    bare, jacketed, tight = (read_outcome(solution) for solution in solutions)
    start = bare.delivered_mass_flow or float("nan")
    return Verdict(
        gain=jacketed.delivered_mass_flow / start - 1.0,
        discharge=jacketed.hottest_discharge,
        flow=jacketed.delivered_mass_flow,
        tight=tight.delivered_mass_flow / start - 1.0,
        state=tuple(total for solution in solutions for total in _totals(solution.found)),
        failure="; ".join(filter(None, words)),
    )


FILLED = Resolution().scaled(0.4)
"""Steps of the machines of a fill."""


def fill_verdict(trio: tuple[Machine, ...]) -> Verdict:
    """Fill a receiver by each of three machines; the gains are those of its filling rate."""
    runs = [_fill(machine) for machine in trio]
    failure = "; ".join(run.ended if run else "no cycle" for run in runs
                        if run is None or run.ended != "target")  # fmt: skip
    if failure:
        nought = (0.0,) * (4 * len(runs))
        return Verdict(gain=0.0, discharge=0.0, flow=0.0, tight=0.0, state=nought, failure=failure)
    done = [run for run in runs if run is not None]
    rates = [run.instants[-1].sums["delivered"] / run.instants[-1].time for run in done]
    state: list[float] = []
    for run in done:
        last = run.instants[-1]
        state += [float(run.state.sum()), last.held.temperature, last.held.wall, last.time]
    return Verdict(
        gain=rates[1] / rates[0] - 1.0,
        discharge=max(max(one.cycle.discharge) for one in done[1].instants),
        flow=rates[1],
        tight=rates[2] / rates[0] - 1.0,
        state=tuple(state),
    )


def _fill(machine: Machine) -> Run | None:
    """Fill the receiver of the setting; None where the machine comes to no cycle."""
    step = MachineStep(Design(machine=machine), FILLED)
    vessel = Vessel(machines.FILLED, machine)
    held = vessel.start()
    try:
        run = Marcher(step, vessel).run(machines.FILLED_TO, step.begin(held.pressure), held)
    except NoCycleError:
        return None
    return run if run.instants else None


def _totals(found: Any) -> list[float]:
    start = found["start"]
    return [float(start[name].sum()) for name in ("mass", "energy", "inside", "outer", "period")]


class Assertions:
    """Notes whether tests failed by an assertion of their own."""

    def __init__(self) -> None:
        self.failures: list[bool] = []

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_makereport(self, item: pytest.Item, call: pytest.CallInfo[None]) -> Any:
        report = yield
        if call.excinfo is not None:
            own = call.when == "call" and call.excinfo.errisinstance(AssertionError)
            self.failures.append(own)
        return report


def main(setting: Any, tests: list[str]) -> None:
    """Print what the machines do, and whether tests notice."""
    find = fill_verdict if setting == "a fill" else verdict
    sys.stdout.write(MARK + json.dumps(asdict(find(machines.trio(setting)))) + "\n")
    if not tests:
        return
    noted = Assertions()
    options = ["-q", "-p", "no:cacheprovider", "-c", str(ROOT / "pyproject.toml")]
    pytest.main(
        [*options, "--rootdir", str(ROOT), *(str(ROOT / "tests" / test) for test in tests)],
        plugins=[noted],
    )
    if noted.failures and all(noted.failures):
        sys.stdout.write(NOTICED + "\n")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2:])
