"""The barrel's wall, head and crown against closed forms."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from printed import near
from sample import MACHINE, STEEL, single

from jacketcalc.core.layout import blank
from jacketcalc.core.parts import balance_walls, wall_sizes, wetted_wall
from jacketcalc.core.resolution import Resolution
from jacketcalc.designs import Design
from jacketcalc.inputs import Machine

AMBIENT = MACHINE.ambient.temperature
RINGS = Resolution().rings
SAMPLE = Design(machine=MACHINE)


def without_piston(**stage: Any) -> Machine:
    """One stage whose piston has no skirt and whose barrel no flange."""
    return single(8e5, 20e5, 50e-3, piston_length=0.0, flange_conductance=0.0, **stage)


def load_of(rings: int = RINGS, **parts: Any) -> Any:
    """A load that is nothing but the parts given: numbers, or one for each ring."""
    barrel = blank("Barrel")
    # A crown with no gas would have no balance.
    for name, value in ({"crown_gas": 1.0, "crown_pull": AMBIENT} | parts).items():
        if barrel[name].ndim:
            barrel[name][:rings] = value
        else:
            barrel[name] = value
    return barrel


def test_composite_cylinder() -> None:
    """Cengel, example 3-8 (read): steam at 320 degC in an insulated pipe, 120.79 W/m; 0.05 %.

    h 60, 50/55 mm of k 80, 30 mm of glass wool k 0.05, h 18 to 5 degC. The pipe loses 0.0229 K.
    """
    machine = without_piston(wall_thickness=2.5e-3, material=replace(STEEL, conductivity=80.0))
    dz = machine.stages[0].barrel_length / RINGS
    wool = np.log(0.115 / 0.055) / (2 * np.pi * 0.05 * dz)
    inner = 60.0 * np.pi * 0.05 * dz
    outer = 1.0 / (wool + 1.0 / (18.0 * np.pi * 0.115 * dz))
    load = load_of(gas=inner, gas_pull=inner * 593.15, air=outer, air_pull=outer * 278.15)
    found = balance_walls(Design(machine=machine), 0, load, AMBIENT)
    flux = outer * (found["outside"][:RINGS] - 278.15) / dz
    assert flux == pytest.approx(120.79, rel=5e-4)
    assert (found["inside"] - found["outside"])[3] == near("0.0229")
    assert flux[0] * dz * wool == pytest.approx(283.59, rel=5e-4)


def fin_error(rings: int) -> float:
    """Largest error along a barrel that is a fin on its head, over the head's excess."""
    design = Design(machine=without_piston(wall_thickness=4e-3))
    h, length, hot, bore, outside = 25.0, 0.165, 393.0, 0.050, 0.058
    dz = length / rings
    # A fin is cooled at its mid-wall: what the film lacks is what the wall outside of that adds.
    radial = np.log(outside / 0.054) / (2 * np.pi * STEEL.conductivity * dz)
    film = 1.0 / (1.0 / (h * np.pi * outside * dz) - radial)
    load = load_of(
        rings, air=film, air_pull=film * AMBIENT, head_gas=1e9, head_pull=1e9 * hot,
        crown_gas=1e9, crown_pull=1e9 * hot,
    )  # fmt: skip
    found = balance_walls(design, 0, load, AMBIENT, Resolution(rings=rings))
    section = np.pi / 4 * (outside**2 - bore**2)
    m = np.sqrt(h * np.pi * outside / (STEEL.conductivity * section))
    z = (np.arange(rings) + 0.5) * dz
    exact = np.cosh(m * (length - z)) / np.cosh(m * length)
    return float(np.abs((found["middle"][:rings] - AMBIENT) / (hot - AMBIENT) - exact).max())


def test_barrel_is_a_fin() -> None:
    """cosh m(L - z) / cosh mL, adiabatic tip (any heat transfer text), second order in rings."""
    errors = np.array([fin_error(n) for n in (24, 48, 96)])
    assert np.log2(errors[:-1] / errors[1:]) == pytest.approx(2.0, abs=0.1)
    assert errors[0] < 2.5e-3


