"""Gas that leaves the table of air, in whatever machine: found, and said."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from jacketcalc.core.outcome import Outcome
from jacketcalc.gas.cells import (
    HIGHEST_PRESSURE,
    HIGHEST_TEMPERATURE,
    LOWEST_PRESSURE,
    LOWEST_TEMPERATURE,
)
from jacketcalc.unit_display import System, say_quantity


@dataclass(frozen=True, kw_only=True)
class GasRange:
    """Extremes of the gas of machines that leave the table of air."""

    coldest: float
    """Lowest temperature, passages included [K]."""
    hottest: float
    """Highest temperature [K]."""
    lowest: float
    """Lowest pressure [Pa]."""
    highest: float
    """Highest pressure [Pa]."""


def beyond_table(outcomes: Iterable[Outcome]) -> GasRange | None:
    """Return the extremes of those machines whose gas leaves the table; None where none does."""
    return widest(gas for gas in map(_extremes, outcomes) if _leaves(gas))


def widest(ranges: Iterable[GasRange | None]) -> GasRange | None:
    """Return the extremes of several ranges, None where there is none."""
    out = [gas for gas in ranges if gas is not None]
    if not out:
        return None
    return GasRange(
        coldest=min(gas.coldest for gas in out),
        hottest=max(gas.hottest for gas in out),
        lowest=min(gas.lowest for gas in out),
        highest=max(gas.highest for gas in out),
    )


def say_beyond(gas: GasRange, system: System) -> str:
    """Say what leaves the table, as the rest of a sentence that begins with whose gas it is."""
    temperatures = (gas.coldest, gas.hottest), (LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE)
    pressures = (gas.lowest, gas.highest), (LOWEST_PRESSURE, HIGHEST_PRESSURE)
    said = [
        f"at {_span(found, dimension, system)} leaves the property table's "
        f"{_span(table, dimension, system)}"
        for dimension, (found, table) in (("temperature", temperatures), ("pressure", pressures))
        if found[0] < table[0] or found[1] > table[1]
    ]
    return f"{' and '.join(said)}; beyond it air is taken as an ideal gas"


def _extremes(outcome: Outcome) -> GasRange:
    return GasRange(
        coldest=min(outcome.coldest_gas, outcome.coldest_passage),
        hottest=outcome.hottest_gas,
        lowest=outcome.lowest_pressure,
        highest=outcome.highest_pressure,
    )


def _leaves(gas: GasRange) -> bool:
    warm = gas.coldest >= LOWEST_TEMPERATURE and gas.hottest <= HIGHEST_TEMPERATURE
    return not (warm and gas.lowest >= LOWEST_PRESSURE and gas.highest <= HIGHEST_PRESSURE)


def _span(ends: tuple[float, float], dimension: str, system: System) -> str:
    return " to ".join(say_quantity(value, dimension, system) for value in ends)
