"""Gas that leaves its property table, in whatever machine: found, and said."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from jacketcalc.core.outcome import Outcome
from jacketcalc.gases import FLUIDS
from jacketcalc.inputs import GasName
from jacketcalc.unit_display import System, say_quantity


@dataclass(frozen=True, kw_only=True)
class GasRange:
    """Extremes of the gas of machines that leave its table."""

    coldest: float
    """Lowest temperature, passages included [K]."""
    hottest: float
    """Highest temperature [K]."""
    lowest: float
    """Lowest pressure [Pa]."""
    highest: float
    """Highest pressure [Pa]."""
    gas: GasName = "air"


def beyond_table(outcomes: Iterable[Outcome]) -> GasRange | None:
    """Return the extremes of those machines whose gas leaves the table; None where none does."""
    return widest(map(_beyond, outcomes))


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
        gas=out[0].gas,
    )


def say_beyond(gas: GasRange, system: System) -> str:
    """Say what leaves the table, as the rest of a sentence that begins with whose gas it is."""
    span = FLUIDS[gas.gas].span
    temperatures = (gas.coldest, gas.hottest), (span.lowest_temperature, span.highest_temperature)
    pressures = (gas.lowest, gas.highest), (span.lowest_pressure, span.highest_pressure)
    said = [
        f"at {_span(found, dimension, system)} leaves the property table's "
        f"{_span(table, dimension, system)}"
        for dimension, (found, table) in (("temperature", temperatures), ("pressure", pressures))
        if found[0] < table[0] or found[1] > table[1]
    ]
    return f"{' and '.join(said)}; beyond it {gas.gas} is taken as an ideal gas"


def _beyond(outcome: Outcome) -> GasRange | None:
    """Return the stages' gas where it leaves its table, else all that does as air."""
    whose = (_stages(outcome), _extremes(outcome))
    return next((gas for gas in whose if gas is not None and _leaves(gas)), None)


def _stages(outcome: Outcome) -> GasRange | None:
    gas = outcome.stage_gas
    if gas is None:
        return None
    return GasRange(
        coldest=gas.coldest,
        hottest=gas.hottest,
        lowest=gas.lowest,
        highest=gas.highest,
        gas=gas.name,
    )


def _extremes(outcome: Outcome) -> GasRange:
    return GasRange(
        coldest=min(outcome.coldest_gas, outcome.coldest_passage),
        hottest=outcome.hottest_gas,
        lowest=outcome.lowest_pressure,
        highest=outcome.highest_pressure,
    )


def _leaves(gas: GasRange) -> bool:
    span = FLUIDS[gas.gas].span
    warm = gas.coldest >= span.lowest_temperature and gas.hottest <= span.highest_temperature
    return not (
        warm and gas.lowest >= span.lowest_pressure and gas.highest <= span.highest_pressure
    )


def _span(ends: tuple[float, float], dimension: str, system: System) -> str:
    return " to ".join(say_quantity(value, dimension, system) for value in ends)
