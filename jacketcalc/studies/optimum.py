"""What a search of the best jacket found."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.assessment.gas_range import GasRange
from jacketcalc.inputs import Case
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.choice import Aim
from jacketcalc.studies.columns import Numbers
from jacketcalc.studies.limits import Bound, Limits
from jacketcalc.studies.study_table import StudyRow, StudyTable
from jacketcalc.studies.trials import Trial
from jacketcalc.studies.variables import Variable

LEVEL = 0.01
"""Loss within which an optimum is called flat, as a share [-]."""
LEVEL_KELVIN = 1.0
"""The same for temperatures [K]."""


@dataclass(frozen=True, kw_only=True)
class Optimum:
    """What a search found."""

    case: Case
    aim: Aim
    limits: Limits
    variables: tuple[Variable, ...]
    best: Trial
    best_case: Case
    """The case with the best design in it."""
    bare: Numbers
    """Numbers of the machine without jackets, empty where it does not run."""
    drawn: Trial
    """The case as it is, without numbers where it does not run."""
    let_go: tuple[Bound, ...]
    """Limits that every design solved breaks, set aside to find the best."""
    nearest: Trial
    """The design that comes nearest to keeping every limit; the best where that keeps them."""
    rounding: float
    """What sizes between the steps could gain at most, in the unit of the aim's column."""
    front: tuple[Trial, ...]
    """Designs that keep the limits and that no other beats in delivered flow and in discharge
    temperature, most flow first."""
    tried: tuple[Trial, ...]
    """Every design that was solved."""
    scan: StudyTable
    """The first variable over its range, the others at their best."""
    level: tuple[float, float]
    """Range of the first variable within the loss of the best, in SI."""
    quick: bool = False
    """Whether most designs were solved in coarse steps of a stroke."""
    bare_gas: GasRange | None = None
    """Extremes of the gas of the machine without jackets, where that leaves the table of air."""

    @property
    def axes(self) -> tuple[Axis, ...]:
        """Entries of the variables."""
        return tuple(variable.axis for variable in self.variables)

    @property
    def scanned(self) -> StudyRow | None:
        """The best design in the scan, over the whole model range."""
        found = (row for row in self.scan.rows if row.texts[0] == self.best.texts[0])
        return next(found, None)
