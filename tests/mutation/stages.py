"""Mutations of the stages, the air in them, and the line between them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from jacketcalc.gas.table import Thermo

from . import ways
from .patching import Patch
from .record import Mutation

CYLINDER = "correlations.cylinder"
STROKES = "test_stroke_terms.py::test_two_cycles_are_the_plain_ones"
THIN = 1e5
"""Pressure at which air is taken for an ideal gas [Pa]."""


def _ideal(old: Any) -> Any:
    """Air as an ideal gas: the heat capacity of thin air, density p over R T."""

    def thermo(self: Any, T: Any, p: Any) -> Thermo:
        T, p = np.broadcast_arrays(np.asarray(T, dtype=float), np.asarray(p, dtype=float))
        thin = old(self, T, np.full(T.shape, THIN))
        rho = p / (self.GAS_CONSTANT * T)
        return replace(thin, rho=rho, rho_T=-rho / T, rho_p=rho / p, h_p=np.zeros_like(rho))

    return thermo


def _at_room(old: Any) -> Any:
    return lambda self, T, p: old(self, 293.15 + 0.0 * T, THIN + 0.0 * p)


def _real_alone(old: Any) -> Any:
    def spring(peclet: Any) -> Any:
        real, imaginary = old(peclet)
        return real, 0.0 * imaginary

    return spring


def _lag_as_measured(old: Any) -> Any:
    return lambda peclet: (old(peclet)[0], 0.56 * np.power(peclet, 0.69))


def _whole_travel(old: Any) -> Any:
    """Let the phase lead follow the piston's travel, delivery or not."""

    def rates(self: Any, point: Any, at: Any, thermo: Any, fluxes: Any) -> Any:
        dm, dq, dU, lead = old(self, point, at, thermo, fluxes)
        c = self.chambers
        given = point.w * fluxes.F[3::2] / thermo.rho[c]
        extra = np.zeros_like(lead)
        extra[c] = (at.lead * point.T[: self.count] * thermo.rho_T / thermo.rho_p)[c] * given
        return dm, dq, dU + extra, lead - extra

    return rates


def _no_heat(old: Any) -> Any:
    def law(*given: Any, **state: Any) -> Any:
        found = old(*given, **state)
        return replace(found, coefficient=0.0 * found.coefficient, lead=0.0 * found.lead)

    return law


def _line(**factors: float) -> Any:
    def change(stage: Any) -> Any:
        if stage.line is None:
            return stage
        scaled = {name: factor * getattr(stage.line, name) for name, factor in factors.items()}
        return replace(stage, line=replace(stage.line, **scaled))

    return ways.stages(change)


def _method(name: str, make: Any) -> Any:
    def apply(patch: Patch) -> None:
        patch.method("gas.table", "AirTable", name, make)

    return apply


MUTATIONS = (
    Mutation(
        name="clearance", part="stages", term="gas stays in the clearance and expands again",
        broken="a hundredth of the clearance",
        apply=ways.stages(lambda s: replace(s, clearance=0.01 * s.clearance)),
        test="test_published.py::test_published_case[gpsa-efficiency-9]",
    ),
    Mutation(
        name="stage-heat", part="stages", term="gas and walls of a stage exchange heat",
        broken="none, no phase lead either",
        apply=ways.function("components.chamber_heat", "stage_heat", _no_heat),
        test="test_stroke_limits.py::test_gas_spring_as_shipped",
    ),
    Mutation(
        name="phase-lead", part="stages", term="heat leads gas temperature (gas spring)",
        broken="heat goes with the difference of temperatures alone",
        apply=ways.function(CYLINDER, "gas_spring", _real_alone),
        test="test_correlations_cylinder.py::test_phase_term_fades_as_the_exact_one",
    ),
    Mutation(
        name="phase-lead-slow", part="stages", term="the phase lead fades in slow chambers",
        broken="as measured in fast ones",
        apply=ways.function(CYLINDER, "gas_spring", _lag_as_measured),
        test="test_correlations_cylinder.py::test_phase_term_fades_as_the_exact_one",
    ),
    Mutation(
        name="squeezed-gas", part="stages", term="gas that is pushed out is not squeezed",
        broken="phase lead follows the whole travel",
        apply=lambda patch: patch.method(
            "components.step_equations", "StrokeEquations", "rates", _whole_travel
        ),
        test="test_stroke_terms.py::test_delivery_at_constant_pressure_has_no_phase_lead",
    ),
    Mutation(
        name="stirring", part="stages", term="the suction jet stirs the chamber",
        broken="it does not", apply=ways.nothing(CYLINDER, "jet_stirred"),
        test="test_correlations_cylinder.py::test_jet_stirred_suction",
    ),
    Mutation(
        name="free-convection", part="stages", term="natural convection in the chambers",
        broken="none", apply=ways.nothing(CYLINDER, "natural_convection"),
        test="test_correlations_cylinder.py::test_coefficients_of_two_stages"
        "[high, least volume]",
    ),
    Mutation(
        name="line-heat", part="stages", term="the line between stages sheds heat",
        broken="none", apply=_line(heat_loss=0.0), test=STROKES,
    ),
    Mutation(
        name="line-volume", part="stages", term="volume of the line between stages",
        broken="half of it", apply=_line(volume=0.5), test=STROKES,
    ),
    Mutation(
        name="real-gas", part="air", term="air is a real gas",
        broken="ideal gas with the heat capacity of thin air",
        apply=_method("thermo", _ideal),
        test="test_published.py::test_published_case[perry-z-300]",
    ),
    Mutation(
        name="local-transport", part="air", term="viscosity and conductivity are local",
        broken="those of room air",
        apply=_method("transport", _at_room),
        test="test_physical_terms.py::test_march_is_the_plain_one",
    ),
)  # fmt: skip
