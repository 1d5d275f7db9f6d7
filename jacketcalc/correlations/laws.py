"""The laws of a passage as the core takes them: smooth bases, and how they are joined.

Bases come from `ht` and `fluids`, by named function, where those have them. Where two bases meet
in a kink or a blend each stands alone here, since tabling across a kink would cost a per cent or
more. A law of a user's own is any Python callable.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import fluids
import ht
import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.correlations import friction, heat, passage
from jacketcalc.designs import OwnLaws
from jacketcalc.errors import RangeError

Base = Callable[[Array, float], Array]
"""Values at Reynolds numbers and a Prandtl number, all [-]."""
Join = Literal["none", "larger", "linear", "smooth", "smooth log"]
HIGHEST_RE = 1e7
"""Reynolds number up to which laws are tabled [-]."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """A smooth base and the Reynolds numbers between which it is taken; held beyond."""

    base: Base
    lowest: float = passage.LOWEST_RE
    """Lowest Reynolds number [-]."""
    highest: float = HIGHEST_RE
    """Highest Reynolds number [-]."""
    by_prandtl: bool = True
    """Whether it depends on the Prandtl number."""
    steep: bool = False
    """Whether it bends so much within a decade that its table is finer."""


@dataclass(frozen=True, kw_only=True)
class Law:
    """A law as joined from one or two bases."""

    slow: Part
    fast: Part | None = None
    join: Join = "none"
    start: float = 0.0
    """Reynolds number at which the joint begins [-]."""
    end: float = 1.0
    """Reynolds number at which it ends [-]."""
    least: float = 0.0
    """Floor of the result [-]."""


@dataclass(frozen=True, kw_only=True)
class Channel:
    """What a channel's laws depend on."""

    hydraulic_diameter: float
    """Hydraulic diameter [m]."""
    curvature_diameter: float
    """Diameter of curvature [m]."""
    aspect: float
    """Gap / clear width [-]."""
    radius_ratio: float
    """Cylinder outside / shell inside diameter [-]."""
    roughness: float
    """Sand-grain roughness / hydraulic diameter [-]."""
    entrance: float = 1.0
    """Factor of the entrance on turbulent heat transfer [-]."""

    @property
    def curvature(self) -> float:
        """Hydraulic diameter over diameter of curvature [-]."""
        return self.hydraulic_diameter / self.curvature_diameter


def each(function: Callable[..., float], *arguments: float) -> Base:
    """Make a base of a function f(Re, Pr, *arguments) of plain numbers."""

    def base(Re: Array, Pr: float) -> Array:
        return np.array([function(float(one), Pr, *arguments) for one in Re])

    return base


def without_prandtl(function: Callable[..., float], *arguments: float) -> Base:
    """Make a base of a function f(Re, *arguments) of plain numbers."""
    return each(lambda Re, Pr, *rest: function(Re, *rest), *arguments)


def channel_friction(c: Channel, own: OwnLaws | None = None) -> Law:
    """Return the friction law of a helical channel."""
    if own is not None and own.friction is not None:
        base = without_prandtl(_checked(own, own.friction))
        return Law(slow=Part(base=base, by_prandtl=False))
    constant = float(friction.rectangle_constant(c.aspect)) / 64.0
    size, bend, rough = c.hydraulic_diameter, c.curvature_diameter, c.roughness

    def laminar(Re: float) -> float:
        # White's law is that of a round coil, 64/Re times its factor.
        return constant * float(fluids.friction.helical_laminar_fd_White(Re, size, bend))

    def turbulent(Re: Array, Pr: float) -> Array:
        smooth = friction.coil_turbulent(Re, c.curvature)
        if not rough:
            return smooth
        haaland = fluids.friction.Haaland
        ratio: Array = np.array([haaland(one, rough) / haaland(one, 0.0) for one in Re])
        return smooth * ratio

    critical = float(passage.critical_reynolds(c.curvature))
    return Law(
        slow=Part(base=without_prandtl(laminar), by_prandtl=False),
        fast=Part(base=turbulent, lowest=friction.LOWEST_TURBULENT, by_prandtl=False),
        join="smooth log",
        start=critical,
        end=critical * friction.TRANSITION_SPAN,
    )


