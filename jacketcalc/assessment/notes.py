"""What a reader must know beside the numbers: ranges left, choking, stall, materials, water."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from jacketcalc.assessment.gas_notes import gas_notes
from jacketcalc.assessment.gas_range import beyond_table, say_beyond
from jacketcalc.assessment.quasi_steady import quasi_steady_note
from jacketcalc.assessment.result import LimitCheck, Note
from jacketcalc.assessment.stop_words import say_reach, say_stop
from jacketcalc.assessment.water_words import say_nearest
from jacketcalc.cautions import CAUTION
from jacketcalc.core.outcome import Outcome
from jacketcalc.correlations.records import CLOSURE_RECORDS, range_notes
from jacketcalc.designs import OwnLaws
from jacketcalc.geometry import helix_sizes, radius_ratio
from jacketcalc.inputs import Case
from jacketcalc.makeable import list_unmade, say_unmade
from jacketcalc.unit_display import System, say_quantity

COIL_FRICTION = "coil, turbulent friction"
SMALL_MARGIN = 0.10
"""Drive force to spare below which a machine is called near stall [-]."""
CLOSE = 1.0
"""Distance from a limit below which tenths are shown [K]."""
VARIABLES = {"curvature": "curvature (channel over coil diameter)",
             "aspect": "aspect (height over width of the channel)"}  # fmt: skip
"""Plain words for variables whose names say little."""
IDLE = "what the clearances hold expands over the whole stroke and is compressed again"
"""Why a machine that runs delivers nothing."""


def collect_notes(
    case: Case,
    bare: Outcome,
    jacketed: Outcome,
    limits: tuple[LimitCheck, ...],
    left_out: tuple[str, ...] = (),
    others: Sequence[Outcome] = (),
    laws: OwnLaws | None = None,
) -> tuple[Note, ...]:
    """Return all notes of an assessment in the case's units, warnings first.

    Parameters
    ----------
    case, bare, jacketed, limits : what was found
    left_out : what is left out of the results, and why
    others : the machines of split, band and table
    laws : laws of a user's own
    """
    system = case.document.units
    every = [*_stall(case, bare, jacketed, system)]
    every += [_warning("left-out", text) for text in left_out]
    every += _own_laws(laws)
    every += _unmade(case)
    every += gas_notes(case, jacketed)
    every += _gas_range(bare, jacketed, others, system)
    every += _turns(bare, jacketed)
    if not jacketed.stalled:
        every += [
            *_rate(case, jacketed),
            *_limits(limits, system),
            *_water(jacketed, system),
            *_choking(jacketed),
            *_idle(case, jacketed),
            *_undelivered(bare, jacketed),
            *_ranges(case, jacketed),
            *_model(case, jacketed),
        ]
    every.append(Note(name="caution", level="note", text=CAUTION))
    return tuple(sorted(every, key=lambda n: n.level != "warning"))


def _warning(name: str, text: str) -> Note:
    return Note(name=name, level="warning", text=text)


def _note(name: str, text: str) -> Note:
    return Note(name=name, level="note", text=text)


def _own_laws(laws: OwnLaws | None) -> Iterator[Note]:
    """Name the laws that were given in Python."""
    if laws is None:
        return
    given = {
        "heat transfer": laws.nusselt or laws.turbulent,
        "friction": laws.friction,
    }
    what = " and ".join(name for name, law in given.items() if law is not None)
    yield _note(
        "own-laws",
        f"The channels' {what} is by {laws.name}, a law given in Python. Its range and scatter "
        "are not known here; the model range still holds the low and the high heat transfer.",
    )


def _unmade(case: Case) -> Iterator[Note]:
    """Name what of the jackets and tubes the shop cannot make as drawn."""
    unmade = say_unmade(list_unmade(case))
    if unmade:
        yield _note("make", f"what [make] states cannot make it as drawn: {unmade}")


def _stall(case: Case, bare: Outcome, jacketed: Outcome, system: System) -> Iterator[Note]:
    at = say_quantity(jacketed.stall_pressure, "pressure", system)
    stopped = {"without jackets": bare, "with jackets": jacketed}
    for which, outcome in stopped.items():
        if outcome.stalled:
            reach = say_reach(case.machine, outcome, system)
            yield _warning("stall", f"the machine {which} {say_stop(outcome)}; {reach}")
    if not (bare.stalled or jacketed.stalled) and jacketed.force_margin < SMALL_MARGIN:
        yield _warning(
            "stall",
            f"the drive force margin is {100 * jacketed.force_margin:.1f} % at the end of the "
            f"final stage's stroke; the machine stalls at {at} in the receiver",
        )


def _turns(bare: Outcome, jacketed: Outcome) -> Iterator[Note]:
    """Tell of pistons that turn back, of machines that run."""
    machines = (("without jackets", bare), ("with jackets", jacketed))
    each = " and ".join(
        f"{_times(one.turns)} {name}" for name, one in machines if one.turns > 0 and not one.stalled
    )
    if each:
        yield _note(
            "turns",
            "intermittent piston motion: within a stroke the piston turns back and goes on when "
            f"pressure has built up: {each}",
        )


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _rate(case: Case, jacketed: Outcome) -> Iterator[Note]:
    wanted = case.machine.valve.cycle_rate
    if wanted is None:
        return
    if jacketed.wait > 0:
        yield _note(
            "rate",
            f"the imposed {wanted:.3g} cycles a second need a further pause of "
            f"{1000 * jacketed.wait:.0f} ms at each stroke end; without that the machine makes "
            f"{jacketed.free_cycle_rate:.3g} a second",
        )
    else:
        yield _warning(
            "rate",
            f"the imposed {wanted:.3g} cycles a second cannot be reached: with jackets the "
            f"machine makes {jacketed.cycle_rate:.3g} a second at most",
        )


def say_limit(check: LimitCheck, system: System) -> tuple[str, str, str, str]:
    """Return jacketed value, limit and bare value as words, and the side that breaks it."""
    decimals = 1 if abs(check.jacketed - check.limit) < CLOSE else 0
    found, limit, bare = (
        say_quantity(T, "temperature", system, decimals)
        for T in (check.jacketed, check.limit, check.bare)
    )
    return found, limit, bare, "above" if check.kind == "at most" else "below"


def _limits(limits: tuple[LimitCheck, ...], system: System) -> Iterator[Note]:
    for check in limits:
        found, limit, bare, side = say_limit(check, system)
        if not check.kept:
            also = "" if check.kept_bare else f"; without jackets {bare} is too"
            text = f"{check.what}: {found} is {side} its limit of {limit}{also}"
            yield _warning("limit", text)
            continue
        if check.fate == "mended":
            text = (
                f"{check.what}: {found} keeps its limit of {limit}; without jackets {bare} does not"
            )
            yield _note("limit", f"{text}: the jackets mend it")
        if check.state == "pass?":
            worst = say_quantity(
                check.high if check.kind == "at most" else check.low, "temperature", system
            )
            text = f"{check.what}: {found} keeps its limit of {limit}, but the model range "
            yield _note("limit", f"{text}reaches {worst}")
        gas = check.gas_jacketed
        if check.kept and gas is not None and gas > check.limit:
            hot = say_quantity(gas, "temperature", system)
            text = f"{check.what}: {found} keeps its limit of {limit}, but gas of up to {hot} "
            yield _note("seal", f"{text}meets the seal; the seal's own temperature is not computed")


def _water(jacketed: Outcome, system: System) -> Iterator[Note]:
    water = jacketed.water
    if water is None:
        return
    wall = water.passage_wall
    if wall is not None and wall.margin < 0:
        what = "ice can form" if wall.freezes else "water can condense"
        yield _warning("frost", f"{what} in the passage: {say_nearest(wall, system)}")
    elif wall is not None:
        yield _note("frost", f"the passage walls stay clear of frost: {say_nearest(wall, system)}")
    if water.exhaust.margin < 0:
        what = "ice can form" if water.exhaust.freezes else "water can condense"
        yield _note("frost", f"{what} in the exhaust: {say_nearest(water.exhaust, system)}")
    for stage, found in zip(jacketed.stages, water.stages, strict=True):
        if found is not None and found.margin < 0:
            yield _warning(
                "condensation",
                f"water can condense in stage {stage.name}: {say_nearest(found, system)}",
            )


def _choking(jacketed: Outcome) -> Iterator[Note]:
    for stage in jacketed.stages:
        if stage.jacket is not None and stage.jacket.chokes:
            yield _note(
                "choking",
                f"the exhaust of stage {stage.name}'s jacket chokes at the {stage.jacket.chokes} "
                "in part of a pulse",
            )


def _idle(case: Case, jacketed: Outcome) -> Iterator[Note]:
    for stage, outcome in zip(case.machine.stages, jacketed.stages, strict=True):
        if stage.jacket is not None and outcome.jacket is None:
            yield _note(
                "idle",
                f"no exhaust port feeds the jacket of stage {stage.name}: it only insulates",
            )


def _undelivered(bare: Outcome, jacketed: Outcome) -> Iterator[Note]:
    for one, other in zip(bare.stages, jacketed.stages, strict=True):
        before = one.delivers or bare.stalled
        if before and other.delivers:
            continue
        which = "of the machine with jackets " if before else ""
        which = "of the machine without jackets " if other.delivers else which
        yield _warning(
            "delivery",
            f"stage {one.name} {which}delivers nothing: what its clearance holds expands over the "
            "whole stroke; how warm the air shut in is depends on how the machine started",
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
        values["radius ratio"] = radius_ratio(stage, stage.jacket)
        for name in (*CLOSURE_RECORDS[case.machine.models.jacket], COIL_FRICTION):
            if "laminar" in name and Re > 4000:
                continue
            for sentence in range_notes(name, **values):
                yield _note("range", f"jacket of stage {stage.name}: {_plain(sentence)}")


def _gas_range(
    bare: Outcome, jacketed: Outcome, others: Sequence[Outcome], system: System
) -> Iterator[Note]:
    named = (("the machine without jackets", bare), ("the machine with jackets", jacketed))
    whose = [words for words, outcome in named if beyond_table([outcome])]
    rest = sum(beyond_table([outcome]) is not None for outcome in others)
    if rest:
        whose.append(f"{rest} of the other machines solved for split, band and table")
    gas = beyond_table([bare, jacketed, *others])
    if gas is not None:
        who = " and ".join([", ".join(whose[:-1]), whose[-1]] if len(whose) > 1 else whose)
        yield _warning("range", f"gas of {who} {say_beyond(gas, system)}")


def _plain(sentence: str) -> str:
    """Return a sentence about a range with its variable in words."""
    head, separator, tail = sentence.removesuffix(".").rpartition(": ")
    variable = next((v for v in VARIABLES if tail.startswith(f"{v} ")), "")
    return f"{head}{separator}{VARIABLES.get(variable, variable)}{tail[len(variable) :]}"


def _model(case: Case, jacketed: Outcome) -> Iterator[Note]:
    if case.machine.models.jacket not in ("low", "nominal", "high"):
        yield _note(
            "closure",
            f'the "{case.machine.models.jacket}" heat transfer law is an average over the whole '
            "wall of a coil; heat enters this passage through its inner wall alone",
        )
    if case.machine.models.cylinder == "annand":
        yield _note("closure", "Annand's engine law is an upper bound for a slow dense gas")
    shares = {s.name: s.jacket.transit_share for s in jacketed.stages if s.jacket is not None}
    if shares:
        slowest = max(shares, key=lambda name: shares[name])
        yield quasi_steady_note(slowest, shares[slowest])
