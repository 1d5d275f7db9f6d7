"""From readings set against the model to the figures of unknowns and residuals."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.assessment.result import Interval
from jacketcalc.input_paths import read_field
from jacketcalc.inputs import Machine
from jacketcalc.report.figures.residuals import Residual, ResidualFigure
from jacketcalc.report.figures.unknowns import Known
from jacketcalc.statistics.distributions import COVERAGE_FACTOR

if TYPE_CHECKING:
    from jacketcalc.uncertainty.reconcile import Compared, Reconciliation
    from jacketcalc.uncertainty.unknowns import Unknown

MOST = 30
"""Readings that one figure shows [-]."""
_Z: Array = np.linspace(-4.5, 4.5, 721)
"""Prior standard deviations at which densities are told [-]."""
_SHOWN = 2.8
"""Prior standard deviations from the median that a panel reaches to, at least [-]."""


def unknowns(found: Reconciliation) -> tuple[Known, ...]:
    """Return the data of the figure of unknowns, from the fit of all together."""
    machine = found.case.machine
    pairs = zip(found.joint.unknowns, found.joint.values, strict=True)
    left = found.joint.posterior
    return tuple(
        _known(one, value, machine, None if left is None else left.density(left.draws[:, i], _Z))
        for i, (one, value) in enumerate(pairs)
    )


def _known(one: Unknown, after: Interval, machine: Machine, left: Array | None) -> Known:
    """Return both densities of an unknown.

    A density over values is the one over prior standard deviations z times dz/dvalue. The one
    after the readings is normal in z where they were not integrated (`statistics.fit`).
    """
    value = np.array([one.value(float(z)) for z in _Z])
    centre, low, high = (_z(v, value) for v in (after.value, after.low, after.high))
    spread = max((high - low) / (2.0 * COVERAGE_FACTOR), 1e-3)
    slope = np.gradient(value, _Z)
    keep = np.abs(_Z) <= max(_SHOWN, min(4.5, abs(centre) + 2.5 * spread))
    ends = tuple(one.value(z) for z in (-COVERAGE_FACTOR, 0.0, COVERAGE_FACTOR))
    return Known(
        name=one.name,
        factor=one.factor,
        nominal=1.0 if one.factor else float(read_field(machine, one.paths[0])),
        value=value[keep],
        prior=(_normal(_Z) / slope)[keep],
        posterior=((_normal((_Z - centre) / spread) / spread if left is None else left) / slope)[
            keep
        ],
        before=(ends[0], ends[1], ends[2]),
        after=(after.low, after.value, after.high),
    )


def _z(value: float, values: Array) -> float:
    """Return at how many prior standard deviations a value lies."""
    return float(np.interp(value, values, _Z))


def _normal(z: Array) -> Array:
    density: Array = np.exp(-0.5 * z * z) / np.sqrt(2.0 * np.pi)
    return density


def residuals(found: Reconciliation) -> ResidualFigure:
    """Return the data of the figure of residuals; of many readings those farthest off."""
    places = range(len(found.compared))
    farthest = sorted(places, key=lambda i: -abs(found.compared[i].residual))[:MOST]
    kept = [found.compared[i] for i in sorted(farthest)]
    return ResidualFigure(
        rows=tuple(_residual(one) for one in kept), left_out=len(found.compared) - len(kept)
    )


def _residual(one: Compared) -> Residual:
    left = (one.reading.value - one.fitted) / one.joint_uncertainty
    return Residual(name=one.reading.name, nominal=one.residual, fitted=left)
