"""The laws of a passage: formulas of one regime, and how they are joined.

The core tables each base and joins the tables (laws.c); `Law.value` joins the bases themselves,
and a test holds the core to it. Where two bases meet in a kink or a blend each stands alone, since
tabling across a kink would cost a per cent or more. A law of a user's own is any Python callable.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from jacketcalc.arrays import Array, Number
from jacketcalc.correlations import blends, friction, heat
from jacketcalc.designs import OwnLaws
from jacketcalc.errors import RangeError
from jacketcalc.inputs import Closure

Base = Callable[[Array, Number], Array]
"""Values at Reynolds numbers and one Prandtl number, or one each, all [-]."""
Join = Literal["none", "larger", "linear", "smooth", "smooth log"]
HIGHEST_RE = 1e7
"""Reynolds number up to which laws are tabled [-]."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """A smooth base and the Reynolds numbers between which it is taken; held beyond."""

    base: Base
    lowest: float = blends.LOWEST_RE
    """Lowest Reynolds number [-]."""
    highest: float = HIGHEST_RE
    """Highest Reynolds number [-]."""
    by_prandtl: bool = True
    """Whether it depends on the Prandtl number."""
    steep: bool = False
    """Whether it bends so much within a decade that its table is finer."""

    def value(self, Re: Array, Pr: Number) -> Array:
        """Return the base, held beyond its own ends [-]."""
        return self.base(np.clip(Re, self.lowest, self.highest), Pr)


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

    def value(self, Re: Number, Pr: Number = 0.7) -> Array:
        """Return the law's value.

        Parameters
        ----------
        Re : Reynolds number [-]
        Pr : Prandtl number, of no effect on friction [-]
        """
        flow = np.maximum(np.asarray(Re, dtype=float), blends.LOWEST_RE)
        slow = self.slow.value(flow, Pr)
        if self.fast is None:
            return np.maximum(slow, self.least)
        fast = self.fast.value(flow, Pr)
        if self.join == "larger":
            return np.maximum(np.maximum(slow, fast), self.least)
        return np.maximum(slow + self._share(flow) * (fast - slow), self.least)

    def _share(self, Re: Array) -> Array:
        """Return how much of the fast base there is [-]."""
        if self.join == "smooth log":
            return blends.smooth_step(np.log(Re / self.start) / np.log(self.end / self.start))
        place = (Re - self.start) / (self.end - self.start)
        return np.clip(place, 0.0, 1.0) if self.join == "linear" else blends.smooth_step(place)


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

    def base(Re: Array, Pr: Number) -> Array:
        pairs = np.broadcast(Re, Pr)
        values = [function(float(flow), float(at), *arguments) for flow, at in pairs]
        return np.array(values).reshape(pairs.shape)

    return base


def without_prandtl(function: Callable[..., float], *arguments: float) -> Base:
    """Make a base of a function f(Re, *arguments) of plain numbers."""
    return each(lambda Re, Pr, *rest: function(Re, *rest), *arguments)


def channel_friction(c: Channel, own: OwnLaws | None = None) -> Law:
    """Return the friction law of a helical channel."""
    if own is not None and own.friction is not None:
        base = without_prandtl(_checked(own, own.friction))
        return Law(slow=Part(base=base, by_prandtl=False))
    # White's law is that of a round coil.
    shape = float(friction.rectangle_constant(c.aspect)) / friction.ROUND_CONSTANT
    d, rough = c.curvature, c.roughness

    def laminar(Re: float) -> float:
        return shape * friction.coil_laminar(Re, d)

    def turbulent(Re: float) -> float:
        smooth = float(friction.coil_turbulent(Re, d))
        return smooth * friction.haaland(Re, rough) / friction.haaland(Re, 0.0) if rough else smooth

    critical = friction.critical_reynolds(d)
    return Law(
        slow=Part(base=without_prandtl(laminar), by_prandtl=False),
        fast=Part(
            base=without_prandtl(turbulent), lowest=friction.LOWEST_TURBULENT, by_prandtl=False
        ),
        join="smooth log",
        start=critical,
        end=critical * friction.TRANSITION_SPAN,
    )


def channel_nusselt(closure: str, c: Channel, own: OwnLaws | None = None) -> Law:
    """Return the heat-transfer law of a helical channel, one wall heated or averaged.

    Raises
    ------
    RangeError
        When no closure has that name.
    """
    least = float(heat.one_wall_laminar(c.aspect))
    if own is not None and own.nusselt is not None:
        return Law(slow=Part(base=each(_checked(own, own.nusselt))), least=least)
    d = c.curvature
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
        base = each(heat.coil_schmidt, d)
        return Law(
            slow=Part(base=base, highest=edge * (1.0 - 1e-9)),
            fast=Part(base=base, lowest=edge * (1.0 + 1e-9)),
            join="smooth log",
            start=edge / span,
            end=edge * span,
            least=least,
        )
    plain = {"mori-nakayama": heat.coil_mori_nakayama, "xin-ebadian": heat.coil_xin_ebadian}
    if closure not in plain:
        known = ", ".join(get_args(Closure))
        raise RangeError(f"no jacket closure is called {closure!r}; choose from {known}")
    return Law(slow=Part(base=each(plain[closure], d)), least=least)


def _coil_average(d: float, least: float) -> Law:
    """Average round the wall of a coil in the form of the VDI Heat Atlas, linear in between."""
    critical = friction.critical_reynolds(d)
    top = max(heat.COIL_TURBULENT, critical + 1.0)
    return Law(
        slow=Part(base=lambda Re, Pr: heat.coil_average_laminar(Re, Pr, d), highest=critical),
        fast=Part(base=lambda Re, Pr: heat.coil_average_turbulent(Re, Pr, d), lowest=top),
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
        return whole * heat.annulus_turbulent(Re, Pr, c.radius_ratio)

    # It falls steeply towards a Reynolds number of 1000.
    return Part(base=each(nusselt), lowest=heat.LOWEST_ANNULUS, steep=True)


def tube_friction(roughness: float) -> Law:
    """Return the friction law of a round tube of a relative roughness [-]."""
    return Law(
        slow=Part(base=lambda Re, Pr: friction.ROUND_CONSTANT / Re, by_prandtl=False),
        fast=Part(
            base=without_prandtl(friction.haaland, roughness),
            lowest=friction.LOWEST_TURBULENT,
            by_prandtl=False,
        ),
        join="smooth",
        start=blends.TUBE_LAMINAR,
        end=blends.TUBE_TURBULENT,
    )


def tube_nusselt(entrance: float = 1.0) -> Law:
    """Return the heat-transfer law of a smooth round tube, with its entrance's factor [-]."""

    def turbulent(Re: float, Pr: float) -> float:
        return entrance * heat.gnielinski(Re, Pr, friction.haaland(Re, 0.0))

    return Law(
        slow=Part(base=lambda Re, Pr: np.full_like(Re, heat.LAMINAR_NUSSELT), by_prandtl=False),
        fast=Part(base=each(turbulent), lowest=blends.TUBE_LAMINAR),
        join="smooth",
        start=blends.TUBE_LAMINAR,
        end=blends.TUBE_TURBULENT,
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
