"""How contents pass from instant to instant of a stroke, every instant by its linear equations.

This alone must follow the stroke in order: a few calls an instant.
"""

from __future__ import annotations

import numpy as np

from jacketcalc.components.designs import Array
from jacketcalc.components.step_equations import LEAST_DURATION, StrokeEquations
from jacketcalc.components.step_records import Base, Instant, Tangent


def chain(
    equations: StrokeEquations, near: Tangent, at: Instant, w: Array, weight: Array, base: Array
) -> tuple[Base, Array]:
    """Follow the contents through instants of one phase.

    Parameters
    ----------
    equations : balances of the stroke
    near : equations near the track, with instants first
    at : what is known of the instants
    w : duration of their steps on the track, shape (instant, B) [s]
    weight : weight of each instant in its step, shape (instant, B) [-]
    base : what the first one starts from: mass and internal energy of every volume, then
        kinetic energy, shape (content, B) [kg], [J], [J]

    Returns
    -------
    What each instant starts from more than its point on the track needs, and what follows the
    last one.
    """
    n, s = equations.count, near.slopes
    iu, iv = equations.sources, equations.sinks
    needs, holds = _stacked(near.needs), _stacked(near.holds)
    # An instant hands on its contents at its end, or what lies beyond them by its weight.
    on = (weight / at.share)[:, None]
    after, stays = needs + on * (holds - needs), 1.0 - on
    by_p, by_T = _content_slopes(near, at, on)
    by_w = -2 * near.holds.E / np.maximum(w, LEAST_DURATION) * on[:, 0]
    still = at.target is not None or not at.dx.any()
    inverse = _inverse(equations, near)
    # A source's energy acts on mass and energy of what its path leads to.
    both = s.less + s.ratio.take(iv, -2) * s.more
    UT, free = 1.0 / s.UT, -1.0 / s.bottom
    E, E_w, E_forth = s.E * UT, s.E_w * UT, s.E_forth * UT.take(iv, -2)
    off, whole = np.empty_like(needs), base
    for k in range(len(on)):
        d = np.subtract(whole, needs[k], out=off[k])
        U = d[n:-1] - s.h[k] * d[:n]
        source = U.take(iu, 0)
        right = d[:n] - s.ratio[k] * U
        right[iv] -= both[k] * source
        alpha = np.einsum("jib,jb->ib", inverse[k], right)
        dw = free[k] * (d[-1] + np.einsum("ib,ib->b", s.pull[k], alpha))
        dp = alpha + s.beta[k] * dw
        U[iv] += s.more[k] * source
        dT = UT[k] * U - E[k] * dp - E_w[k] * dw
        dT[iv] -= E_forth[k] * dp.take(iu, 0)
        whole = after[k] + stays[k] * d
        whole[:-1] += (by_p[k] * dp + by_T[k] * dT).reshape(2 * n, -1)
        whole[-1] = base[-1] if still else whole[-1] + by_w[k] * dw
    return Base(m=off[:, :n], U=off[:, n:-1], E=off[:, -1]), whole


def _stacked(base: Base) -> Array:
    """Mass and energy of every volume, then kinetic energy, shape (instant, content, B)."""
    return np.concatenate([base.m, base.U, base.E[:, None]], axis=1)


def _content_slopes(near: Tangent, at: Instant, on: Array) -> tuple[Array, Array]:
    """Slopes of what is handed on in pressure and temperature, (instant, m or U, volume, B)."""
    thermo, m, V = near.thermo, near.holds.m, at.volume
    m_p, m_T = V * thermo.rho_p, V * thermo.rho_T
    by_p = np.stack([m_p, thermo.h * m_p + m * thermo.h_p - V], axis=1)
    by_T = np.stack([m_T, thermo.h * m_T + m * thermo.h_T], axis=1)
    return by_p * on[:, None], by_T * on[:, None]


def _inverse(equations: StrokeEquations, near: Tangent) -> Array:
    """What a unit missing in each volume does to all pressures, (instant, unit, volume, B)."""
    n = equations.count
    one = np.zeros((n, *near.holds.m.shape))
    for v in range(n):
        one[v, :, v] = 1.0
    equations.solve(near.slopes, one)
    return np.ascontiguousarray(one.transpose(1, 0, 2, 3))
