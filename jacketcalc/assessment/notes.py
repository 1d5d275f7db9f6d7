"""What a reader must know beside the numbers: ranges left, choking, stall, materials, water."""

from __future__ import annotations

import math
from collections.abc import Iterator

from jacketcalc.assessment.result import LimitCheck, Margins, Note
from jacketcalc.components.passage_geometry import helix_sizes
from jacketcalc.correlations.record import range_notes
from jacketcalc.correlations.records import CLOSURE_RECORDS
from jacketcalc.coupling.outcome import Outcome
from jacketcalc.gas.cells import HIGHEST_TEMPERATURE, LOWEST_TEMPERATURE
from jacketcalc.inputs import Case, Stage

COIL_FRICTION = "coil, turbulent friction"
SLOW_TRANSIT = 0.1
"""Transit time over pulse length from which quasi-steady phases are called in question [-]."""
SMALL_MARGIN = 0.10
"""Drive force to spare below which a machine is called near stall [-]."""
CAUTION = (
    "High-pressure air can kill. These are thermal estimates, not a design approval: follow "
    "local codes and have pressure equipment designed, built and tested by licensed people."
)


def collect_notes(
    case: Case,
    bare: Outcome,
    jacketed: Outcome,
    limits: tuple[LimitCheck, ...],
    margins: Margins,
) -> tuple[Note, ...]:
    """Return all notes of an assessment, warnings first."""
    every = [
        *_stall(bare, jacketed),
        *_rate(case, jacketed),
        *_limits(limits),
        *_water(case, margins),
        *_choking(jacketed),
        *_ranges(case, jacketed),
        *_model(case, jacketed),
        *_gas_range(jacketed),
        Note(name="caution", level="note", text=CAUTION),
    ]
    return tuple(sorted(every, key=lambda n: n.level != "warning"))


def _warning(name: str, text: str) -> Note:
    return Note(name=name, level="warning", text=text)


def _note(name: str, text: str) -> Note:
    return Note(name=name, level="note", text=text)


def _stall(bare: Outcome, jacketed: Outcome) -> Iterator[Note]:
    at = f"{jacketed.stall_pressure / 1e5:.1f} bar(a)"
    if bare.stalled or jacketed.stalled:
        which = "both machines" if bare.stalled and jacketed.stalled else "one of the machines"
        stage = jacketed.stalls_in or bare.stalls_in
        yield _warning(
            "stall",
            f"the piston of {which} stops while stage {stage} compresses; by forces alone the "
            f"final stage stops at {at} in the receiver",
        )
    elif jacketed.force_margin < SMALL_MARGIN:
        yield _warning(
            "stall",
            f"drive force to spare is {100 * jacketed.force_margin:.1f} % at the end of the final "
            f"stage's stroke; the machine stalls at {at} in the receiver",
        )


def _rate(case: Case, jacketed: Outcome) -> Iterator[Note]:
    wanted = case.machine.valve.cycle_rate
    if wanted is None or jacketed.stalled:
        return
    if jacketed.wait > 0:
        yield _note(
            "rate",
            f"the imposed {wanted:.3g} cycles a second take {1000 * jacketed.wait:.0f} ms of extra "
            f"rest at each stroke end; free, the machine makes {jacketed.free_cycle_rate:.3g}",
        )
    else:
        yield _warning(
            "rate",
            f"the imposed {wanted:.3g} cycles a second cannot be reached: free, the jacketed "
            f"machine makes {jacketed.cycle_rate:.3g}",
        )


def _limits(limits: tuple[LimitCheck, ...]) -> Iterator[Note]:
    for check in limits:
        if check.state in ("FAIL", "fail?"):
            side = "above" if check.kind == "at most" else "below"
            also = ", and so is the bare machine" if not check.kept_bare else ""
            yield _warning(
                "limit",
                f"{check.what}: {check.jacketed - 273.15:.0f} degC is {side} "
                f"{check.limit - 273.15:.0f} degC{also}",
            )


