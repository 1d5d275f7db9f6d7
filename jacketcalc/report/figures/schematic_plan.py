"""Where the parts of the schematic stand."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.inputs import Case, Stage
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.schematic_words import PlanWords
from jacketcalc.report.figures.style import FULL

AXIS = 72.0
"""Height of the rod's axis [mm]."""
VALVE = 41.0
"""Height of the control valve's middle [mm]."""
UPPER, LOWER = 32.0, 26.0
"""Heights of the two exhaust runs [mm]."""
FEED = 9.5
"""Height of the supply run to the first stage [mm]."""
STAGE_LONG, DRIVE_LONG, BETWEEN = 40.0, 36.0, 11.0
"""Lengths of a stage, of the drive, and between them [mm]."""
BARREL, JACKET, DRIVE = 4.5, 4.5, 11.0
"""Half heights of barrel and drive, height of a jacket [mm]."""
HEAD = 3.0
"""Length of their arrowheads [mm]."""
SQUARE = 7.5
"""Half width of a square of the valve [mm]."""
TUBE = 0.7
"""Width of exhaust lines [mm]."""
BRANCH, MANIFOLD = 2.6, 8.5
"""Distance between branches of a manifold, and its distance below the jacket [mm]."""
PORT_WORDS = 19.5
"""Length of the words at a port [mm]."""
MOST_BRANCHES = 4
"""Branches drawn of a manifold that has more [-]."""
ENDS = (0.14, 0.76)
"""Where jackets are fed and emptied, as shares from head to flange [-]."""
GALLERY = 0.1
"""Half the width of a gallery drawn, as a share of the stage [-]."""
HOP = 1.3
"""Radius with which a line hops over another [mm]."""


@dataclass(frozen=True, kw_only=True)
class StageColumn:
    """A stage's place: `out` is -1 on the drive's left and 1 on its right."""

    index: int
    stage: Stage
    fed: bool
    """Whether exhaust goes through its jacket."""
    flange: float
    """Where its open end stands [mm]."""
    out: float
    """Direction from its open end to its head [-]."""

    @property
    def head(self) -> float:
        """Where its head stands [mm]."""
        return self.flange + self.out * STAGE_LONG

    def along(self, share: float) -> float:
        """Return a place between head (0) and flange (1) [mm]."""
        return self.head - self.out * STAGE_LONG * share


class SchematicPlan:
    """Where everything stands."""

    def __init__(self, case: Case, words: PlanWords) -> None:
        self.words = words
        self.machine = case.machine
        self.shown = Shown(case.document.units)
        stages = self.machine.stages
        left = [i for i, s in enumerate(stages) if s.compresses_on == 2]
        right = [i for i, s in enumerate(stages) if s.compresses_on == 1]
        goals = (self.machine.exhaust_1.to, self.machine.exhaust_2.to)
        step = STAGE_LONG + BETWEEN
        total = DRIVE_LONG + step * len(stages)
        lean = 6.0 * ((not left) - (not right))
        self.drive = (FULL - total) / 2 + step * len(left) + lean
        self.columns: dict[int, StageColumn] = {}
        for side, out, edge in (
            (left, -1.0, self.drive),
            (right, 1.0, self.drive + DRIVE_LONG),
        ):
            for place, i in enumerate(side):
                flange = edge + out * (BETWEEN + step * place)
                fed = stages[i].jacket is not None and stages[i].name in goals
                self.columns[i] = StageColumn(
                    index=i, stage=stages[i], fed=fed, flange=flange, out=out
                )
        self.valve = self.drive + DRIVE_LONG / 2
        first, last = self.columns[0], self.columns[len(stages) - 1]
        self.first, self.last = first, last
        self.same_side = first.out == last.out
        self.roof = 100.0
        self.store = 96.0 if len(stages) == 1 else self.roof + 9.0
        self.height = self.store + 7.0 if self.same_side else self.roof + 6.0

    def column(self, name: str) -> StageColumn | None:
        """Return the stage that an exhaust goes to."""
        return next((c for c in self.columns.values() if c.stage.name == name), None)
