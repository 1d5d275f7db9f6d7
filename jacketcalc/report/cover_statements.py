"""The statements of the first page: the answer, limits, water, and how sure the inputs are."""

from __future__ import annotations

from collections.abc import Sequence

from jacketcalc.assessment.notes import IDLE
from jacketcalc.assessment.result import Interval, LimitCount, Standing
from jacketcalc.assessment.standing import name_bare
from jacketcalc.assessment.standing_words import judged_interval, say_change, say_standing
from jacketcalc.assessment.summary import count_inputs
from jacketcalc.assessment.water_finding import water_of
from jacketcalc.assessment.water_path_words import ASSUMED, say_needs_short
from jacketcalc.assessment.water_words import say_nearest
from jacketcalc.findings.water import Nearest
from jacketcalc.inputs import Currency
from jacketcalc.report.model import Statement, Tone
from jacketcalc.report.sections.machine import assumption_ids, listed
from jacketcalc.report.traced import Pen

_TONES: dict[str, Tone] = {"pays": "good", "does not pay": "bad", "cannot tell": "open"}
_NAMES: dict[Currency, str] = {
    "delivery": "Delivery",
    "specific air consumption": "Specific air consumption",
    "discharge temperature": "Hottest discharge",
}
_MOST_NAMED = 12
"""Names of assumed inputs that are listed before the rest is counted [-]."""


def make_statements(pen: Pen) -> tuple[Statement, ...]:
    """Return the statements in the order in which they are read."""
    return (_answer(pen), _limits(pen), _water(pen), _inputs(pen))


def _answer(pen: Pen) -> Statement:
    """Return the answer with the change that is judged, then the two others."""
    found = pen.found
    verdict, stated = found.verdict, found.verdict.standings[0]
    head = verdict.headline.partition(",")[0]
    single = head == verdict.answer.upper()
    tone: Tone = _TONES[verdict.answer] if single else "open"
    if not pen.delivers:
        words = "A machine that stalls delivers nothing: no change can be stated."
        if pen.runs:
            words = f"Nothing is delivered, so no change can be stated. {IDLE.capitalize()}."
        return Statement(head=head, tone=tone, lines=(words,))
    by = verdict.judged_by
    others = [name for name in _NAMES if name != by]
    reference = name_bare(pen.case.machine, stated.reference)
    lines = [f"{_line(pen, by, stated)}. No jackets: {reference}."]
    lines += [f"{_line(pen, other, stated)}." for other in others]
    for one in verdict.standings[1:]:
        against = name_bare(pen.case.machine, one.reference)
        rate = ", cycle rate not imposed" if one.rate == "not imposed" else ""
        words = pen.prose(say_standing(pen.case, one))
        lines.append(f"Compared with {against}{rate}: {words}.")
    return Statement(head=head, tone=tone, lines=(*lines, *map(pen.prose, verdict.missing)))


def _line(pen: Pen, by: Currency, standing: Standing) -> str:
    """Return a change with its range."""
    system = pen.case.document.units
    change: Interval = judged_interval(by, standing)
    low, value, high = (
        pen.prose(say_change(by, v, system)) for v in (change.low, change.value, change.high)
    )
    return f"{_NAMES[by]} {value}, model range {low} to {high}"


def _limits(pen: Pen) -> Statement:
    """Return what the jackets do to the limits; never in the colour of the answer."""
    if not pen.runs:
        return Statement(head="LIMITS", lines=("Not judged: a machine stalls.",))
    count = pen.found.verdict.limits
    total = sum(len(names) for names in _fates(count).values()) + len(count.kept)
    kept = len(count.kept) + len(count.mended)
    lines = tuple(f"{fate}: {_named(names)}." for fate, names in _fates(count).items())
    broken = count.newly_broken or count.broken_in_both
    return Statement(
        head=f"LIMITS: {kept} of {total} kept with jackets",
        lines=lines,
        tone="bad" if broken else "good",
    )


def _fates(count: LimitCount) -> dict[str, tuple[str, ...]]:
    return {
        "Mended by the jackets": count.mended,
        "Newly broken by the jackets": count.newly_broken,
        "Broken in both machines": count.broken_in_both,
    }


def _named(names: Sequence[str]) -> str:
    return f"{len(names)} ({'; '.join(names)})" if names else "none"


def _water(pen: Pen) -> Statement:
    """Return where water and ice are near, the passage first."""
    water = pen.found.jacketed.water
    if not pen.runs or water is None:
        return Statement(head="WATER AND FROST", lines=("Not judged: a machine stalls.",))
    lines = []
    if count_inputs(pen.case).dew_point_assumed:
        needed = say_needs_short(water_of(pen.found), pen.case.document.units)
        text = f"{ASSUMED}." + (f" Needed: {needed}." if needed else "")
        lines.append(pen.prose(text))
    if water.passage_wall is not None:
        lines.append(_nearest(pen, "Passage", water.passage_wall))
    lines.append(_nearest(pen, "Exhaust", water.exhaust))
    stages = [one for one in water.stages if one is not None]
    worst = min(stages, key=lambda one: one.margin, default=None)
    if worst is not None:
        lines.append(_nearest(pen, "Stages", worst))
    else:
        lines.append("Stages: not judged, the gas of a source is taken dry.")
    inside = [one for one in (water.passage_wall, worst) if one is not None]
    wet = any(one.margin < 0 for one in inside)
    return Statement(head="WATER AND FROST", lines=tuple(lines), tone="bad" if wet else "open")


def _nearest(pen: Pen, where: str, one: Nearest) -> str:
    forms = "ice can form" if one.freezes else "water can condense"
    state = forms if one.margin < 0 else "dry"
    return f"{where}: {state}. {_upper(pen.prose(say_nearest(one, pen.case.document.units)))}."


def _upper(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _inputs(pen: Pen) -> Statement:
    """Return how many inputs nobody has measured, drawn or looked up."""
    marks, every = assumption_ids(pen), listed(pen)
    invented = sum(g.source == "invented" and not g.assumed for _, g in every)
    if not marks and not invented:
        return Statement(head="INPUTS", lines=(f"None of {len(every)} inputs is assumed.",))
    lines = []
    if marks:
        lines.append(
            f"To be confirmed, A1 to A{len(marks)} in section 3: {_keys(pen, list(marks))}."
        )
    if invented:
        lines.append(f"{invented} inputs are invented: the machine is a made-up one.")
    head = f"INPUTS: {len(marks)} of {len(every)} are assumed"
    return Statement(head=head, lines=tuple(lines))


def _keys(pen: Pen, places: Sequence[int]) -> str:
    """Return the names of inputs, each once with how often it stands."""
    names: dict[str, int] = {}
    for place in places:
        key = pen.case.given[place].path.rpartition(".")[2].replace("_", " ")
        names[key] = names.get(key, 0) + 1
    shown = [f"{name} ({n})" if n > 1 else name for name, n in names.items()]
    more = len(shown) - _MOST_NAMED
    return "; ".join(shown[:_MOST_NAMED]) + (f"; {more} more" if more > 0 else "")
