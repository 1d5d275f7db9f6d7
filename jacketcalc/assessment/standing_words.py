"""Comparisons and limits in words: sentences that screen, report and studies share."""

from __future__ import annotations

import math
from collections.abc import Sequence

from jacketcalc.assessment.notes import say_limit
from jacketcalc.assessment.result import (
    Answer,
    Band,
    Interval,
    LimitCheck,
    LimitCount,
    Rate,
    Standing,
)
from jacketcalc.assessment.standing import name_bare
from jacketcalc.inputs import Case, Currency
from jacketcalc.number_text import at_most, percent
from jacketcalc.unit_display import System, say_quantity

IMPOSED = "AT THE IMPOSED RATE"
MOST_NAMED = 3
"""Limits of one kind that a sentence names one by one [-]."""
ENDLESS = "no end"
"""What stands for an end of a range that has no number."""
QUANTITIES: dict[Currency, str] = {
    "delivery": "delivery",
    "specific air consumption": "specific air consumption",
    "discharge temperature": "the hottest discharge",
}


def judged_interval(by: Currency, found: Band | Standing) -> Interval:
    """Return the change of the quantity that is judged."""
    return {
        "delivery": found.delivered_mass_flow,
        "specific air consumption": found.specific_air_consumption,
        "discharge temperature": found.discharge_temperature,
    }[by]


def say_change(by: Currency, value: float, system: System) -> str:
    """Return a change of the judged quantity with its sign and unit."""
    if math.isinf(value):
        return ENDLESS
    if by == "discharge temperature":
        return say_quantity(value, "temperature difference", system, 1, sign=True)
    return percent(value)


def say_standing(case: Case, standing: Standing) -> str:
    """Return answer, change and range of a comparison, such as `pays, +8.7 % (+6 % to +9 %)`."""
    by, system = case.judgement.by, case.document.units
    answer = f"{standing.answer}, " if standing.answer else ""
    if not standing.delivers:
        return f"{answer}a machine stalls or delivers nothing"
    change = judged_interval(by, standing)
    low, value, high = (say_change(by, v, system) for v in (change.low, change.value, change.high))
    return f"{answer}{value}" + (f" ({low} to {high})" if low != high else "")


def differing(case: Case, standings: Sequence[Standing]) -> bool:
    """Whether two readings of bare differ as printed, in their answer or in their change."""
    by, system = case.judgement.by, case.document.units
    told = {
        (s.answer, s.delivers and say_change(by, judged_interval(by, s).value, system))
        for s in standings
    }
    return len(told) > 1


def at_rate(standings: Sequence[Standing], rate: Rate) -> list[Standing]:
    """Return the comparisons at a rate."""
    return [s for s in standings if s.rate == rate]


def list_answers(standings: Sequence[Standing]) -> list[Answer]:
    """Return the answers to the case as stated, the one that it asks for first, each once."""
    first, *rest = at_rate(standings, "as stated")
    found = [first.answer or "cannot tell", *(s.answer for s in rest if s.answer is not None)]
    return list(dict.fromkeys(found))


def make_headline(case: Case, standings: Sequence[Standing]) -> str:
    """Return the answers in capitals, and whether a rate is imposed; limits stand elsewhere."""
    head = " / ".join(list_answers(standings)).upper()
    return f"{head} {IMPOSED}" if case.machine.valve.cycle_rate is not None else head


def say_both(case: Case, standings: Sequence[Standing]) -> str:
    """Return the sentence for two references that give two answers; empty where they agree."""
    if len(list_answers(standings)) < 2:
        return ""
    told = _listed(case, at_rate(standings, "as stated"))
    return f"The answer depends on where the exhaust goes without jackets. {told}. "


