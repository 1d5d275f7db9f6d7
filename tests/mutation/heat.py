"""Mutations of heat transfer in the passage, and of the pulses that pass it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from . import ways
from .patching import Patch
from .record import Mutation

CLOSURES = "test_correlations_passage.py::test_closures[10000-19.2-23.3-42.5]"
LAWS = "correlations.heat"


def _flat_floor(old: Any) -> Any:
    from jacketcalc.correlations.heat import one_wall_laminar

    return lambda De, aspect: one_wall_laminar(aspect) + 0.0 * De


def _no_annulus_factor(patch: Patch) -> None:
    for name in ("inner_wall_factor", "inner_wall_factor_1964"):
        patch.function(LAWS, name, lambda old: lambda a: 1.0 + 0.0 * np.asarray(a))


def _steady(old: Any) -> Any:
    """Spread each node's mass evenly over the cycle, without rest."""

    def cut(flow: Any, T: Any, dt: Any, pulses: int) -> Any:
        found = old(flow, T, dt, pulses)
        mass = np.maximum(flow, 0.0) * dt
        return replace(
            found,
            time=dt.sum(axis=0)[None],
            mass=mass.sum(axis=0)[None],
            T0=((mass * T).sum(axis=0) / mass.sum(axis=0))[None],
            rest=0.0 * found.rest,
        )

    return cut


def _even_temperature(old: Any) -> Any:
    def cut(*given: Any) -> Any:
        found = old(*given)
        mean = (found.mass * found.T0).sum(axis=0) / found.mass.sum(axis=0)
        return replace(found, T0=mean + 0.0 * found.T0)

    return cut


def _at_room(old: Any) -> Any:
    return lambda flow, T, dt, pulses: old(flow, 293.15 + 0.0 * T, dt, pulses)


def _no_rest(patch: Patch) -> None:
    patch.constant("components.pulses", "STILL_NUSSELT", 0.0)
    patch.constant("components.pulses", "STILL_TUBE", 0.0)


def _whole_gap(jacket: Any) -> Any:
    return jacket.gap


MUTATIONS = (
    Mutation(
        name="one-wall", part="passage", term="the inner wall alone is heated",
        broken="average round the wall of a coil",
        apply=lambda patch: patch.entry(
            LAWS, "_CLOSURES", "nominal", lambda table: table["high"]
        ),
        test=CLOSURES,
    ),
    Mutation(
        name="annulus-factor", part="passage", term="annulus factor of one heated wall",
        broken="1, as with both walls heated", apply=_no_annulus_factor,
        test="test_correlations_passage.py::test_annulus[10000.0-33.37-25.48-29.19]",
    ),
    Mutation(
        name="convex", part="passage", term="convex wall transfers less",
        broken="as a flat wall", apply=ways.constant(LAWS, "CONVEX_FACTOR", 1.0), test=CLOSURES,
    ),
    Mutation(
        name="curved-laminar", part="passage", term="curvature raises laminar heat transfer",
        broken="straight channel", apply=ways.function(LAWS, "curved_laminar", _flat_floor),
        test="test_correlations_laminar.py::test_curved_channel[3-1000-267-115.7-7.97]",
    ),
    Mutation(
        name="property-ratio", part="passage", term="properties vary across the heated gas",
        broken="factor 1", apply=ways.nothing(LAWS, "property_ratio", 1.0),
        test="test_correlations_passage.py::test_property_ratio",
    ),
    Mutation(
        name="land-fin", part="passage", term="lands are fins on the barrel",
        broken="lands take no heat", apply=ways.passages(fin_perimeter=0.0),
        test="test_physical_terms.py::test_land_is_a_fin",
    ),
    Mutation(
        name="fin-efficiency", part="passage", term="lands are colder at their tips",
        broken="efficiency 1", apply=ways.nothing("correlations.outside", "fin_efficiency", 1.0),
        test="test_outside.py::test_straight_fin",
    ),
    Mutation(
        name="land-clearance", part="passage", term="lands end short of the shell",
        broken="they reach it",
        apply=ways.function("components.passage_geometry", "land_height", lambda old: _whole_gap),
        test="test_physical_terms.py::test_land_is_a_fin",
    ),
    Mutation(
        name="entrance", part="passage", term="turbulent heat transfer is higher near an entrance",
        broken="factor 1", apply=ways.nothing(LAWS, "entrance_factor", 1.0),
        test="test_gap_swirl_entrance.py::test_channel_and_tube_have_an_entrance",
    ),
    Mutation(
        name="tube-heat", part="passage", term="the tube warms the exhaust on its way",
        broken="adiabatic tube", apply=ways.nothing(LAWS, "tube_nusselt"),
        test="test_correlations_passage.py::test_tube_nusselt_ends",
    ),
    Mutation(
        name="shell-heat", part="passage", term="the shell warms the exhaust",
        broken="adiabatic shell", apply=ways.passages(shell_perimeter=0.0),
        test="test_march.py::test_two_conductances",
    ),
    Mutation(
        name="phases", part="pulses", term="a pulse is cut into ten phases",
        broken="one phase of mean flow a pulse",
        apply=ways.constant("components.pulses", "PHASES", 1),
        test="test_physical_terms.py::test_phases_of_a_falling_pulse",
    ),
    Mutation(
        name="pulses", part="pulses", term="exhaust comes in pulses",
        broken="mean flow over the whole cycle",
        apply=ways.function("components.pulses", "cut_pulses", _steady),
        test="test_barrel_wall.py::test_phases_follow_a_known_pulse",
    ),
    Mutation(
        name="phase-temperature", part="pulses", term="the end of a pulse is colder",
        broken="every phase at the mean temperature",
        apply=ways.function("components.pulses", "cut_pulses", _even_temperature),
        test="test_physical_terms.py::test_phases_of_a_falling_pulse",
    ),
    Mutation(
        name="cold-exhaust", part="pulses", term="expansion makes the exhaust cold",
        broken="passage fed with air at 293 K",
        apply=ways.function("components.pulses", "cut_pulses", _at_room),
        test="test_barrel_wall.py::test_cut_keeps_mass_enthalpy_and_time",
    ),
    Mutation(
        name="rest", part="pulses", term="air at rest warms between pulses",
        broken="no heat at rest", apply=_no_rest,
        test="test_barrel_wall.py::test_air_at_rest_warms_exponentially",
    ),
)  # fmt: skip