def _water(case: Case, margins: Margins) -> Iterator[Note]:
    point = margins.frost_point - 273.15
    if margins.frost < 0:
        yield _warning(
            "frost",
            f"frost threatens in the passage: its coldest wall is {-margins.frost:.0f} K below the "
            f"exhaust's frost point of {point:.0f} degC",
        )
    elif margins.frost_air < 0:
        yield _note(
            "frost",
            f"the passage walls stay {margins.frost:.0f} K above the frost point of {point:.0f} "
            f"degC, but the coldest exhaust is {-margins.frost_air:.0f} K below it: ice can form "
            "in the valve",
        )
    else:
        yield _note("frost", f"the passage walls stay {margins.frost:.0f} K above the frost point")
    for stage, margin, dew in zip(
        case.machine.stages, margins.condensation, margins.dew_point, strict=True
    ):
        if margin < 0:
            yield _warning(
                "condensation",
                f"water can condense in stage {stage.name}: its coldest wall is {-margin:.0f} K "
                f"below the charge's dew point of {dew - 273.15:.0f} degC at delivery pressure",
            )


def _choking(jacketed: Outcome) -> Iterator[Note]:
    for stage in jacketed.stages:
        if stage.jacket is not None and stage.jacket.chokes:
            yield _note(
                "choking",
                f"the exhaust of stage {stage.name}'s jacket chokes at the {stage.jacket.chokes} "
                "in part of a pulse",
            )


def _ranges(case: Case, jacketed: Outcome) -> Iterator[Note]:
    for stage, outcome in zip(case.machine.stages, jacketed.stages, strict=True):
        if stage.jacket is None or outcome.jacket is None:
            continue
        sizes = helix_sizes(stage, stage.jacket)
        curvature = sizes.hydraulic_diameter / sizes.curvature_diameter
        Re = outcome.jacket.reynolds_mean
        values = {"Re": Re, "curvature": curvature, "De": Re * math.sqrt(curvature)}
        values["aspect"] = stage.jacket.gap / sizes.clear_width
        values["radius ratio"] = _radius_ratio(stage)
        for name in (*CLOSURE_RECORDS[case.machine.models.jacket], COIL_FRICTION):
            if "laminar" in name and Re > 4000:
                continue
            for sentence in range_notes(name, **values):
                yield _note("range", f"jacket of stage {stage.name}: {sentence}")


def _gas_range(jacketed: Outcome) -> Iterator[Note]:
    low, high = LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE
    if not jacketed.stalled and not low <= jacketed.coldest_gas <= jacketed.hottest_gas <= high:
        yield _warning(
            "range",
            f"gas between {jacketed.coldest_gas:.0f} K and {jacketed.hottest_gas:.0f} K leaves the "
            f"property table's {low:.0f} K to {high:.0f} K; beyond it the gas is taken as ideal",
        )


def _radius_ratio(stage: Stage) -> float:
    outside = stage.bore + 2 * stage.wall_thickness
    assert stage.jacket is not None
    return outside / (outside + 2 * stage.jacket.gap)


def _model(case: Case, jacketed: Outcome) -> Iterator[Note]:
    if case.machine.models.jacket not in ("low", "nominal", "high"):
        yield _note(
            "closure",
            f"the {case.machine.models.jacket} closure is an average over the whole wall of a "
            "coil; heat enters this passage through its inner wall alone",
        )
    if case.machine.models.cylinder == "annand":
        yield _note("closure", "Annand's engine form is an upper bound in a slow dense gas")
    for stage in jacketed.stages:
        if stage.jacket is not None and stage.jacket.transit_share > SLOW_TRANSIT:
            yield _note(
                "quasi-steady",
                f"air takes {100 * stage.jacket.transit_share:.0f} % of a pulse to pass stage "
                f"{stage.name}'s passage: phases that are taken as steady become doubtful",
            )
