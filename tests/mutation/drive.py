"""Mutations of drive, valves and of the two sides of the trade-off as a whole."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from jacketcalc.flow import iso6358

from . import ways
from .patching import Patch
from .record import Mutation

STROKES = "test_stroke_terms.py::test_two_cycles_are_the_plain_ones"
STALL = "test_directions.py::test_stall_pressure"
JACKETED = "test_plain_machine.py::test_every_headline_number_agrees[jacketed]"
NOZZLE = 0.528
"""Critical pressure ratio of an ideal nozzle [-]."""


def _no_opening(network: Any) -> Any:
    return replace(network, opening=0.0 * network.opening)


def _nozzles(network: Any) -> Any:
    return replace(network, b=np.full_like(network.b, NOZZLE))


def _straight_line(C: Any, b: Any, up: Any, down: Any, T: Any, opening: Any = 0.0) -> Any:
    """Flow in proportion to the difference of pressures down to the critical ratio."""
    loaded, span = iso6358._spans(b, up, opening)
    opened = np.clip((loaded - down) / span, 0.0, 1.0)
    scale = iso6358._SCALE * C / np.sqrt(T)
    steep = (opened > 0.0) & (opened < 1.0)
    narrow = b * up >= iso6358.LARGEST_RATIO * loaded
    widens = np.where(narrow, 1.0 - iso6358.LARGEST_RATIO, 1.0 - np.asarray(b))
    rise = scale * up / span * steep
    return scale * up * opened, scale * opened + rise * (1.0 - opened * widens), -rise


def _no_ellipse(patch: Patch) -> None:
    patch.function("flow.iso6358", "mass_flow_with_slopes", lambda old: _straight_line)
    patch.function("flow.iso6358", "mass_flow", lambda old: lambda *a: _straight_line(*a)[0])


def _at_reference(patch: Patch) -> None:
    def make(old: Any) -> Any:
        return lambda C, b, up, down, T, *more: old(C, b, up, down, 293.15 + 0.0 * T, *more)

    patch.function("flow.iso6358", "mass_flow_with_slopes", make)
    patch.function("flow.iso6358", "mass_flow", make)


def _valve_alone(old: Any) -> Any:
    return lambda C1, b1, C2, b2: (np.asarray(C2, dtype=float), np.asarray(b2, dtype=float))


MUTATIONS = (
    Mutation(
        name="moving-mass", part="drive", term="inertia of piston and rod",
        broken="a hundredth of the mass",
        apply=ways.drives(lambda d: replace(d, moving_mass=0.01 * d.moving_mass)),
        test="test_stroke_terms.py::test_piston_flies_under_a_constant_force",
    ),
    Mutation(
        name="drive-friction", part="drive", term="constant friction of the drive's seals",
        broken="none", apply=ways.drives(lambda d: replace(d, friction=0.0)), test=STALL,
    ),
    Mutation(
        name="friction-share", part="drive", term="friction that grows with drive pressure",
        broken="none", apply=ways.drives(lambda d: replace(d, friction_share=0.0)), test=STALL,
    ),
    Mutation(
        name="seal-friction", part="drive", term="friction of the stages' seals",
        broken="none", apply=ways.stages(lambda s: replace(s, seal_friction=0.0)), test=STALL,
    ),
    Mutation(
        name="rods", part="drive", term="rods take piston area",
        broken="full bore on both sides",
        apply=ways.drives(lambda d: replace(d, rod_1=0.0, rod_2=0.0)), test=STALL,
    ),
    Mutation(
        name="dead-volume", part="drive", term="drive air fills dead volumes",
        broken="a hundredth of them",
        apply=ways.drives(
            lambda d: replace(
                d, dead_volume_1=0.01 * d.dead_volume_1, dead_volume_2=0.01 * d.dead_volume_2
            )
        ),
        test=STROKES,
    ),
    Mutation(
        name="dead-time", part="valves", term="the control valve takes time to reverse",
        broken="none", apply=ways.machines(
            lambda m: replace(m, valve=replace(m.valve, dead_time=0.0))
        ),
        test=STROKES,
    ),
    Mutation(
        name="drive-heat", part="drive", term="drive air and drive wall exchange heat",
        broken="none", apply=ways.nothing("correlations.cylinder", "drive_eichelberg"),
        test="test_correlations_cylinder.py::test_drive_coefficient[800000.0-293.0-73]",
    ),
    Mutation(
        name="critical-ratio", part="valves", term="valves' own critical pressure ratio",
        broken="0.528, an ideal nozzle's", apply=ways.networks(_nozzles), test=STROKES,
    ),
    Mutation(
        name="ellipse", part="valves", term="subsonic flow follows an ellipse (ISO 6358)",
        broken="straight line in the pressure ratio", apply=_no_ellipse,
        test="test_iso6358.py::test_flow_of_a_valve[7.0-6.0-293.15-0.025109]",
    ),
    Mutation(
        name="valve-temperature", part="valves", term="cold air passes a valve in greater mass",
        broken="flow as at 293 K", apply=_at_reference,
        test="test_iso6358.py::test_flow_of_a_valve[2.0-1.2-250.0-0.011594]",
    ),
    Mutation(
        name="opening-pressure", part="valves", term="check valves open at a difference",
        broken="none", apply=ways.networks(_no_opening), test=STALL,
    ),
    Mutation(
        name="supply-line", part="valves", term="supply line in series with the valve",
        broken="valve alone", apply=ways.function("flow.iso6358", "series", _valve_alone),
        test="test_iso6358.py::test_two_elements_in_series[first0-second0-2.674-6.240]",
        setting="a supply line",
    ),
    Mutation(
        name="back-pressure", part="the whole", term="tube and jacket resist the exhaust",
        broken="no back-pressure", apply=ways.designs(lambda d: replace(d, resistance="none")),
        test=JACKETED,
    ),
    Mutation(
        name="cooling", part="the whole", term="the jackets cool the barrels",
        broken="no heat between barrel and exhaust",
        apply=ways.designs(lambda d: replace(d, heat=False)), test=JACKETED,
    ),
)  # fmt: skip
