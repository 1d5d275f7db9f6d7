"""What a fill came to, in sentences."""

from __future__ import annotations

from jacketcalc.fill.repeated import SAME_TEMPERATURE, SAME_TIME, RepeatedFills, Series
from jacketcalc.fill.result import Fill, FillComparison
from jacketcalc.inputs import Case
from jacketcalc.number_text import fixed, percent
from jacketcalc.unit_display import System, format_quantity

ENDED = {
    "stall": "the machine stalls at {pressure}",
    "dry": "the machine delivers no more at {pressure}: its clearance takes up the stroke",
    "unsettled": "no steady cycle of the machine was found beyond {pressure}",
    "steps": "the fill was given up at {pressure}, after too many steps of time",
}
"""How a fill that did not come to its target ended."""
NOTES = (
    "Within a cycle walls and receiver stay as they are; from cycle to cycle walls, lines and "
    "chambers are followed, many cycles at once. Machine and receiver start as warm as what "
    "surrounds them, lines at the pressure that feeds the first stage.",
    "Not followed: heat stored in an unfed jacket, in a jacket's ribs, in the drive's piston and "
    "in the frame. No model range is computed here: see `jacketcalc assess`.",
    "The receiver is pressure equipment: its wall stores heat here, and nothing is said of its "
    "strength.",
)
"""What a reader should know of every fill."""
REPEATED = (
    "Each fill takes another receiver, as cold as what surrounds it; the machine keeps the heat "
    "of its walls and cools in the pauses."
)
"""What a reader should know of repeated fills."""


def spell_time(seconds: float) -> str:
    """Return a duration in the units in which a person says it."""
    if seconds < 90.0:
        return f"{fixed(seconds, 1)} s"
    minutes = round(seconds / 60.0)
    if seconds < 5400.0:
        return f"{fixed(seconds / 60.0, 1)} min"
    return f"{minutes // 60} h {minutes % 60} min"


def change_of(with_jackets: float, no_jackets: float) -> float:
    """Return a relative change, nought where there is nothing to compare with [-]."""
    return with_jackets / no_jackets - 1.0 if no_jackets > 0.0 else 0.0


def describe_end(fill: Fill, system: System = "SI") -> str:
    """Say how long a fill took, or where it ended."""
    if fill.reached:
        return spell_time(fill.time)
    said = ENDED[fill.ended].format(pressure=format_quantity(fill.pressure, "pressure", system, 4))
    return f"{said}, after {spell_time(fill.time)}"


def what_is_filled(case: Case, target: float) -> str:
    """Name the receiver and both pressures."""
    receiver, system = case.machine.receiver, case.document.units
    assert receiver is not None
    volume = f"{receiver.volume * 1e3:.4g} L"
    if system != "SI":
        volume = format_quantity(receiver.volume, "volume", system, 4)
    start, end = (
        format_quantity(p, "pressure", system, 4) for p in (receiver.start_pressure, target)
    )
    return f"{volume} from {start} to {end}"


def answer(found: FillComparison) -> str:
    """Say in one sentence what the jackets do to the fill."""
    system = found.case.document.units
    bare, jacketed = found.no_jackets, found.with_jackets
    if jacketed is None:
        said = describe_end(bare, system)
        return f"{said[0].upper()}{said[1:]}."
    if bare.reached and jacketed.reached:
        change = percent(change_of(jacketed.time, bare.time))
        with_, without = spell_time(jacketed.time), spell_time(bare.time)
        return f"{with_} with jackets, {without} without: {change}."
    return f"With jackets: {describe_end(jacketed, system)}. Without: {describe_end(bare, system)}."


def describe_help(found: FillComparison) -> str:
    """Say in what share of the time the jackets helped; empty where there are none."""
    if found.with_jackets is None:
        return ""
    share = percent(found.helped, 0, sign=False)
    return (
        f"In {share} of the time the machine with jackets filled faster than the one without would "
        "have filled the same contents."
    )


def describe_currency(found: FillComparison) -> str:
    """Say what the compressor's capacity does to the fill; empty where it does nothing."""
    if not found.air_is_short:
        return ""
    system = found.case.document.units
    rests = found.case.machine.supply.when_short == "rests"
    told = [
        percent(fill.rest_share, 0, sign=False)
        if rests
        else format_quantity(fill.lowest_supply, "pressure", system, 3)
        for fill in reversed(found.fills)
    ]
    of = " of the time" if rests else ""
    both = f"{told[0]}{of} with jackets, {told[-1]} without" if found.with_jackets else told[0] + of
    what = f"the machine rests, {both}" if rests else f"the supply sags, to {both}"
    words = f"The compressor gives less than the machine can take: {what}."
    if found.with_jackets is None:
        return f"{words} Air, not strokes, is then the currency."
    change = change_of(found.with_jackets.specific_air, found.no_jackets.specific_air)
    air = f"{percent(abs(change), sign=False)} {'less' if change < 0.0 else 'more'}"
    return (
        f"{words} Air, not strokes, is then the currency: with jackets the drive takes {air} for "
        "each kg in the receiver."
    )


def describe_repeats(found: RepeatedFills) -> str:
    """Say from which fill on they repeat."""
    same = f"times within {percent(SAME_TIME, sign=False)}, temperatures within"
    same += f" {fixed(SAME_TEMPERATURE, 1)} K"
    if found.with_jackets is None:
        return f"{_repeats(found.no_jackets).capitalize()} ({same})."
    with_, without = _repeats(found.with_jackets), _repeats(found.no_jackets)
    return f"With jackets: {with_}. Without: {without} ({same})."


def _repeats(series: Series) -> str:
    count = len(series.fills)
    if series.repeats:
        return f"the fills repeat from number {count - 1} on"
    return f"{count} fills do not repeat yet"
