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
from jacketcalc.core.run import read_result, solve
from jacketcalc.designs import Design
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
    sys.stdout.write(MARK + json.dumps(asdict(verdict(machines.trio(setting)))) + "\n")
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
