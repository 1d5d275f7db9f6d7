"""Where the parts of the schematic stand."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.inputs import FEEDS, Case, Stage
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
"""Lengths of a stage, of the drive, and between them; more than two stages are shorter [mm]."""
OUTSIDE = 12.0
"""Room for pipes beside the outermost stages [mm]."""
IN, OUT = 4.0, 8.0
"""How far before a head the riser of its suction stands, and that of its delivery [mm]."""
TIGHT = 25.0
"""Length of a stage below which words of its jacket's inlet pass below those of its outlet [mm]."""
ROOF, LEVEL = 100.0, 9.0
"""Height of the first line between stages, and from one to the next [mm]."""
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
    long: float
    """Length it is drawn with [mm]."""

    @property
    def head(self) -> float:
        """Where its head stands [mm]."""
        return self.flange + self.out * self.long

    @property
    def begins(self) -> bool:
        """Whether it draws from the supply or a source, and from no other stage."""
        return self.stage.draws_from in FEEDS

    def along(self, share: float) -> float:
        """Return a place between head (0) and flange (1) [mm]."""
        return self.head - self.out * self.long * share


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
        step = min(STAGE_LONG + BETWEEN, (FULL - DRIVE_LONG - 2 * OUTSIDE) / len(stages))
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
                    index=i, stage=stages[i], fed=fed, flange=flange, out=out, long=step - BETWEEN
                )
        self.valve = self.drive + DRIVE_LONG / 2
        self.first = self.columns[0]
        self.finals = [c for c in self.columns.values() if self.after(c) is None]
        """Stages that deliver to the receiver."""
        ordered = [self.columns[i] for i in range(len(stages))]
        lines = [c.index for c in ordered if self.after(c) is not None]
        self.level = {index: ROOF + LEVEL * place for place, index in enumerate(lines)}
        """Height of the line behind a stage [mm]."""
        self.on_top = len(self.finals) > 1 or self.first.out == self.finals[0].out
        """Whether the receiver stands above the machine, else beside the supply."""
        self.store = 96.0 if len(stages) == 1 else ROOF + LEVEL * max(len(lines), 1)
        self.height = self.store + 7.0 if self.on_top else self.store - LEVEL + 6.0

    def after(self, column: StageColumn) -> StageColumn | None:
        """Return the stage that draws from another one, None for a receiver."""
        found = (c for c in self.columns.values() if c.stage.draws_from == column.stage.name)
        return next(found, None)

    def column(self, name: str) -> StageColumn | None:
        """Return the stage that an exhaust goes to."""
        return next((c for c in self.columns.values() if c.stage.name == name), None)
