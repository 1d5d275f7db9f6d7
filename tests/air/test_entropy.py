"""Entropy integrated from the table, against CoolProp's own: the table holds no samples of it."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp import CoolProp

from jacketcalc.gas.entropy import specific_entropy
from jacketcalc.gas.table import air

ZERO = (293.15, 101325.0)


def test_entropy_differences_are_those_of_coolprop() -> None:
    """Lemmon et al. (2000) as CoolProp evaluates it; the states span 4.3 kJ/(kg K)."""
    T, p = np.meshgrid([180.0, 250.0, 293.15, 400.0, 600.0, 900.0], np.geomspace(0.3e5, 600e5, 9))
    zero = CoolProp.PropsSI("S", "T", ZERO[0], "P", ZERO[1], "Air")
    true = CoolProp.PropsSI("S", "T", T.ravel(), "P", p.ravel(), "Air").reshape(T.shape) - zero
    assert specific_entropy(air(), T, p, ZERO) == pytest.approx(true, abs=2e-3)


def test_the_reference_has_none_and_shapes_are_kept() -> None:
    s = specific_entropy(air(), np.array([ZERO[0]]), np.array([ZERO[1]]), ZERO)
    assert s.shape == (1,) and abs(s[0]) < 1e-9
