"""Factors on three laws: each multiplies its own term, and nothing else.

In-cylinder heat (both parts of the complex Nusselt number), the jacket's coefficient while air
flows, and natural convection outside. What they multiply is held to ht and to the exact forms.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any, get_args

import ht
import numpy as np
import pytest
from broken import FULL
from case_problems import find_problems
from CoolProp.CoolProp import PropsSI
from ideal_gas import IdealGas
from sample import MACHINE, single

from jacketcalc.core.machine import pack_machine
from jacketcalc.core.parts import PassageParts, StrokeParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design
from jacketcalc.inputs import CylinderModel, Machine

GAS, BORE, PERIOD = IdealGas(), 32e-3, 0.8
STATE = {
    "p": 20e5, "T": 380.0, "volume": 5e-5, "area": 2 * np.pi / 4 * BORE**2 + 4 * 5e-5 / BORE,
    "wall": 310.0, "angle": 1.0, "speed": 0.3,
}  # fmt: skip
STEPS = Resolution()


def law(model: CylinderModel, factor: float, **state: float) -> tuple[float, float]:
    machine = single(8e5, 40e5, BORE)
    models = replace(machine.models, cylinder=model, in_cylinder_factor=factor)
    parts = StrokeParts(Design(machine=replace(machine, models=models)), gas=GAS)
    return parts.stage_law(0, PERIOD, **{**STATE, **state})  # type: ignore[arg-type]


@pytest.mark.parametrize("factor", [0.67, 1.0, 2.0])
@pytest.mark.parametrize("inflow", [0.0, 2e-3])
@pytest.mark.parametrize("model", get_args(CylinderModel))
def test_in_cylinder_factor(model: CylinderModel, inflow: float, factor: float) -> None:
    """Flux h (T - Tw) + lag dT/dt, both times the factor: the complex Nusselt number scales.

    A chamber of heat capacity C warms by dT where compression alone would warm it by dT0:
    C dT = C dT0 - h (T - Tw) dt - lag dT, so lag = C L / (1 - L) and h = coefficient / (1 - L).
    """
    (h, lead), (h_one, lead_one) = (law(model, f, inflow=inflow) for f in (factor, 1.0))
    assert h / (1 - lead) == pytest.approx(factor * h_one / (1 - lead_one), rel=1e-9)
    assert lead / (1 - lead) == pytest.approx(factor * lead_one / (1 - lead_one), rel=1e-9)


def test_drive_chambers_keep_their_law() -> None:
    models = replace(MACHINE.models, in_cylinder_factor=3.0)
    one, other = (
        pack_machine(Design(machine=replace(MACHINE, models=m)))["cylinder"]
        for m in (MACHINE.models, models)
    )
    assert one["drive"] == other["drive"] and other["factor"] == 3.0


def marched(factor: float, flow: float) -> Any:
    models = replace(MACHINE.models, jacket_factor=factor)
    parts = PassageParts(Design(machine=replace(MACHINE, models=models)))
    return parts.march(flow, 260.0, parts.walls(330.0, 285.0))


@pytest.mark.parametrize("flow", [2e-3, 2e-2])
def test_jacket_factor(flow: float) -> None:
    """The first cell's air is not warmed yet: its coefficient is the factor's, its tube none of it.

    Within 0.5 %: the air within the cell warms a little more with more heat.
    """
    one, more = marched(1.0, flow), marched(1.25, flow)
    cells = slice(0, STEPS.channel_cells)
    assert more["coefficient"][0] == pytest.approx(1.25 * one["coefficient"][0], rel=5e-3)
    assert np.all(more["coefficient"][cells] > 1.2 * one["coefficient"][cells])
    tube = slice(0, STEPS.tube_cells)
    assert more["outer"][tube] == pytest.approx(one["outer"][tube], rel=1e-3)


def test_jacket_factor_stands_for_flow_and_walls_alike() -> None:
    """Both records of a passage have it: the one that warms the air and the one that resists it."""
    models = replace(MACHINE.models, jacket_factor=0.8)
    record = pack_machine(Design(machine=replace(MACHINE, models=models)))
    for kind in ("passage", "resisting"):
        assert list(record[kind]["channel_factor"]) == [0.8, 0.8]


@cache
def running(factor: float) -> Solution:
    return solve(Design(machine=in_draught(factor)))


def in_draught(factor: float) -> Machine:
    first, second = MACHINE.stages
    machine = replace(MACHINE, stages=(replace(first, jacket=None), second))
    open_air = replace(machine.exhaust_2, to="atmosphere")
    ambient = replace(machine.ambient, film_factor=factor)
    return replace(machine, exhaust_2=open_air, ambient=ambient)


def film(factor: float, diameter: float, emissivity: float, surface: float) -> float:
    """Natural convection by ht (Churchill and Chu) times a factor, and radiation [W/(m2 K)]."""
    ambient, p = MACHINE.ambient.temperature, MACHINE.ambient.pressure
    middle = 0.5 * (ambient + surface)
    rho, mu, k, cp = (PropsSI(name, "T", middle, "P", p, "Air") for name in "DVLC")
    grashof = 9.80665 / middle * abs(ambient - surface) * diameter**3 * (rho / mu) ** 2
    free = ht.Nu_horizontal_cylinder_Churchill_Chu(mu * cp / k, grashof) * k / diameter
    radiant = emissivity * 5.670374419e-8 * (surface**2 + ambient**2) * (surface + ambient)
    return float(factor * free + radiant)


@pytest.mark.parametrize("factor", [0.7, 2.5])
def test_film_factor(factor: float) -> None:
    """Barrel, heads, drive cylinder, tube, shell: h = factor x free convection + radiation."""
    s = running(factor)
    start, m = s.found["start"], s.machine
    stage, barrel = m.stages[0], s.found["barrel"][0]
    outside, e = stage.bore + 2 * stage.wall_thickness, stage.material.emissivity
    ring = np.pi * outside * stage.barrel_length / STEPS.rings
    for k in (0, STEPS.rings // 2):
        want = film(factor, outside, e, float(start["outside"][0][k])) * ring
        assert barrel["air"][k] == pytest.approx(want, rel=2e-4)
    head = np.pi / 4 * outside**2 + np.pi * outside * stage.head_thickness
    want = film(factor, outside, e, float(start["head"][0])) * head
    assert barrel["head_ambient"] == pytest.approx(want, rel=2e-4)
    wide = m.drive.bore + 2 * m.drive.wall_thickness
    want = film(factor, wide, m.drive.material.emissivity, float(start["drive_wall"]))
    want *= np.pi * wide * m.drive.stroke + np.pi / 2 * wide**2
    assert s.found["drive_ambient"] == pytest.approx(want, rel=2e-4)
    node = s.numbering.node_stage.index(1)
    tube, jacket, own = m.exhaust_1.tube, m.stages[1].jacket, m.stages[1]
    assert tube is not None and jacket is not None
    inner = own.bore + 2 * (own.wall_thickness + jacket.gap)
    for cell, bore, wall, solid, length in (
        (0, tube.bore, tube.wall, tube.material, tube.length / STEPS.tube_cells),
        (STEPS.tube_cells, inner, jacket.shell_thickness, jacket.shell,
         jacket.length / STEPS.channel_cells),
    ):  # fmt: skip
        d = bore + 2 * wall
        h = film(factor, d, solid.emissivity, float(start["outer"][node][cell]))
        resistance = ht.R_cylinder(bore, d, solid.conductivity, length)
        resistance += 1.0 / (h * np.pi * d * length)
        found = s.found["outer_ambient"][node][cell]
        assert found == pytest.approx(1.0 / resistance, rel=2e-4)


def test_a_film_factor_lies_in_its_own_range() -> None:
    """Case files: 0.7 to 2.5 unless stated."""
    for typed, sound in (("0.7", True), ("2.5", True), ("0.69", False), ("3", False)):
        text = FULL.replace("film_factor = 1 ", f"film_factor = {typed} ")
        assert text != FULL
        assert [p.name for p in find_problems(text)] == ([] if sound else ["film-range"])