@pytest.mark.parametrize(("place", "drive_wall"), [(0, 280.0), (1, 285.0)])
def test_balance_of_the_walls(place: int, drive_wall: float) -> None:
    """Every watt into head, barrel and crown leaves by ambient, drive body and gas."""
    random, stage = np.random.default_rng(3 + place), MACHINE.stages[place]
    gas, air = 0.2 * random.random(RINGS), 0.1 * random.random(RINGS)
    pull, cooled = gas * (300 + 200 * random.random(RINGS)), air * (250 + 40 * random.random(RINGS))
    load = load_of(
        gas=gas, gas_pull=pull, air=air, air_pull=cooled, seal=8 * random.random(),
        head_ambient=0.1 * random.random(), head_gas=0.1, head_pull=40.0, crown_gas=0.15,
        crown_pull=52.0,
    )  # fmt: skip
    walls = balance_walls(SAMPLE, place, load, drive_wall)
    inside, outside = walls["inside"][:RINGS], walls["outside"][:RINGS]
    gained = (pull - gas * inside).sum() + 40.0 - 0.1 * walls["head"]
    gained += 52.0 - 0.15 * walls["crown"] + walls["seal"]
    lost = (air * outside - cooled).sum() + walls["head_ambient"] * (walls["head"] - AMBIENT)
    section = np.pi / 4 * ((stage.bore + 2 * stage.wall_thickness) ** 2 - stage.bore**2)
    half_ring = stage.material.conductivity * section / (0.5 * stage.barrel_length / RINGS)
    flange = 1.0 / (1.0 / stage.flange_conductance + 1.0 / half_ring)
    lost += flange * (walls["middle"][RINGS - 1] - drive_wall)
    assert gained == pytest.approx(lost, rel=1e-9)


def test_seal_heat_goes_to_barrel_and_crown() -> None:
    """A share of the seal's friction warms the barrel and the rest the crown: neither gets none.

    Crown and barrel are parted (no skirt), so each keeps its own.
    """
    machine = without_piston()
    load = load_of(gas=1.0, gas_pull=AMBIENT, seal=10.0)
    walls = balance_walls(Design(machine=machine), 0, load, AMBIENT)
    barrel, crown = (walls["inside"][:RINGS] - AMBIENT).sum(), walls["crown"] - AMBIENT
    assert barrel > 1.0 and crown > 1.0
    assert barrel + crown == pytest.approx(10.0, rel=1e-9)


def test_jacket_cells_lie_on_the_barrel() -> None:
    """Each channel cell's surface is shared out in full, and only under the winding."""
    sizes, cells = wall_sizes(SAMPLE), Resolution().channel_cells
    assert sizes["placed"][:, :cells].sum(axis=2) == pytest.approx(1.0, rel=1e-12)
    rings = np.array([0.165, 0.146]) / RINGS
    covered = (sizes["covered"][:2, :RINGS]).sum(axis=1) * rings
    assert covered == pytest.approx(0.12, rel=1e-12)


def test_skirt_is_a_film_of_air() -> None:
    """0.1 mm of air of 0.026 W/(m K) round the piston, wherever it stands (judgement)."""
    for i, stage in enumerate(MACHINE.stages):
        want = 0.026 / 1e-4 * np.pi * stage.bore * stage.piston_length
        assert wall_sizes(SAMPLE)["skirt"][i].sum() == pytest.approx(want, rel=1e-9)


def test_head_is_a_plate_with_a_rim() -> None:
    """Outside of a head: its disc and its rim."""
    for i, stage in enumerate(MACHINE.stages):
        outside = stage.bore + 2 * stage.wall_thickness
        want = np.pi / 4 * outside**2 + np.pi * outside * stage.head_thickness
        assert wall_sizes(SAMPLE)["head_outside"][i] == pytest.approx(want, rel=1e-12)


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_gas_feels_the_walls_it_touches(share: float) -> None:
    """Area mean of head, crown and bared barrel, for a barrel that warms evenly along.

    Clearance and stroke known, the bared length's mean is that at its middle (exact); a ring
    bared in part counts at its own temperature: half a ring's rise of 4 K at most.
    """
    stage, rise = MACHINE.stages[0], 100.0 / 0.165
    walls = blank("Barrel")
    walls["inside"][:RINGS] = 300.0 + rise * (np.arange(RINGS) + 0.5) * 0.165 / RINGS
    walls["head"], walls["crown"] = 420.0, 380.0
    bared = stage.clearance * 0.12 + share * 0.12
    around, face = np.pi * stage.bore * bared, np.pi / 4 * stage.bore**2
    want = (around * (300.0 + rise * bared / 2) + face * 800.0) / (around + 2 * face)
    assert wetted_wall(SAMPLE, 0, walls, bared) == pytest.approx(want, abs=1.8)
