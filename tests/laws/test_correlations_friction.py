"""Friction in the helical channel and the tube against libraries, handbooks and Ito's law."""

from __future__ import annotations

import fluids
import numpy as np
import pytest
from one_jacket import CURVE, GAP, JACKET, WIDTH, in_channel
from printed import near

from jacketcalc.correlations import friction as fr
from jacketcalc.correlations import laws


def friction_factor(Re: float, roughness: float = 0.0) -> float:
    return float(laws.channel_friction(in_channel(roughness=roughness)).value(Re))


@pytest.mark.parametrize("roughness", [0.0, 1e-4, 5e-3])
@pytest.mark.parametrize("Re", [5e3, 1e5, 2e6])
def test_tube_friction_keeps_its_scatter(Re: float, roughness: float) -> None:
    """Against Clamond's solution of Colebrook in fluids: 2 %."""
    ours = float(laws.tube_friction(roughness).value(Re))
    assert ours == fr.haaland(Re, roughness)
    assert -0.02 < ours / fluids.Clamond(Re, roughness) - 1 < 0.02


@pytest.mark.parametrize("Re", [3e4, 3e5])
def test_roughness_of_a_coil_is_that_of_a_tube(Re: float) -> None:
    """Against Clamond's solution of Colebrook: the scatter of Haaland's form, 2 %, twice."""
    for e in (1e-3, 1e-2):
        ratio = friction_factor(Re, e) / friction_factor(Re)
        clamond = fluids.Clamond(Re, e) / fluids.Clamond(Re, 0.0)
        assert ratio == pytest.approx(clamond, rel=0.04)


def test_critical_reynolds() -> None:
    """Docstring number of fluids 1.3.1, and the jacket above."""
    assert fr.critical_reynolds(1.0 / 7.0) == near("10540.0940617708")
    assert fr.critical_reynolds(CURVE) == near("8323.4")


# Friction of the same jacket, Darcy (computed for this project with fluids 1.3.1).
def test_friction_of_one_jacket() -> None:
    straight = fr.rectangle_constant(GAP / WIDTH) / 1000.0
    assert straight == near("0.0684")
    assert fr.coil_laminar(1000.0, CURVE) == near("0.1383")
    assert fr.coil_turbulent(1e4, CURVE) == near("0.0396")
    assert fr.coil_turbulent(5e4, CURVE) == near("0.0292")
    laminar = friction_factor(1000.0)
    assert laminar == pytest.approx(float(straight) * 0.1383 / 0.064, rel=2e-3)


def test_turbulent_friction_is_ito() -> None:
    """Ito 1959, Darcy, from memory: 0.03688 at Re 1e4, d 0.05; the VDI form lies 3 to 5 % above."""

    def ito(Re: float, d: float) -> float:
        return 0.304 * Re**-0.25 + 0.029 * d**0.5

    assert ito(1e4, 0.05) == near("0.03688")
    for Re, d in ((1e4, 0.05), (5e4, 0.02), (2e5, 0.1)):
        assert 1.03 < fr.coil_turbulent(Re, d) / ito(Re, d) < 1.05


def test_transition_stays_within_stated_scatter() -> None:
    """Between transition and twice that, the blend lies within 15 % of Ito's law."""
    Re = np.linspace(8400.0, 3e4, 200)
    ours = laws.channel_friction(JACKET).value(Re)
    assert np.abs(ours / fr.coil_turbulent(Re, CURVE) - 1.0).max() < 0.15


def test_rough_channel_costs_more() -> None:
    smooth, rough = friction_factor(4e4), friction_factor(4e4, 5e-3)
    expected = fluids.Haaland(4e4, 5e-3) / fluids.Haaland(4e4, 0.0)
    assert rough / smooth == pytest.approx(expected, rel=1e-12)
