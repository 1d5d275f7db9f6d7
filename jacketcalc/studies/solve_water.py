"""Solves what water along the path asks for: the machine with its jackets, and without them."""

from __future__ import annotations

from jacketcalc.assessment.as_it_is import has_jackets
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.assessment.water_finding import WaterFinding, find_water
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError
from jacketcalc.findings.water_path import WaterTracks
from jacketcalc.inputs import Case


def solve_water(case: Case, *, threads: int | None = None) -> WaterFinding:
    """Solve a machine with and without its jackets, and follow the water in both.

    Parameters
    ----------
    case : the case
    threads : machines solved at once; one for each core when None

    Raises
    ------
    ConvergenceError
        When one of them did not settle; the message says which, and why.
    """
    designs = {"with jackets": case.machine}
    if has_jackets(case.machine):
        designs["without jackets"] = bare_machine(case.machine, case.judgement.no_jackets)
    asked = [Design(machine=machine) for machine in designs.values()]
    results = dict(zip(designs, run(asked, details=True, threads=threads), strict=True))
    lost = [f"  {name}: {one.failure}" for name, one in results.items() if one.failure]
    if lost:
        raise ConvergenceError("a machine did not settle:\n" + "\n".join(lost))
    first, second = results["with jackets"], results.get("without jackets")
    return find_water(case, _tracks(second), _tracks(first), first.outcome.cold)


def _tracks(result: Result | None) -> WaterTracks | None:
    return None if result is None else result.tracks
