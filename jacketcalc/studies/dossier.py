"""All that was solved for the report of a case."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.assessment.hand_check import HandCheck
from jacketcalc.assessment.range_use import RangeUse
from jacketcalc.assessment.result import Assessment, Change
from jacketcalc.core.outcome import Outcome
from jacketcalc.inputs import Case, Stage
from jacketcalc.studies.choice import Choice
from jacketcalc.studies.columns import fed
from jacketcalc.studies.rival_table import RivalTable
from jacketcalc.studies.study_table import StudyTable


@dataclass(frozen=True, kw_only=True)
class GridCheck:
    """Both machines with fewer steps."""

    bare: Outcome
    jacketed: Outcome
    change: Change
    failure: str = ""
    """Why there is no result, empty where there is one."""


@dataclass(frozen=True, kw_only=True)
class PitchStudy:
    """The machine at other pitches."""

    table: StudyTable
    stage: str
    """The first stage whose jacket an exhaust port feeds."""
    choices: tuple[Choice, ...]
    """Best pitch for each aim; none where no pitch runs."""


@dataclass(frozen=True, kw_only=True)
class Dossier:
    """A case with everything found out about it."""

    found: Assessment
    by_hand: tuple[HandCheck, ...]
    """Numbers worked out by another way; none where the machine stalls."""
    ranges: tuple[RangeUse, ...]
    """Where each correlation stood in its range; none where the machine stalls."""
    pitches: PitchStudy | None
    """The comparison of pitches, None where it was not asked for."""
    grid: GridCheck | None
    """The machines with fewer steps, None where they were not solved."""
    rivals: RivalTable | None = None
    """What else could be done, None where it was not asked for."""


def first_fed(case: Case) -> Stage:
    """Return the first stage whose jacket an exhaust port feeds."""
    return next(s for s in case.machine.stages if fed(case.machine, s))