def channel_nusselt(closure: str, c: Channel, own: OwnLaws | None = None) -> Law:
    """Return the heat-transfer law of a helical channel, one wall heated or averaged."""
    least = float(heat.one_wall_laminar(c.aspect))
    if own is not None and own.nusselt is not None:
        return Law(slow=Part(base=each(_checked(own, own.nusselt))), least=least)
    size, bend, d = c.hydraulic_diameter, c.curvature_diameter, c.curvature
    if closure == "low":
        factor = heat.CONVEX_FACTOR_LOW * float(heat.inner_wall_factor(c.radius_ratio))
        return Law(slow=annulus(c, factor, own), least=least)
    if closure == "nominal":
        factors = float(heat.inner_wall_factor(c.radius_ratio))
        factors += float(heat.inner_wall_factor_1964(c.radius_ratio))
        root = float(np.sqrt(d))
        return Law(
            slow=Part(
                base=lambda Re, Pr: heat.curved_laminar(Re * root, c.aspect), by_prandtl=False
            ),
            fast=annulus(c, 0.5 * heat.CONVEX_FACTOR * factors, own),
            join="larger",
            least=least,
        )
    if closure == "high":
        return _coil_average(d, least)
    if closure == "schmidt":
        # The published pair has a step at 22 000, where one range hands over to the other.
        edge, span = heat.COIL_TURBULENT, float(np.exp(heat.SCHMIDT_BLEND))
        base = each(ht.helical_turbulent_Nu_Schmidt, size, bend)
        return Law(
            slow=Part(base=base, highest=edge * (1.0 - 1e-9)),
            fast=Part(base=base, lowest=edge * (1.0 + 1e-9)),
            join="smooth log",
            start=edge / span,
            end=edge * span,
            least=least,
        )
    formula = {
        "mori-nakayama": ht.helical_turbulent_Nu_Mori_Nakayama,
        "xin-ebadian": ht.helical_turbulent_Nu_Xin_Ebadian,
    }[closure]
    return Law(slow=Part(base=each(formula, size, bend)), least=least)


def _coil_average(d: float, least: float) -> Law:
    """Average round the wall of a coil in the form of the VDI Heat Atlas, linear in between."""
    critical = float(passage.critical_reynolds(d))
    top = max(heat.COIL_TURBULENT, critical + 1.0)
    return Law(
        slow=Part(base=lambda Re, Pr: heat.coil_average(Re, Pr, d), highest=critical),
        fast=Part(base=lambda Re, Pr: heat.coil_average(Re, Pr, d), lowest=top),
        join="linear",
        start=critical,
        end=top,
        least=least,
    )


def annulus(c: Channel, factor: float, own: OwnLaws | None = None) -> Part:
    """Return Gnielinski's turbulent law with the annulus' friction, times a factor [-]."""
    whole = factor * c.entrance
    if own is not None and own.turbulent is not None:
        base = each(_checked(own, own.turbulent), c.radius_ratio)
        return Part(base=lambda Re, Pr: whole * base(Re, Pr), lowest=friction.LOWEST_TURBULENT)

    def nusselt(Re: float, Pr: float) -> float:
        f = float(heat.annulus_friction(Re, c.radius_ratio))
        return whole * float(ht.turbulent_Gnielinski(Re, Pr, f))

    # It falls steeply towards a Reynolds number of 1000.
    return Part(base=each(nusselt), lowest=heat.LOWEST_ANNULUS, steep=True)


def tube_friction(roughness: float) -> Law:
    """Return the friction law of a round tube of a relative roughness [-]."""
    return Law(
        slow=Part(base=lambda Re, Pr: 64.0 / Re, by_prandtl=False),
        fast=Part(
            base=without_prandtl(fluids.friction.Haaland, roughness),
            lowest=friction.LOWEST_TURBULENT,
            by_prandtl=False,
        ),
        join="smooth",
        start=passage.TUBE_LAMINAR,
        end=passage.TUBE_TURBULENT,
    )


def tube_nusselt(entrance: float = 1.0) -> Law:
    """Return the heat-transfer law of a smooth round tube, with its entrance's factor [-]."""

    def turbulent(Re: float, Pr: float) -> float:
        f = fluids.friction.Haaland(Re, 0.0)
        return entrance * float(ht.turbulent_Gnielinski(Re, Pr, f))

    laminar = float(ht.laminar_T_const())
    return Law(
        slow=Part(base=lambda Re, Pr: np.full_like(Re, laminar), by_prandtl=False),
        fast=Part(base=each(turbulent), lowest=passage.TUBE_LAMINAR),
        join="smooth",
        start=passage.TUBE_LAMINAR,
        end=passage.TUBE_TURBULENT,
    )


def _checked(own: OwnLaws, function: Callable[..., float]) -> Callable[..., float]:
    """Refuse what a user's law gives where it cannot be meant."""

    def checked(*arguments: float) -> float:
        value = float(function(*arguments))
        if not 0.0 < value < np.inf:
            given = ", ".join(f"{argument:.4g}" for argument in arguments)
            raise RangeError(f"the law {own.name!r} gives {value:g} at ({given})")
        return value

    return checked
