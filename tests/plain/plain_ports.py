"""Air in the ports of the heads and in a line between stages; and a case without them.

What passes a bore whose wall has one temperature T comes out exp(-NTU) of its difference from it
nearer: NTU = Nu k pi L / (F cp), quasi-steady. The air of a line is mixed, its wall steady.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from . import plain_laws as laws


def conductance(state: Any, flow: float, diameter: float, length: float) -> float:
    """Product of coefficient and surface at a flow and the state of the air [W/K].

    The entrance counts for laminar flow too.
    """
    mu, k, cp = state.viscosity(), state.conductivity(), state.cpmass()
    Re = max(4.0 * flow / (math.pi * diameter * mu), 1.0)
    long = laws.tube_nusselt(Re, mu * cp / k, 1e12)
    return laws.near_entry(length / diameter) * long * k * math.pi * length


def port_gain(state: Any, flow: float, check: Any) -> float:
    """Heat a flow takes up in a valve's port for a kelvin that the head is warmer [W/K]."""
    if flow <= 0.0 or check.port_length <= 0.0:
        return 0.0
    capacity = flow * state.cpmass()
    units = conductance(state, flow, check.port_bore, check.port_length) / capacity
    return float(-capacity * math.expm1(-units))


def without_ports(machine: Any) -> Any:
    """Return a machine whose ports and lines exchange no heat with their walls."""

    def plain(stage: Any) -> Any:
        checks = {
            name: replace(getattr(stage, name), port_bore=0.0, port_length=0.0)
            for name in ("inlet", "delivery")
        }
        line = stage.line and replace(stage.line, bore=0.0, length=0.0)
        return replace(stage, line=line, **checks)

    return replace(machine, stages=tuple(map(plain, machine.stages)))


def stated(given: Any) -> Any:
    """Drop from plain data of a machine what plays no part, or is as it was before it came."""
    former = {
        "film_factor": 1.0, "film_factor_low": 0.7, "film_factor_high": 2.5,
        "in_cylinder_factor": 1.0, "jacket_factor": 1.0, "port_bore": 0.0, "port_length": 0.0,
        "gas": {"name": "air"}, "source": None, "receiver": None, "coolant": None, "outside": None,
        "intake": None, "when_short": "rests", "cylinders": 1,
    }  # fmt: skip
    if isinstance(given, list | tuple):
        return [stated(part) for part in given]
    if not isinstance(given, dict):
        return given
    stores = ("density", "specific_heat")  # of no part in a steady machine
    changed = {
        key: part
        for key, part in given.items()
        if former.get(key, ...) != part and key not in stores
    }
    kept = {key: stated(part) for key, part in changed.items()}
    if "heat_loss" in kept and kept["length"] == 0.0:
        del kept["bore"], kept["length"]
    return kept
