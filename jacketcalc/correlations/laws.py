"""The laws of a passage as the core takes them: smooth bases, and how they are joined.

A base is a plain function of Reynolds and Prandtl number. Where two bases meet in a kink or a
blend each stands alone here, since tabling across a kink would cost a per cent or more.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from jacketcalc.correlations import friction, heat, passage

Base = Callable[[float, float], float]
"""Value at Reynolds number and Prandtl number, all [-]."""
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


def channel_friction(c: Channel) -> Law:
    """Return the friction law of a helical channel."""
    d = c.curvature
    root = float(np.sqrt(d))
    constant = float(friction.rectangle_constant(c.aspect))

    def laminar(Re: float, Pr: float) -> float:
        return constant / Re * float(friction.coil_factor(Re * root))

    def turbulent(Re: float, Pr: float) -> float:
        value = float(friction.coil_turbulent(Re, d))
        if c.roughness:
            value *= float(friction.roughness_ratio(Re, c.roughness))
        return value

    critical = float(passage.critical_reynolds(d))
    return Law(
        slow=Part(base=laminar, by_prandtl=False),
        fast=Part(base=turbulent, lowest=friction.LOWEST_TURBULENT, by_prandtl=False),
        join="smooth log",
        start=critical,
        end=critical * friction.TRANSITION_SPAN,
    )


def channel_nusselt(closure: str, c: Channel) -> Law:
    """Return the heat-transfer law of a helical channel, one wall heated or averaged."""
    d, least = c.curvature, float(heat.one_wall_laminar(c.aspect))
    if closure == "low":
        factor = heat.CONVEX_FACTOR_LOW * float(heat.inner_wall_factor(c.radius_ratio))
        return Law(slow=_annulus(c, factor), least=least)
    if closure == "nominal":
        factors = heat.inner_wall_factor(c.radius_ratio)
        factors = factors + heat.inner_wall_factor_1964(c.radius_ratio)
        root = float(np.sqrt(d))

        def laminar(Re: float, Pr: float) -> float:
            return float(heat.curved_laminar(Re * root, c.aspect))

        return Law(
            slow=Part(base=laminar, by_prandtl=False),
            fast=_annulus(c, 0.5 * heat.CONVEX_FACTOR * float(factors)),
            join="larger",
            least=least,
        )
    if closure == "high":
        critical = float(passage.critical_reynolds(d))
        both = Part(base=lambda Re, Pr: float(heat.coil_average(Re, Pr, d)))
        top = max(heat.COIL_TURBULENT, critical + 1.0)
        return Law(
            slow=Part(base=both.base, highest=critical),
            fast=Part(base=both.base, lowest=top),
            join="linear",
            start=critical,
            end=top,
            least=least,
        )
    if closure == "schmidt":
        span = float(np.exp(heat.SCHMIDT_BLEND))
        return Law(
            slow=Part(base=lambda Re, Pr: float(heat.coil_schmidt_slow(Re, Pr, d))),
            fast=Part(base=lambda Re, Pr: float(heat.coil_schmidt_fast(Re, Pr, d))),
            join="smooth log",
            start=heat.COIL_TURBULENT / span,
            end=heat.COIL_TURBULENT * span,
            least=least,
        )
    formula = {
        "mori-nakayama": heat.coil_mori_nakayama,
        "xin-ebadian": heat.coil_xin_ebadian,
    }[closure]
    return Law(slow=Part(base=lambda Re, Pr: float(formula(Re, Pr, d))), least=least)


def _annulus(c: Channel, factor: float) -> Part:
    def base(Re: float, Pr: float) -> float:
        return factor * c.entrance * float(heat.annulus_base(Re, Pr, c.radius_ratio))

    return Part(base=base, lowest=friction.LOWEST_TURBULENT)


def tube_friction(roughness: float) -> Law:
    """Return the friction law of a round tube of a relative roughness [-]."""
    return Law(
        slow=Part(base=lambda Re, Pr: 64.0 / Re, by_prandtl=False),
        fast=Part(
            base=lambda Re, Pr: float(friction.haaland(Re, roughness)),
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
        return entrance * float(heat.gnielinski(Re, Pr, friction.haaland(Re, 0.0)))

    return Law(
        slow=Part(base=lambda Re, Pr: 3.66, by_prandtl=False),
        fast=Part(base=turbulent, lowest=passage.TUBE_LAMINAR),
        join="smooth",
        start=passage.TUBE_LAMINAR,
        end=passage.TUBE_TURBULENT,
    )
