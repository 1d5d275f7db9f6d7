"""Steps and cells: twice as many move no headline number that a designer would see."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from sample import MACHINE, Array, Solved, run

from jacketcalc.core.layout import constants
from jacketcalc.core.resolution import Resolution

HEADLINES = (
    "cycle_rate", "delivered_mass_flow", "drive_air_mass_flow", "drive_work",
    "back_pressure_mean", "back_pressure_peak", "port_temperature",
    "stages.compression_start_temperature", "stages.discharge_temperature",
    "stages.peak_temperature", "stages.mass_per_stroke",
    "stages.volumetric_efficiency", "stages.indicated_work", "stages.wall_temperature.min",
    "stages.wall_temperature.mean", "stages.wall_temperature.max", "stages.jacket.heat",
    "stages.jacket.inlet_temperature", "stages.jacket.outlet_temperature",
)  # fmt: skip


def headlines(solved: Solved) -> dict[str, Array]:
    """All headline numbers, by name, over designs and stages."""

    def read(thing: Any, path: list[str]) -> list[float]:
        if isinstance(thing, tuple):
            return [v for part in thing for v in read(part, path)]
        return read(getattr(thing, path[0]), path[1:]) if path else [float(thing)]

    return {
        name: np.array([read(o, name.split(".")) for o in solved.outcomes]) for name in HEADLINES
    }


def gci(coarse: Array, middle: Array, fine: Array) -> Array:
    """Grid convergence index of the fine grid after ASME V&V 20, refinement 2, safety 1.25 [-].

    The order is held between 1 and 2, for differences at rounding level have none.
    """
    first, second = np.abs(coarse - middle), np.abs(middle - fine)
    order = np.clip(np.log2(np.maximum(first, 1e-300) / np.maximum(second, 1e-300)), 1.0, 2.0)
    return np.asarray(1.25 * second / np.abs(fine) / (2.0**order - 1.0))


@pytest.fixture(scope="module")
def refined() -> list[dict[str, Array]]:
    return [headlines(run([MACHINE], factor)) for factor in (0.5, 1.0, 2.0)]


@pytest.mark.parametrize("name", HEADLINES)
def test_steps_converge(name: str, refined: list[dict[str, Array]]) -> None:
    """Twice the time steps move no headline number by 0.1 %."""
    coarse, middle, fine = (row[name] for row in refined)
    assert np.abs(middle / fine - 1.0).max() < 1e-3
    assert gci(coarse, middle, fine).max() < 1.5e-3


@pytest.mark.parametrize("cells", ["tube_cells", "channel_cells", "rings", "phases", "levels"])
def test_cells_converge(cells: str) -> None:
    """Twice the cells or phases, or the most levels, move no headline number by 0.1 %."""
    few, most = getattr(Resolution(), cells), constants()["MAX_LEVELS"]
    more = most if cells == "levels" else 2 * few
    assert more >= 2 * few
    before, after = (
        headlines(run([MACHINE], resolution=replace(Resolution().scaled(0.34), **{cells: size})))
        for size in (few, more)
    )
    moved = {name: float(np.abs(before[name] / after[name] - 1.0).max()) for name in HEADLINES}
    assert {name: v for name, v in moved.items() if v >= 1e-3} == {}


def test_openings_iterate_far_enough() -> None:
    """The peak hardly moves when every step is solved a hundred thousand times closer."""
    usual = Resolution().scaled(0.5)
    loose, close = (
        np.array(run([MACHINE], resolution=steps).outcomes[0].back_pressure_peak)
        for steps in (usual, replace(usual, settled=1e-5 * usual.settled))
    )
    assert np.any(loose != close)
    assert loose == pytest.approx(close, rel=5e-4)
