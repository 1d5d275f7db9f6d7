"""What is found of cold and water, in words and in the case's units."""

from __future__ import annotations

from jacketcalc.core.outcome import Outcome
from jacketcalc.findings.cold import LEAST_BOUND, Cold
from jacketcalc.findings.water import Nearest
from jacketcalc.number_text import percent
from jacketcalc.unit_display import System, format_quantity, say_quantity

DIGITS = 3
"""Digits of a pressure and a place [-]."""


def say_nearest(found: Nearest, system: System) -> str:
    """Say where and when water is nearest, and by how much."""
    side = "below" if found.margin < 0 else "above"
    decimals = 1 if abs(found.margin) < 10.0 else 0
    apart = say_quantity(abs(found.margin), "temperature difference", system, decimals)
    at, point = (say_quantity(T, "temperature", system) for T in (found.temperature, found.point))
    pressure = format_quantity(found.pressure, "pressure", system, DIGITS)
    return (
        f"{say_place(found, system)} is at {at}, {apart} {side} the {found.point_name} of {point} "
        f"at {pressure} {found.moment}"
    )


def list_water(outcome: Outcome, system: System) -> list[str]:
    """Return short statements on water and frost: passage walls, exhaust, stages."""
    water = outcome.water
    if water is None:
        return []
    words = []
    if water.passage_wall is not None:
        wall = water.passage_wall
        apart = _apart(wall.margin, system)
        words.append(
            f"passage walls dry ({apart} to spare)"
            if wall.margin >= 0
            else f"{'ice' if wall.freezes else 'water'} on the {wall.part} ({apart} below)"
        )
    if water.exhaust.margin < 0:
        words.append(f"{'ice' if water.exhaust.freezes else 'water'} in the exhaust air")
    judged = [
        (s.name, one)
        for s, one in zip(outcome.stages, water.stages, strict=True)
        if one is not None
    ]
    wet = [name for name, one in judged if one.margin < 0]
    if not judged:
        return [*words, "stages not judged: gas of a source is taken dry"]
    words.append(
        f"water can condense in stage{'s' if len(wet) > 1 else ''} {' and '.join(wet)}"
        if wet
        else "stages dry"
    )
    return words


def _apart(margin: float, system: System) -> str:
    decimals = 1 if abs(margin) < 10.0 else 0
    return say_quantity(abs(margin), "temperature difference", system, decimals)


def say_place(found: Nearest, system: System) -> str:
    """Say where it is."""
    if found.distance is None:
        return found.part
    distance = format_quantity(found.distance, "length", system, DIGITS)
    return f"{found.part}, {distance} from {found.origin},"


def say_cold(cold: Cold, system: System) -> str:
    """Say what cold the exhaust carries and what of it the jackets used."""
    bound, used = (say_quantity(watts, "power", system) for watts in (cold.bound, cold.used))
    if cold.bound < LEAST_BOUND:
        return (
            "The exhaust carries no cold to speak of: to bring it to supply temperature at the "
            f"ambient pressure takes {bound}. The jackets took {used} from the barrels; the first "
            "law sets no bound to that here."
        )
    if cold.share is None:
        return (
            "To bring the exhaust to supply temperature at ambient pressure takes "
            f"{bound}. The jackets took {used} from the barrels: they warm it past supply "
            "temperature, so the first law sets no bound here."
        )
    return (
        f"Warmed to supply temperature at ambient pressure, the exhaust could take up {bound} "
        f"at most (first law); the jackets used {used} of it, {percent(cold.share, 0, sign=False)}."
    )
