"""Samples of a machine with and without its jackets, each pair with the same inputs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.assessment.compare import check_limits, compare, make_band
from jacketcalc.assessment.result import BandMember, Fate, LimitCheck
from jacketcalc.assessment.standing import answer_at_rest, judged_gain
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Output, Place
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress
from jacketcalc.uncertainty.uncertain import UncertainInput, with_draw

HEADLINES = ("delivered_mass_flow", "specific_air_consumption", "hottest_discharge", "cycle_rate",
             "stall_pressure")  # fmt: skip
"""Results that are followed, by their keys in the catalogue."""
FATES: tuple[Fate, ...] = ("kept", "mended", "newly broken", "broken in both")


@dataclass(frozen=True, kw_only=True)
class Pair:
    """One solved pair of machines."""

    gain: float
    """Change that is judged, positive where it is for the better; where a machine rests, 1, -1 or 0
    by what is answered then [-, of temperatures K]."""
    rests: bool
    """Whether a machine stalls or delivers nothing."""
    with_jackets: tuple[float, ...]
    """Headlines with jackets, in SI."""
    no_jackets: tuple[float, ...]
    """Headlines without, in SI."""
    change: tuple[float, ...]
    """Their changes, as the catalogue states them [-, of temperatures K]."""
    fates: Mapping[str, Fate]
    """Fate of each limit; what is not discharged has none."""


def headline_outputs() -> tuple[Output, ...]:
    """Return the results that are followed."""
    return tuple(o for key in HEADLINES for o in OUTPUTS if o.key == key)


def solve_pairs(
    case: Case,
    inputs: Sequence[UncertainInput],
    values: Array,
    *,
    progress: Progress | None = None,
    threads: int | None = None,
    resolution: Resolution | None = None,
) -> list[Pair | None]:
    """Solve both machines at each row of values; None where one of them did not settle.

    Parameters
    ----------
    case : the case
    inputs : what the columns are
    values : rows of values, of shape (rows, inputs) [SI]
    progress : called with the share done, 0 to 1
    threads : machines solved at once; as many as there are cores when None
    resolution : steps of a stroke; the standard ones when None
    """
    machines = [with_draw(case.machine, inputs, row) for row in values]
    judged = case.judgement.no_jackets
    designs = [Design(machine=m) for m in machines]
    designs += [Design(machine=bare_machine(m, judged)) for m in machines]
    # What moves jackets or tubes alone leaves the machine without jackets as it was.
    each = list(dict.fromkeys(designs))
    results = run(each, progress=progress, threads=threads, resolution=resolution)
    found = dict(zip(each, results, strict=True))
    solved = [found[design] for design in designs]
    count = len(machines)
    return [make_pair(case, new, old)
            for new, old in zip(solved[:count], solved[count:], strict=True)]  # fmt: skip


def make_pair(case: Case, new: Result, old: Result) -> Pair | None:
    """Return what a pair says, None where a machine did not settle."""
    if new.failure or old.failure:
        return None
    jacketed, bare = new.outcome, old.outcome
    member = BandMember(label="", bare=bare, jacketed=jacketed, change=compare(jacketed, bare))
    band = make_band([member], member)
    limits: tuple[LimitCheck, ...] = check_limits(case, bare, band, jacketed)
    rest = answer_at_rest(bare, jacketed)
    gain = (
        judged_gain(case.judgement.by, band).value
        if rest is None
        else {"pays": 1.0, "does not pay": -1.0, "cannot tell": 0.0}[rest]
    )
    outputs = headline_outputs()
    place = Place()

    def each(read: list[float | None]) -> tuple[float, ...]:
        return tuple(np.nan if value is None else float(value) for value in read)

    return Pair(
        gain=gain,
        rests=rest is not None,
        with_jackets=each([o.read(jacketed, place) for o in outputs]),
        no_jackets=each([o.read(bare, place) for o in outputs]),
        change=each([o.changed(jacketed, bare, place) for o in outputs]),
        fates={check.what: check.fate for check in limits},
    )
