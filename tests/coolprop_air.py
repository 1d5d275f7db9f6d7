"""Real air by CoolProp itself, for tests of what the package makes of it."""

from __future__ import annotations

from CoolProp.CoolProp import PropsSI


def entropy(T: float, p: float) -> float:
    return float(PropsSI("S", "T", T, "P", p, "Air"))
