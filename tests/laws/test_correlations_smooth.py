"""No law of a passage steps: smooth over flow, shape and roughness, finite at the extremes."""

from __future__ import annotations

from typing import get_args

import numpy as np
import pytest
from gas_dynamics.annulus_2009 import OF_2009
from one_jacket import in_channel

from jacketcalc.correlations import laws
from jacketcalc.inputs import Closure

CLOSURES = get_args(Closure)
REYNOLDS = np.geomspace(50.0, 2e5, 30001)


@pytest.mark.parametrize("closure", CLOSURES)
@pytest.mark.parametrize("d", [0.02, 0.0712, 0.14])
@pytest.mark.parametrize("aspect", [0.1, 0.4, 1.0, 2.5])
def test_nusselt_never_steps(closure: str, d: float, aspect: float) -> None:
    """No law of forced convection rises faster than Re to the power 1.1 here, nor falls.

    Gnielinski's form of 1976 goes with Re - 1000: below some 2300 it rises with that, and no more.
    """
    c, rise = in_channel(d, aspect, 0.9), np.diff(np.log(REYNOLDS))
    for own in (None, OF_2009):
        nu = laws.channel_nusselt(closure, c, own).value(REYNOLDS, 0.71)
        slope = np.diff(np.log(nu)) / rise
        assert slope.min() >= -1e-9
        offset = REYNOLDS[:-1] - 1000.0
        steep = own is None and closure in ("low", "nominal")
        most = np.where((offset > 0.0) & steep, 1.1 * REYNOLDS[:-1] / np.maximum(offset, 1.0), 1.1)
        assert np.all(slope < most)


@pytest.mark.parametrize("d", [1e-4, 0.02, 0.0712, 0.14, 0.2])
@pytest.mark.parametrize("aspect", [0.1, 0.4, 1.0, 2.5])
@pytest.mark.parametrize("roughness", [0.0, 0.01])
def test_friction_never_steps(d: float, aspect: float, roughness: float) -> None:
    """Pressure drop rises with flow, from the first power to less than the fourth."""
    law = laws.channel_friction(in_channel(d, aspect, roughness=roughness))
    f = law.value(REYNOLDS)
    slope = np.diff(np.log(f * REYNOLDS**2)) / np.diff(np.log(REYNOLDS))
    assert slope.min() > 0.99
    assert slope.max() < 4.0


@pytest.mark.parametrize("roughness", [0.0, 0.01])
def test_tube_never_steps(roughness: float) -> None:
    spread = np.diff(np.log(REYNOLDS))
    f = laws.tube_friction(roughness).value(REYNOLDS)
    nu = laws.tube_nusselt().value(REYNOLDS, 0.71)
    for curve in (f * REYNOLDS**2, nu):
        slope = np.diff(np.log(curve)) / spread
        assert slope.min() >= -1e-9
        assert slope.max() < 5.0


@pytest.mark.parametrize("closure", CLOSURES)
def test_aspect_one_is_no_step(closure: str) -> None:
    below, above = (
        laws.channel_nusselt(closure, in_channel(0.07, aspect, 0.9))
        for aspect in (1.0 - 1e-6, 1.0 + 1e-6)
    )
    for Re in (200.0, 2000.0, 2e4):
        assert below.value(Re, 0.71) == pytest.approx(above.value(Re, 0.71), rel=1e-5)


@pytest.mark.parametrize("closure", CLOSURES)
def test_extremes_give_numbers(closure: str) -> None:
    """Standing air, absent jackets and very tight or very slack coils."""
    Re = np.array([0.0, 1e-3, 1.0, 1e7])
    for d in (1e-9, 1e-3, 0.3):
        for aspect in (1e-3, 1.0, 1e3):
            c = in_channel(d, aspect, 0.999999, 1e-3)
            nu = laws.channel_nusselt(closure, c).value(Re, 0.71)
            f = laws.channel_friction(c).value(Re)
            assert nu.shape == f.shape == Re.shape
            assert np.all(np.isfinite(nu)) and np.all(nu > 0.0)
            assert np.all(np.isfinite(f)) and np.all(f > 0.0)
