"""Mutations of the exhaust passage: momentum, losses, friction and geometry."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from jacketcalc.components.passage_section import Section

from . import ways
from .record import Mutation

GEOMETRY = "test_correlations_passage.py::test_geometry"
PLAIN = "test_physical_terms.py::test_march_is_the_plain_one"
SUDDEN = "test_march.py::test_sudden_losses"


def _friction_alone(old: Any) -> Any:
    """Solve a cell for friction without the pressure that speeding up takes."""

    def step(
        face: int, G: Any, drag: Any, cp: Any, R: Any, T0: Any, T: Any, p: Any, iterations: int = 0
    ) -> None:
        here = Section(G, T0[face], cp, R)
        down = p[face + 1]
        value, rho_down = down, down / (R * T[face + 1])
        for _ in range(4):
            value = down + 2.0 * drag / (value / (R * here.temperature(value)) + rho_down)
        p[face], T[face] = value, here.temperature(value)

    return step


def _smooth_widening(old: Any) -> Any:
    """Keep the stagnation pressure where the passage widens, as where it narrows."""

    def upstream(below: Any, p: Any, loss: Any, above: Any, share: Any) -> Any:
        return above.static(below.stagnation(p) + loss * below.dynamic(p))

    return upstream


def _unchoked(old: property) -> property:
    return property(lambda self: 0.8 * old.fget(self))  # type: ignore[misc]


def _no_recovery(cells: Any) -> None:
    cells.lag = 0.0 * cells.lag


def _no_throttling(cells: Any) -> None:
    cells.throttling = 0.0 * cells.throttling


def _straight(patch: Any) -> None:
    patch.function(
        "correlations.friction", "coil_turbulent", lambda old: lambda Re, d: old(Re, 0.0 * d)
    )
    patch.function("correlations.friction", "coil_factor", lambda old: lambda De: 1.0 + 0.0 * De)


def _smooth(patch: Any) -> None:
    def make(old: Any) -> Any:
        return lambda *a: old(*a[:-1], 0.0 * np.asarray(a[-1]))

    patch.function("correlations.friction", "friction_factor", make)
    patch.function("correlations.friction", "tube_friction_factor", make)


def _half_power(old: Any) -> Any:
    return lambda curve, flow, pressure, T0: replace(curve, exponent=0.0 * curve.exponent + 0.5)


MUTATIONS = (
    Mutation(
        name="acceleration", part="passage", term="air speeds up as its pressure falls",
        broken="momentum balance of a cell with friction alone",
        apply=ways.function("components.passage_section", "step_up", _friction_alone),
        test="test_march.py::test_fanno_at_the_default_cells",
    ),
    Mutation(
        name="choking", part="passage", term="a section passes no more than its sonic flow",
        broken="sections choke at 0.8 of the sonic pressure",
        apply=lambda patch: patch.method(
            "components.passage_section", "Section", "sonic_pressure", _unchoked
        ),
        test="test_march.py::test_vent_chokes",
    ),
    Mutation(
        name="widening", part="passage", term="momentum balance of sudden widenings",
        broken="no loss where tube meets channel and channel meets vent",
        apply=ways.function("components.passage_section", "upstream_of", _smooth_widening),
        test="test_march.py::test_tube_into_wider_channel_loses_by_borda_carnot",
    ),
    Mutation(
        name="fitting-loss", part="passage", term="losses of the tube's fittings",
        broken="dropped", apply=ways.passages(tube_loss=0.0), test=SUDDEN,
    ),
    Mutation(
        name="entry-loss", part="passage", term="loss at the channel's entry",
        broken="dropped", apply=ways.passages(entry_loss=0.0), test=SUDDEN,
    ),
    Mutation(
        name="vent-loss", part="passage", term="loss at the vent",
        broken="dropped", apply=ways.passages(vent_loss=0.0), test=SUDDEN,
    ),
    Mutation(
        name="coil-friction", part="passage", term="curvature raises friction",
        broken="friction of a straight channel", apply=_straight,
        test="test_correlations_passage.py::test_friction_of_one_jacket",
    ),
    Mutation(
        name="coil-transition", part="passage", term="curvature delays turbulence",
        broken="turbulent from Reynolds 2300 on",
        apply=ways.nothing("correlations.passage", "critical_reynolds", 2300.0),
        test="test_correlations_passage.py::test_coil_transition",
    ),
    Mutation(
        name="roughness", part="passage", term="roughness of tube and channel",
        broken="smooth walls", apply=_smooth,
        test="test_correlations_passage.py::test_rough_channel_costs_more",
    ),
    Mutation(
        name="dean-diameter", part="passage", term="diameter of curvature of the helix",
        broken="diameter of the circle it winds on",
        apply=ways.function(
            "correlations.passage", "helix_curvature",
            lambda old: lambda mean, lead: mean + 0.0 * lead,
        ),
        test=GEOMETRY,
    ),
    Mutation(
        name="hydraulic-diameter", part="passage", term="hydraulic diameter of the channel",
        broken="twice the gap, as of an annulus without lands",
        apply=ways.function(
            "correlations.passage", "hydraulic_diameter",
            lambda old: lambda gap, width: 2.0 * gap + 0.0 * width,
        ),
        test=GEOMETRY,
    ),
    Mutation(
        name="tip-leak", part="passage", term="leak over the land tips",
        broken="dropped", apply=ways.passages(leak_area=0.0),
        test="test_physical_terms.py::test_tip_leak",
    ),
    Mutation(
        name="recovery", part="passage", term="walls feel the recovery temperature",
        broken="walls feel the stagnation temperature", apply=ways.cells(_no_recovery),
        test="test_physical_terms.py::test_recovery_temperature",
    ),
    Mutation(
        name="throttling", part="passage", term="throttled air cools (Joule and Thomson)",
        broken="stagnation temperature is kept", apply=ways.cells(_no_throttling),
        test="test_physical_terms.py::test_throttled_air_cools",
    ),
    Mutation(
        name="curve-temperature", part="passage",
        term="power of port temperature in the flow curve",
        broken="1/2, as of a nozzle without heat",
        apply=ways.function("components.passage_curve", "with_exponent", _half_power),
        test="test_physical_terms.py::test_curve_at_another_temperature",
    ),
    Mutation(
        name="node-volume", part="passage", term="air stored in the passage",
        broken="nothing but the valve's own port", apply=ways.constant(
            "components.chambers", "PASSAGE_SHARE", 0.0
        ),
        test="test_physical_terms.py::test_passage_stores_half_its_air_at_port_pressure",
    ),
    Mutation(
        name="silencer", part="passage", term="silencer behind the vent",
        broken="as open as none", apply=ways.passages(silencer_sonic=1e4),
        test="test_march.py::test_equivalent_conductance_of_an_iso_element",
        setting="silencers on both vents",
    ),
)  # fmt: skip
