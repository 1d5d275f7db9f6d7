"""What is noted of solved instants: the rows of a stroke's record."""

from __future__ import annotations

from jacketcalc.components.designs import Array
from jacketcalc.components.step_equations import StrokeEquations
from jacketcalc.components.step_records import Fluxes, Instant, Point
from jacketcalc.gas.table import Thermo


def instant_row(
    equations: StrokeEquations,
    point: Point,
    at: Instant,
    thermo: Thermo,
    fluxes: Fluxes,
    lead: Array,
    weight: Array,
    coefficient: Array,
) -> dict[str, Array]:
    """Return the fields of `Record` that have instants, for one instant or several.

    Parameters
    ----------
    equations, point, at, thermo : what was solved, where, and the properties there
    fluxes : what is carried
    lead : heat that the phase lead takes out over the whole step, (..., volume, B) [J]
    weight : weight of the instant in its step, shape (..., B) [-]
    coefficient : heat transfer coefficient in the stages, (..., stage, B) [W/(m2 K)]
    """
    n = equations.count
    return {
        "dt": weight * point.w,
        "dx": weight * at.dx,
        "weight": weight,
        "step": point.w,
        "p": point.p[..., :n, :].copy(),
        "T": point.T[..., :n, :].copy(),
        "volume": at.volume,
        "mass": thermo.rho * at.volume,
        "flow": fluxes.F,
        "enthalpy": fluxes.F * fluxes.h.take(equations.up, -2),
        "exhaust": fluxes.X,
        "exhaust_enthalpy": equations.vented(fluxes),
        "stage_coefficient": coefficient,
        "stage_lead": weight[..., None, :] * lead[..., equations.chambers, :],
        "conductance": at.conductance,
    }
