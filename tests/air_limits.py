"""How far the table of air may depart from CoolProp, relative [-]."""

from __future__ import annotations

LIMITS = {
    "density": 1e-6,
    "enthalpy": 2e-7,
    "cp": 3e-5,
    "cv": 4e-4,
    "sound_speed": 2.5e-4,
    "viscosity": 2e-6,
    "conductivity": 1.5e-3,
}
"""Largest departure of the table from CoolProp, relative; of enthalpy, relative to cp T [-].
The same numbers stand in the head of `jacketcalc/gas/table.py`."""
