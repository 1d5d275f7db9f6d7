"""One passage of the core on the bench: chosen sizes, chosen laws, one flow at a time."""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.optimize import brentq

from jacketcalc.core.gas import CoreGas
from jacketcalc.core.parts import PassageParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.tables import fill_law
from jacketcalc.correlations.laws import Law, Part
from jacketcalc.inputs import Machine

WIDE_SILENCER = 1e-2
"""Conductance of an end wider than the package's open outlet, for ducts larger than a
booster's [m3/(s Pa)]."""
NOTHING = 1e-30
"""Stands for a law that gives nothing: laws are tabled by their logarithm [-]."""
SWEEPS = 12
"""Sweeps of a march after the first ones: it then repeats to rounding."""


def passage(
    machine: Machine,
    gas: CoreGas | None = None,
    resolution: Resolution | None = None,
    **sizes: float,
) -> PassageParts:
    """Take the passage of exhaust node 1 of a machine, some of its sizes replaced."""
    parts = PassageParts(machine, resolution, gas=gas)
    for name, value in ({"silencer_sonic": WIDE_SILENCER} | sizes).items():
        for kind in ("passage", "resisting"):
            parts.record[kind][0][name] = value
    return parts


def size(parts: PassageParts, name: str) -> float:
    """Return a size of the passage [SI]."""
    return float(parts.record["passage"][0][name])


def put_law(parts: PassageParts, name: str, law: Law) -> None:
    """Give the passage a law: `friction`, `nusselt`, `tube_friction` or `tube_nusselt`."""
    for kind in ("passage", "resisting"):
        fill_law(parts.record[kind][0][name], law)
        # Gas heated by a warmer wall: only the law given counts.
        parts.record[kind][0]["heating_exponent"] = 0.0


def constant(value: float) -> Law:
    """A law that is one number."""
    return Law(slow=Part(base=lambda Re, Pr: np.full_like(Re, value or NOTHING), by_prandtl=False))


def plain_tube(parts: PassageParts, f: float, nusselt: float = 0.0) -> PassageParts:
    """Give the tube a constant friction factor and Nusselt number."""
    put_law(parts, "tube_friction", constant(f))
    put_law(parts, "tube_nusselt", constant(nusselt))
    return parts


def follow(
    parts: PassageParts,
    flow: float,
    T0: float = 300.0,
    wall: Any = 300.0,
    ambient: float = 1e5,
    barrel: Any = None,
    sweeps: int = SWEEPS,
) -> Any:
    """March one flow; walls uniform unless arrays; no barrel where it is None."""
    parts.record["ambient_pressure"] = ambient
    around = parts.walls(300.0 if barrel is None else barrel, wall, 0.0 if barrel is None else 1.0)
    return parts.march(flow, T0, around, sweeps=sweeps)


def ended_at(p: float, parts: PassageParts, flow: float, **at: Any) -> Any:
    """March at the ambient pressure that leaves the tube's end at static pressure `p`."""
    end = parts.resolution.tube_cells

    def excess(ambient: float) -> float:
        return float(follow(parts, flow, ambient=ambient, **at)["p"][end]) / p - 1.0

    ambient = brentq(excess, 0.95 * p, 1.8 * p, xtol=1e-5 * p)
    return follow(parts, flow, ambient=ambient, **at)


def heat(parts: PassageParts, found: Any, barrel: float, outer: float) -> Any:
    """Heat into the air of each cell [W]."""
    tube, channel = parts.resolution.tube_cells, parts.resolution.channel_cells
    seen = found["seen"][: tube + channel]
    each = found["outer"][: tube + channel] * (outer - seen)
    each[tube:] += found["barrel"][:channel] * (barrel - seen[tube:])
    return np.asarray(each)