def say_free(case: Case, standings: Sequence[Standing]) -> str:
    """Return the sentences on an imposed rate: that it is, and the machine without it."""
    rate = case.machine.valve.cycle_rate
    free = at_rate(standings, "not imposed")
    if rate is None:
        return ""
    head = f" The cycle rate of {rate_words(rate)} a second is imposed."
    if not free:
        return head
    told = _listed(case, free) if differing(case, free) else say_standing(case, free[0])
    quantity = QUANTITIES[case.judgement.by]
    return f"{head} Without an imposed rate, {quantity}: {_lower(told)}."


def say_free_short(case: Case, standings: Sequence[Standing]) -> str:
    """Return the machine without its imposed rate in few words; empty without one.

    Both machines without jackets where they give two answers.
    """
    free = at_rate(standings, "not imposed")
    if not free:
        return ""
    one = len({standing.answer for standing in free}) == 1
    told = say_standing(case, free[0]) if one else _listed(case, free)
    return f"Without the imposed rate: {_lower(told)}."


def rate_words(rate: float) -> str:
    """Return a rate in four digits."""
    return at_most(rate, max(0, 3 - math.floor(math.log10(rate))))


def describe_standings(
    case: Case, standings: Sequence[Standing], missing: Sequence[str], design: str = "As drawn"
) -> str:
    """Return the head of a study: a machine in every comparison.

    Parameters
    ----------
    case : the case
    standings : comparisons of the machine
    missing : why some could not be made
    design : which machine it is
    """
    stated = at_rate(standings, "as stated")
    words = ""
    if stated:
        shown = stated if differing(case, stated) else stated[:1]
        words = f"{design}, {QUANTITIES[case.judgement.by]}: {_lower(_listed(case, shown))}."
    return " ".join(filter(None, (words + say_free(case, standings), *missing)))


def _listed(case: Case, standings: Sequence[Standing]) -> str:
    """Return comparisons one by one, each with its machine without jackets."""
    found = [
        f"{say_standing(case, s)}, against {name_bare(case.machine, s.reference)}"
        for s in standings
    ]
    text = "; ".join(found)
    return f"{text[0].upper()}{text[1:]}"


def _lower(text: str) -> str:
    return f"{text[0].lower()}{text[1:]}"


def say_limits(limits: Sequence[LimitCheck], system: System) -> str:
    """Return the sentences that name the limits mended and newly broken; empty without any."""
    parts = []
    for fate, verb in (("mended", "mend"), ("newly broken", "newly break")):
        checks = [check for check in limits if check.fate == fate]
        if checks:
            named = "; ".join(_one_limit(check, system) for check in checks[:MOST_NAMED])
            more = f"; and {len(checks) - MOST_NAMED} more" if len(checks) > MOST_NAMED else ""
            count = "a limit" if len(checks) == 1 else f"{len(checks)} limits"
            parts.append(f"The jackets {verb} {count}: {named}{more}.")
    return " ".join(parts)


def _one_limit(check: LimitCheck, system: System) -> str:
    """Say a limit with both temperatures; without jackets there is no shell and no cold tube."""
    found, limit, bare, _ = say_limit(check, system)
    if check.kind == "at least":
        return f"{check.what}, {found} with them, at least {limit} asked"
    return f"{check.what}, {found} with them and {bare} without, at most {limit} asked"


def say_limit_short(check: LimitCheck, system: System) -> str:
    """Say a limit in few words, such as `seal, first: 90 °C, without 120 °C, limit 100 °C`."""
    found, limit, bare, _ = say_limit(check, system)
    without = f", without {bare}" if check.kind == "at most" else ""
    return f"{check.what}: {found}{without}, limit {limit}"


def say_count(count: LimitCount) -> str:
    """Return how many limits are kept, mended, newly broken and broken in both."""
    mended, new, both = len(count.mended), len(count.newly_broken), len(count.broken_in_both)
    total = len(count.kept) + mended + new + both
    if total == len(count.kept):
        return "Every limit is kept."
    return (
        f"Of {total} limits {len(count.kept)} are kept, {mended} mended by the jackets, {new} "
        f"newly broken and {both} broken in both."
    )
