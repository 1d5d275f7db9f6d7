"""Water along the path in words: the supply, what enters, ice, snow, and heat that is set free."""

from __future__ import annotations

import math

from jacketcalc.assessment.water_finding import TOLD, WaterFinding
from jacketcalc.findings.supply_water import supply_vapour
from jacketcalc.findings.water_path import ICE_DENSITY, LOOSE_FROST
from jacketcalc.number_text import percent, significant
from jacketcalc.unit_display import System, find_display, format_quantity, say_quantity

DIGITS = 3
"""Digits of a pressure and an amount [-]."""
_MINUTES = 2.0
"""Hours up to which a time is told in minutes [h]."""
ASSUMED = "Dew point ASSUMED"
"""What is said of a humidity that nobody has stated."""
NEEDED = (
    "Dew points count at supply pressure. The class is the wettest of ISO 8573-1 that does; the "
    "dryer the simplest that reaches it (common practice, no source)."
)
"""What stands below the table of dew points."""
PATH_NOTES = (
    f"Ice counts as solid, {ICE_DENSITY:.0f} kg/m3 (IAPWS R10-06), spread evenly over the length "
    f"that frosts; loose frost of some {LOOSE_FROST:.0f} kg/m3 blocks "
    f"{ICE_DENSITY / LOOSE_FROST:.1f} times sooner. Amounts are upper bounds: all of the air meets "
    "the coldest state of the place, and what leaves stays there. The valve's own metal and the "
    "growth of ice are not computed.",
)
"""What the amounts take for granted."""


def say_supply(found: WaterFinding, system: System) -> str:
    """Say how humid the supply is, and where that comes from."""
    supply = found.case.machine.supply
    vapour = supply_vapour(supply)
    point = say_quantity(vapour.dew_point, "temperature", system)
    pressure = format_quantity(vapour.pressure, "pressure", system, DIGITS)
    text = f"Supply: dew point {point} at {pressure}"
    if supply.intake is not None:
        intake = supply.intake
        warm, cooled = (say_quantity(T, "temperature", system)
                        for T in (intake.temperature, intake.aftercooler_temperature))  # fmt: skip
        text += (
            f", from {percent(intake.relative_humidity, 0, sign=False)} relative humidity at "
            f"{warm} at the compressor's intake, {cooled} behind its aftercooler and no dryer"
        )
    return f"{text}. {ASSUMED}." if found.assumed else f"{text}."


def say_entering(found: WaterFinding, system: System) -> str:
    """Say how much water enters; empty of a machine at rest."""
    path = found.jacketed
    if path is None:
        return ""
    whole, drive, stages = (
        format_quantity(flow, "water flow", system, 3)
        for flow in (path.entering, path.drive_water, path.stage_water)
    )
    machine = found.case.machine
    if all(machine.feed(stage) is machine.source for stage in machine.stages):
        return (
            f"Water enters at {drive} with the drive's air. The stages draw {machine.gas.name} "
            "from a source, which is taken dry: stages, line and receiver are not followed."
        )
    return f"Water enters at {whole}: {drive} with the drive's air, {stages} with the stages'."


def say_ice(found: WaterFinding, share: float) -> str:
    """Say which wall ice blocks first; empty where none does."""
    places = found.jacketed.places if found.jacketed is not None else ()
    found_hours = [(hours, p.name) for p in places if p.part == "passage wall"
                   if (hours := p.hours(share)) is not None]  # fmt: skip
    if not found_hours:
        return ""
    hours, name = min(found_hours)
    return (
        f"Ice blocks {percent(share, 0, sign=False)} of the cross-section first at the {name}, in "
        f"{say_hours(hours)} at the least."
    )


def say_snow(found: WaterFinding, share: float, system: System) -> str:
    """Say what of the ice forms in the air itself; empty where none does."""
    places = found.jacketed.places if found.jacketed is not None else ()
    icy = [p for p in places if p.part == "exhaust air" and p.wet and p.nearest.freezes]
    if not icy:
        return ""
    most = max(icy, key=lambda p: p.most)
    amount = format_quantity(most.most, "water flow", system, 2)
    text = (
        f"Snow forms in the exhaust air itself, {amount} at most ({most.name}); the air carries it "
        "along, and what of it sticks is not known."
    )
    times = [(hours, p.name) for p in icy if (hours := p.hours(share)) is not None]
    first = min(times, default=None)
    if first is None:
        return text
    return (
        f"{text} If all of it did, {percent(share, 0, sign=False)} of the narrowest place would be "
        f"blocked in {say_hours(first[0])} ({first[1]})."
    )


def say_hours(hours: float) -> str:
    """Say a time in minutes up to two hours, then in hours."""
    if hours < _MINUTES:
        return f"{significant(60.0 * hours, 2)} minutes"
    return f"{round(hours)} hours" if hours >= 10.0 else f"{significant(hours, 2)} hours"


def say_latent(found: WaterFinding, system: System) -> str:
    """Say what heat the water sets free, where that matters; else empty."""
    share = found.latent_share
    if share is None or share < TOLD:
        return ""
    heat = format_quantity(found.latent, "power", system, 2)
    return (
        f"Water that leaves the exhaust sets free up to {heat}, {percent(share, 1, sign=False)} of "
        "its cold; the temperatures do not hold it."
    )


def say_down(T: float, system: System) -> str:
    """Say a highest temperature in whole degrees, rounded down: a little lower does too."""
    unit = find_display("temperature", system)
    return f"{floor_to((T - unit.zero) / unit.size, 0):.0f} {unit.symbol}"


def floor_to(value: float, decimals: int) -> float:
    """Return a number rounded down."""
    return math.floor(value * 10.0**decimals) / 10.0**decimals


def say_needs_short(found: WaterFinding, system: System) -> str:
    """Say in few words how dry the supply must be for passage and stages; empty where unknown."""
    told = [
        f"{need.name} at any"
        if need.any_will_do
        else f"{need.name} up to {say_down(need.dew_point, system)}"
        for need in found.needs
        if need.key in ("passage", "stages")
    ]
    return " and ".join(told)
