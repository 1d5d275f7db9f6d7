"""Sudden losses and choking at the joint and the outlet of a passage, against closed forms."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from ideal_gas import IdealGas
from passage_bench import constant, follow, passage, plain_tube, put_law, size
from printed import near
from sample import MACHINE, TUBE, bare
from scipy.optimize import brentq

from jacketcalc.core.parts import PassageParts
from jacketcalc.flow import closed_forms as forms
from jacketcalc.inputs import Exhaust

R = 287.0
RHO = 1e5 / (R * 300.0)
"""Density in the surroundings [kg/m3]."""
GAS = IdealGas(prandtl=1.0)


def head(parts: PassageParts, flow: float, area: str) -> float:
    """Dynamic pressure of slow air in one of the sections [Pa]."""
    return 0.5 * (flow / size(parts, area)) ** 2 / RHO


def frictionless(**sizes: float) -> PassageParts:
    """The sample's passage without friction, heat, leak or losses but those given."""
    none = {"tube_loss": 0.0, "inlet_loss": 0.0, "outlet_loss": 0.0, "leak_area": 0.0}
    parts = plain_tube(passage(MACHINE, GAS, **(none | sizes)), 0.0)
    put_law(parts, "friction", constant(0.0))
    return parts


def port_excess(parts: PassageParts, flow: float) -> float:
    """Port pressure over ambient pressure [Pa]."""
    return float(follow(parts, flow)["port_pressure"]) - 1e5


def test_outlet_chokes() -> None:
    """Beyond choking the outlet is sonic and the port no longer feels the surroundings."""
    parts = passage(MACHINE, outlet_area=np.pi / 4 * 6e-3**2)
    slow, fast = (
        [follow(parts, flow, 250.0, 290.0, ambient=ambient) for ambient in (1e5, 0.9e5)]
        for flow in (8e-3, 30e-3)
    )
    assert slow[0]["mach_peak"] < 1.0
    assert fast[0]["mach_peak"] == pytest.approx(1.0, abs=1e-9)
    assert not slow[0]["chokes_inside"] and not fast[0]["chokes_inside"]
    assert slow[1]["port_pressure"] < 0.99 * slow[0]["port_pressure"]
    assert fast[1]["port_pressure"] == pytest.approx(fast[0]["port_pressure"], rel=1e-6)


def test_choked_outlet_is_an_ideal_nozzle() -> None:
    """Choked flow x sqrt(R T0) / (p0 A) for gamma 1.4: 0.6847 (gas tables, from memory)."""
    area = np.pi / 4 * 6e-3**2
    parts = passage(
        MACHINE, IdealGas(), outlet_area=area, outlet_loss=0.0, tube_length=0.0, length=0.0,
        tube_loss=0.0, tube_area=1.0, area=1.0, inlet_loss=0.0,
    )  # fmt: skip
    flux = 0.02 * np.sqrt(300.0) / (follow(parts, 0.02)["port_pressure"] * area)
    assert flux == pytest.approx(float(forms.choked_flux(1.4, R)), rel=1e-6)
    assert flux * np.sqrt(R) == near("0.6847")


def test_sudden_losses() -> None:
    """Each loss coefficient costs K rho V^2/2 of its own section, at speeds of a few m/s."""
    flow, base = 1e-3, frictionless()
    free = port_excess(base, flow)
    tube, channel, outlet = (
        head(base, flow, name) for name in ("tube_area", "area", "outlet_area")
    )
    widening = (1.0 - size(base, "tube_area") / size(base, "area")) ** 2
    opening = (1.0 - size(base, "area") / size(base, "outlet_area")) ** 2
    assert free == pytest.approx(outlet + opening * channel + widening * tube, rel=2e-3)
    assert tube > channel > outlet
    for name, area in (("tube_loss", "tube_area"), ("inlet_loss", "area"),
                       ("outlet_loss", "outlet_area")):  # fmt: skip
        lost = port_excess(frictionless(**{name: 2.0}), flow) - free
        assert lost == pytest.approx(2.0 * head(base, flow, area), rel=2e-3), name


def test_tube_into_open_air_loses_its_velocity_head() -> None:
    """A plain tube's end has an exit loss of 1: port - ambient = (f L/D + 1) rho V^2/2.

    Exit loss: common in handbooks (Crane TP 410, Idelchik diagram 11-1; from memory).
    """
    machine = replace(
        bare(), exhaust_1=Exhaust(to="atmosphere", tube=replace(TUBE, fitting_loss=0.0))
    )
    parts = plain_tube(passage(machine, GAS, tube_length=0.3), 0.02)
    found = follow(parts, 5e-4)
    want = (0.02 * 0.3 / TUBE.bore + 1.0) * head(parts, 5e-4, "tube_area")
    assert found["port_pressure"] - 1e5 == pytest.approx(want, rel=1e-2)
    assert found["p"][parts.resolution.tube_cells] == pytest.approx(1e5, rel=1e-5)


def test_tube_into_wider_channel_loses_by_borda_carnot() -> None:
    """A sudden widening costs (1 - A1/A2)^2 of the tube's velocity head (Borda-Carnot).

    Exact for a momentum balance; nothing but the entry loss is added to it.
    """
    parts = frictionless(tube_bore=6e-3, tube_area=np.pi / 4 * 36e-6)
    flow = 5e-4
    lost = port_excess(parts, flow) - head(parts, flow, "outlet_area")
    share = 1.0 - size(parts, "tube_area") / size(parts, "area")
    assert lost == pytest.approx(share**2 * head(parts, flow, "tube_area"), rel=2e-2)


def test_tip_leak() -> None:
    """The drop of one turn drives a slot: (1.5 + 96/Re rib/2c) rho v2/2, solved apart.

    96/Re is the exact laminar friction between plates; 1.5 is common practice, no source.
    """
    f, flow = 0.05, 8e-3
    parts = passage(MACHINE, IdealGas(), tube_length=0.0)
    put_law(parts, "friction", constant(f))
    stage = MACHINE.stages[1]
    jacket = stage.jacket
    assert jacket is not None
    found = follow(parts, flow)
    gap, viscosity = jacket.tip_clearance, 1.8e-5
    around = np.pi * (stage.bore + 2 * stage.wall_thickness + jacket.gap)
    turn = np.hypot(around, jacket.pitch * jacket.starts) / jacket.starts
    cells = parts.resolution.tube_cells + np.arange(parts.resolution.channel_cells) + 1
    rho = 0.5 * sum(found["p"][cells + k] / (R * found["T"][cells + k]) for k in (0, 1))

    def spare(share: float, rho: float) -> float:
        V = (1 - share) * flow / (rho * size(parts, "area"))
        v = share * flow / (rho * around * gap)
        slot = 1.5 + 96.0 / (rho * v * 2 * gap / viscosity) * jacket.rib / (2 * gap)
        return float(f * turn / size(parts, "hydraulic_diameter") * V**2 - slot * v**2)

    for cell, here in enumerate(rho):
        want = brentq(spare, 1e-6, 0.5, (here,), xtol=1e-14)
        assert want > 0.005
        assert found["leak"][cell] == pytest.approx(want, rel=1e-6)
