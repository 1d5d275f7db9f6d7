"""What a machine without jackets does as it is: rate, delivery, temperatures, limits, air."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.assessment.assess import Solver
from jacketcalc.assessment.compare import check_limits, compare, make_band
from jacketcalc.assessment.model_range import list_members
from jacketcalc.assessment.next_step import NextStep
from jacketcalc.assessment.result import BandMember, Interval, LimitCheck
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import Output, Place
from jacketcalc.core.profiles import Detail
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError
from jacketcalc.findings.water_path import WaterTracks
from jacketcalc.inputs import Case, Machine
from jacketcalc.progress import Progress


@dataclass(frozen=True, kw_only=True)
class AsItIs:
    """A machine without jackets."""

    case: Case
    outcome: Outcome
    """Under the models of the case."""
    members: tuple[tuple[str, Outcome], ...]
    """Every member of the model range that settled, with its label; the nominal one first."""
    missing: tuple[str, ...]
    """Members that did not, each with its reason."""
    limits: tuple[LimitCheck, ...]
    """Limits of the case and its materials, the machine's own values as both of theirs."""
    detail: Detail
    tracks: WaterTracks | None
    """What its air meets along its path; None where it does not run."""

    def over_range(self, output: Output, place: Place) -> Interval | None:
        """Return a result with its model range in SI; None where this machine has none."""
        found = [None if o.stalled else output.read(o, place) for _, o in self.members]
        known = [value for value in found if value is not None]
        if found[0] is None:
            return None
        return Interval(low=min(known), value=found[0], high=max(known))

    @property
    def steps(self) -> tuple[NextStep, ...]:
        """What to do next."""
        if self.outcome.stalled or not self.outcome.delivers:
            return (NextStep(why="See what holds it.", command="assess CASE --full"),)
        why = "Wind a jacket round each barrel, and see what it would bring."
        return (NextStep(why=why, command="propose CASE"),)


def has_jackets(machine: Machine) -> bool:
    """Return whether any stage of a machine has a jacket, fed or not."""
    return any(stage.jacket is not None for stage in machine.stages)


def assess_as_it_is(
    case: Case, *, progress: Progress | None = None, solver: Solver = run
) -> AsItIs:
    """Solve a machine without jackets under every member of the model range.

    Parameters
    ----------
    case : a case whose stages have no jackets
    progress : called with the share done, 0 to 1
    solver : what solves designs, as `run` does

    Raises
    ------
    ConvergenceError
        The machine did not settle under the models of the case.
    """
    every = [member.without_jackets for member in list_members(case.machine)]
    members = [m for place, m in enumerate(every) if place == 0 or m.models or m.ambient]
    designs = [Design(machine=m.apply(case.machine)) for m in members]
    results = solver(designs, details=True, progress=progress)
    first = results[0]
    if first.failure or first.detail is None:
        raise ConvergenceError(f"the machine did not settle: {first.failure}")
    solved = list(zip(members, results, strict=True))
    kept = [(member.label, r.outcome) for member, r in solved if not r.failure]
    band = [BandMember(label=label, bare=o, jacketed=o, change=compare(o, o)) for label, o in kept]
    outcome = first.outcome
    return AsItIs(
        case=case,
        outcome=outcome,
        members=tuple(kept),
        missing=tuple(f"{member.label}: {r.failure}" for member, r in solved if r.failure),
        limits=check_limits(case, outcome, make_band(band, band[0]), outcome),
        detail=first.detail,
        tracks=first.tracks,
    )
