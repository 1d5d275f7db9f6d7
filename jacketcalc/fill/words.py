"""What a fill came to, in sentences."""

from __future__ import annotations

from jacketcalc.fill.result import Fill, FillComparison
from jacketcalc.number_text import fixed, percent
from jacketcalc.unit_display import System, format_quantity

ENDED = {
    "stall": "the machine stalls at {pressure}",
    "unsettled": "no steady cycle of the machine was found beyond {pressure}",
    "steps": "the fill was given up at {pressure}, after too many steps of time",
}
"""How a fill that did not come to its target ended."""
NOTES = (
    "Every cycle is quasi-steady: walls, lines and chambers change from step to step, but for what "
    "a cycle does within itself. The receiver's pressure stays as it is within a cycle.",
    "Not followed: heat that an unfed jacket, a jacket's ribs, the drive's piston or the frame "
    "store. No model range is computed here: see `jacketcalc assess`.",
    "The receiver is pressure equipment: its wall here stores heat, and nothing is said of its "
    "strength.",
)
"""What a reader should know of every fill."""


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


def answer(found: FillComparison) -> str:
    """Say in one sentence what the jackets do to the fill."""
    system = found.case.document.units
    bare, jacketed = found.fills
    if bare.reached and jacketed.reached:
        change = percent(change_of(jacketed.time, bare.time))
        return (
            f"{spell_time(jacketed.time)} with jackets, {spell_time(bare.time)} without: {change}."
        )
    return f"With jackets: {describe_end(jacketed, system)}. Without: {describe_end(bare, system)}."


def describe_help(found: FillComparison) -> str:
    """Say in what share of the time the jackets helped."""
    share = percent(found.helped, 0, sign=False)
    return (
        f"In {share} of the time the machine with jackets filled faster than the one without would "
        "have filled the same contents."
    )


def describe_currency(found: FillComparison) -> str:
    """Say what the compressor's capacity does to the fill; empty where it does nothing."""
    if not found.air_is_short:
        return ""
    bare, jacketed = found.fills
    change = change_of(jacketed.specific_air, bare.specific_air)
    air = f"{percent(abs(change), sign=False)} {'less' if change < 0.0 else 'more'}"
    if found.case.machine.supply.when_short == "rests":
        rests = (percent(fill.rest_share, 0, sign=False) for fill in (jacketed, bare))
        what = "the machine rests for {} of the time with jackets, {} without".format(*rests)
    else:
        system = found.case.document.units
        low = (format_quantity(f.lowest_supply, "pressure", system, 3) for f in (jacketed, bare))
        what = "the supply sags to {} with jackets, {} without".format(*low)
    return (
        f"The compressor gives less than the machine can take: {what}. Air, not strokes, is then "
        f"the currency: with jackets the drive takes {air} for each kg in the receiver."
    )
