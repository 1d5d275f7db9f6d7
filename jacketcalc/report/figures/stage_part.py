"""What the drawing of one stage shows."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.assessment.result import Assessment
from jacketcalc.core.outcome import StageOutcome
from jacketcalc.core.profiles import PassageDetail, StageDetail
from jacketcalc.geometry import HelixSizes, helix_sizes
from jacketcalc.inputs import Case, Stage
from jacketcalc.report.figures.number_labels import SI, Shown

OWN_ROD = 0.6
"""Rod drawn for a stage that hangs on a crosshead, over its bore: judgement [-]."""


@dataclass(frozen=True, kw_only=True)
class StagePart:
    """A stage as the case has it and, where it was solved, its temperatures."""

    stage: Stage
    stroke: float
    """Stroke [m]."""
    rod: float
    """Rod that drives its piston [m]."""
    tube_bore: float | None = None
    """Bore of the tube that feeds its jacket [m]; None when no tube is there."""
    shown: Shown = SI
    outcome: StageOutcome | None = None
    detail: StageDetail | None = None
    passage: PassageDetail | None = None

    @property
    def crown(self) -> float:
        """Where the piston's crown stands at mid-stroke, from the head end [m]."""
        return self.stroke * (self.stage.clearance + 0.5)

    @property
    def helix(self) -> HelixSizes | None:
        """Sizes of its helical channel."""
        jacket = self.stage.jacket
        return None if jacket is None else helix_sizes(self.stage, jacket)


def case_part(case: Case, index: int) -> StagePart:
    """Return a stage of a case that was not solved."""
    machine = case.machine
    stage = machine.stages[index]
    fed = [e for e in (machine.exhaust_1, machine.exhaust_2) if e.to == stage.name]
    tubes = [e.tube.bore for e in fed if e.tube is not None]
    rod = machine.drive.rod_2 if stage.compresses_on == 1 else machine.drive.rod_1
    if [s.compresses_on for s in machine.stages].count(stage.compresses_on) > 1:
        rod = min(rod, OWN_ROD * stage.bore)
    return StagePart(
        stage=stage,
        stroke=machine.drive.stroke,
        rod=rod,
        tube_bore=max(tubes) if tubes else None,
        shown=Shown(case.document.units),
    )


def solved_part(found: Assessment, index: int) -> StagePart:
    """Return a stage of the machine with jackets."""
    part = case_part(found.case, index)
    name = part.stage.name
    along = [p for p in found.jacketed_detail.passages if p.stage == name]
    return StagePart(
        stage=part.stage,
        stroke=part.stroke,
        rod=part.rod,
        tube_bore=part.tube_bore,
        shown=part.shown,
        outcome=found.jacketed.stages[index],
        detail=found.jacketed_detail.stages[index],
        passage=along[0] if along else None,
    )
