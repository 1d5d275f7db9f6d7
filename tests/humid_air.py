"""A supply with water in it, and its dew and frost points by CoolProp."""

from __future__ import annotations

from CoolProp.CoolProp import HAPropsSI

from jacketcalc.findings.water import Vapour

SUPPLY, DEW_POINT = 8.013e5, 276.15
VAPOUR = Vapour(dew_point=DEW_POINT, pressure=SUPPLY)


def humidity(dew_point: float = DEW_POINT) -> float:
    """Water over dry air of a supply at 8.013 bar [-]."""
    return float(HAPropsSI("W", "T", 300.0, "P", SUPPLY, "D", dew_point))


def library_point(p: float, water: float) -> float:
    """Dew or frost point that CoolProp gives [K]."""
    return float(HAPropsSI("D", "T", 400.0, "P", p, "W", water))
