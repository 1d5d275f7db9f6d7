"""The equations of one implicit stage of a step, and one Newton iteration on them.

Unknowns are pressure and temperature of every volume and the duration of the step. The
Jacobian has the shape of the machine: volumes couple only along paths, which form a tree,
and all of them with the duration. Temperatures are eliminated volume by volume, pressures
leaf by leaf, the duration last: arithmetic on arrays over designs, without a matrix. Axes
before that of volumes stand for instants, or right-hand sides, taken together.
"""

from __future__ import annotations

import numpy as np

from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.components.passage_curve import Curve, curve_flow
from jacketcalc.components.step_records import (
    Base,
    Change,
    Fluxes,
    Instant,
    Point,
    Slopes,
    Tangent,
)
from jacketcalc.flow.iso6358 import mass_flow_with_slopes
from jacketcalc.gas.table import AirTable, Thermo

SHORTENING, LENGTHENING = 0.75, 3.0
"""Largest relative change of the duration in one Newton iteration [-]."""
LEAST_DURATION = 1e-12
"""Keeps a speed finite [s]."""


class StrokeEquations:
    """Balances of all volumes during one stroke.

    Parameters
    ----------
    network : sizes
    pairs : (path, upstream volume, downstream volume)
    rate : change of each volume with piston travel, shape (volume, B) [m2]
    force : force on the piston for each volume's pressure, shape (volume, B) [m2]
    """

    def __init__(
        self,
        network: Network,
        pairs: list[tuple[int, int, int]],
        rate: Array,
        force: Array,
    ) -> None:
        layout = network.layout
        self.network, self.pairs, self.rate, self.force = network, pairs, rate, force
        self.count = layout.count
        self.up = np.array([u for _, u, _ in pairs])
        self.down = np.array([d for _, _, d in pairs])
        self.nodes = slice(layout.nodes[0], layout.nodes[-1] + 1)
        self.chambers = slice(layout.chambers[0], layout.chambers[-1] + 1)
        self.opening = rate[self.chambers] > 0.0
        """Whether each stage's chamber grows, shape (stage, B)."""
        self.friction = np.asarray(network.machine.drive.friction)
        self.room = np.asarray(network.machine.room.pressure)
        self.mass = np.asarray(network.machine.drive.moving_mass)
        self.balance = np.zeros((self.count, len(pairs)))
        for j, u, d in pairs:
            if u < self.count:
                self.balance[u, j] -= 1.0
            if d < self.count:
                self.balance[d, j] += 1.0
        self.outgoing = np.maximum(-self.balance, 0.0)
        self.incoming = np.maximum(self.balance, 0.0)
        inner = [pair for pair in pairs if max(pair[1:]) < self.count]
        self.inner = np.array([j for j, _, _ in inner])
        self.sources = np.array([u for _, u, _ in inner])
        self.sinks = np.array([d for _, _, d in inner])
        self.edges = _elimination_order(inner, self.count)
        leaves = {leaf for leaf, *_ in self.edges}
        self.roots = [v for v in range(self.count) if v not in leaves]

    def net_force(self, p: Array) -> Array:
        """Force along the stroke left over for acceleration, shape (..., B) [N]."""
        return np.asarray((self.force * (p - self.room)).sum(axis=-2) - self.friction)

    def vented(self, fluxes: Fluxes) -> Array:
        """Enthalpy flow out of each node; what is drawn back in is room air, (..., node, B) [W]."""
        own = fluxes.h[..., self.nodes, :]
        return np.asarray(fluxes.X * np.where(fluxes.X >= 0.0, own, self.network.room_enthalpy))

    def rates(self, point: Point, at: Instant, thermo: Thermo, fluxes: Fluxes) -> tuple[Array, ...]:
        """Rates of mass, energy and kinetic energy over the whole step, and the lead heat."""
        n, w = self.count, point.w[..., None, :]
        dm = self.balance @ fluxes.F
        dH = self.balance @ (fluxes.F * fluxes.h.take(self.up, -2))
        dm[..., self.nodes, :] -= fluxes.X
        dH[..., self.nodes, :] -= self.vented(fluxes)
        p, T = point.p[..., :n, :], point.T[..., :n, :]
        swept = self.rate * at.dx[..., None, :]
        heat = at.conductance * (T - at.wall)
        # The lead follows the gas that is squeezed: what is pushed out is not.
        squeezed = swept.copy()
        squeezed[..., self.chambers, :] += (
            w * fluxes.F[..., 3::2, :] / thermo.rho[..., self.chambers, :]
        )
        lead = at.lead * T * (thermo.rho_T / thermo.rho_p) * squeezed
        dU = w * (dH - heat) - p * swept - lead
        return dm, dH - heat, dU, lead

    def newton(
        self,
        air: AirTable,
        curve: Curve,
        point: Point,
        at: Instant,
        base: Base,
        known: Thermo | None = None,
    ) -> tuple[Change, Thermo]:
        """Take one Newton iteration from a point, whose properties may be known already."""
        near = self.linearise(air, curve, point, at, known)
        needs, slopes, w = near.needs, near.slopes, point.w
        alpha, RU = self.eliminate(slopes, base.m - needs.m, base.U - needs.U)
        dw = self.duration(slopes, base.E - needs.E, alpha)
        # With no duration that balances in reach, go on growing: the piston is stalling.
        dw = np.where(slopes.bottom > 0.0, dw, w)
        dw = np.minimum(np.maximum(dw, -SHORTENING * w), LENGTHENING * w)
        dp, dT = self.expand(slopes, alpha, RU, dw)
        return Change(p=dp, T=dT, w=dw, fluxes=self.moved(near, dp, dT)), near.thermo

    def linearise(
        self, air: AirTable, curve: Curve, point: Point, at: Instant, known: Thermo | None = None
    ) -> Tangent:
        """Return the equations near a point, with temperatures eliminated from their slopes."""
        n, net, a = self.count, self.network, at.share[..., None, :]
        nodes, ends = self.nodes, self.up
        p, T, w = point.p[..., :n, :], point.T[..., :n, :], point.w[..., None, :]
        thermo = known if known is not None else air.thermo_beyond(T, p)
        point.h[..., :n, :] = thermo.h
        F, Fu, Fd = mass_flow_with_slopes(
            net.C, net.b, point.p.take(ends, -2), point.p.take(self.down, -2),
            point.T.take(ends, -2), net.opening,
        )  # fmt: skip
        X, Xp = curve_flow(curve, p[..., nodes, :], T[..., nodes, :])
        fluxes = Fluxes(F=F, X=X, h=point.h)
        dm, dq, dU, _ = self.rates(point, at, thermo, fluxes)
        V, h, aw = at.volume, thermo.h, a * w
        m = thermo.rho * V
        U = m * h - p * V
        out = self.outgoing @ F
        out[..., nodes, :] += np.maximum(X, 0.0)
        stored = V * thermo.rho_T
        MT = stored - aw * out / (2 * T)
        UT = m * thermo.h_T + aw * (out * thermo.h_T + at.conductance)
        up, down, hu = aw * Fu, aw * Fd, point.h.take(ends, -2)
        M = V * thermo.rho_p + self.outgoing @ up - self.incoming @ down
        E = V * thermo.rho_p * h + m * thermo.h_p - V + a * self.rate * at.dx[..., None, :]
        E += self.outgoing @ (up * hu) - self.incoming @ (down * hu)
        drain = aw * Xp
        M[..., nodes, :] += drain
        E[..., nodes, :] += drain * np.where(X >= 0.0, h[..., nodes, :], net.room_enthalpy)
        iu, iv, j = self.sources, self.sinks, self.inner
        M_w, E_w = -a * dm, -a * dq
        # Energy less own enthalpy x mass: temperature stands in it with m cp, whatever the
        # datum of enthalpy; energy itself hardly depends on temperature at given pressure.
        E, E_w = E - h * M, E_w - h * M_w
        forth, back = -up.take(j, -2), down.take(j, -2)
        fall = h.take(iu, -2) - h.take(iv, -2)
        E_forth = forth * fall
        # What flows in changes with the temperature of its source.
        carried = aw * F.take(j, -2) / UT.take(iu, -2)
        less = carried / (2 * T.take(iu, -2))
        more = carried * thermo.h_T.take(iu, -2) - less * fall
        forth = forth - less * E.take(iu, -2)
        M_w[..., iv, :] -= less * E_w.take(iu, -2)
        E_forth += more * E.take(iu, -2)
        E_w[..., iv, :] += more * E_w.take(iu, -2)
        ratio = MT / UT
        K = M - ratio * E
        forth = forth - ratio.take(iv, -2) * E_forth
        factors = self._factor(K, forth, back)
        beta = ratio * E_w - M_w
        self._solve(factors, K, forth, back, beta)
        kinetic, balance = self._piston(point, at)
        pull, own = np.broadcast_to(self.force, p.shape), np.zeros_like(point.w)
        if at.target is None:
            pull = (at.share * at.dx)[..., None, :] * self.force
            own = 2 * kinetic / np.maximum(point.w, LEAST_DURATION)
        bottom = (pull * beta).sum(axis=-2) + own
        return Tangent(
            thermo=thermo, F=F, Fu=Fu, Fd=Fd, X=X, Xp=Xp, h=point.h,
            holds=Base(m=m, U=U, E=kinetic),
            needs=Base(m=m - aw * dm, U=U - a * dU, E=balance),
            slopes=Slopes(
                h=h, ratio=ratio, less=less, more=more, K=K, factors=factors, forth=forth,
                back=back, E=E, E_w=E_w, E_forth=E_forth, UT=UT, beta=beta, pull=pull,
                bottom=np.where(at.fixed, np.inf, bottom),
            ),
        )  # fmt: skip

    def eliminate(self, slopes: Slopes, m: Array, U: Array) -> tuple[Array, Array]:
        """Answer to a little more contents at the start, at an unchanged duration.

        Parameters
        ----------
        slopes : equations of the stage
        m, U : mass [kg] and energy [J] more, shape (..., volume, B)

        Returns
        -------
        Change of the pressures [Pa], and energy for `expand` [J].
        """
        iu, iv = self.sources, self.sinks
        U = U - slopes.h * m
        from_source = U.take(iu, -2)
        m = m.copy()
        m[..., iv, :] -= slopes.less * from_source
        U[..., iv, :] += slopes.more * from_source
        alpha = m - slopes.ratio * U
        self.solve(slopes, alpha)
        return alpha, U

    def duration(self, slopes: Slopes, E: Array, alpha: Array) -> Array:
        """Change of the duration from the piston's balance [s].

        Parameters
        ----------
        slopes : equations of the stage
        E : kinetic energy more at the start [J], or force more than asked for [N], (..., B)
        alpha : change of the pressures at an unchanged duration [Pa]
        """
        return np.asarray(-(E + (slopes.pull * alpha).sum(axis=-2)) / slopes.bottom)

    def expand(self, slopes: Slopes, alpha: Array, U: Array, dw: Array) -> tuple[Array, Array]:
        """Return the change of all pressures [Pa] and temperatures [K]."""
        dw = dw[..., None, :]
        dp = alpha + slopes.beta * dw
        dT = U - slopes.E * dp - slopes.E_w * dw
        dT[..., self.sinks, :] -= slopes.E_forth * dp.take(self.sources, -2)
        dT /= slopes.UT
        return dp, dT

    def moved(self, near: Tangent, dp: Array, dT: Array) -> Fluxes:
        """Fluxes after a Newton step, by their slopes."""
        ends = np.concatenate([dp, np.zeros_like(dp[..., :2, :])], axis=-2)
        thermo = near.thermo
        moved = Fluxes(
            F=near.F + near.Fu * ends.take(self.up, -2) + near.Fd * ends.take(self.down, -2),
            X=near.X + near.Xp * dp[..., self.nodes, :],
            h=near.h.copy(),
        )
        moved.h[..., : self.count, :] += thermo.h_T * dT + thermo.h_p * dp
        return moved

    def solve(self, slopes: Slopes, value: Array) -> None:
        """Solve the tree of pressures for a right-hand side, in place."""
        self._solve(slopes.factors, slopes.K, slopes.forth, slopes.back, value)

    def _factor(self, K: Array, forth: Array, back: Array) -> Array:
        """Eliminate the leaves of the tree, in place; return the factors for right-hand sides.

        `forth` couples the volume that a path leads to with its source, `back` the source with
        it, shape (..., inner path, B).
        """
        factors = np.empty_like(forth)
        for leaf, root, i, leads in self.edges:
            ahead, behind = forth[..., i, :], back[..., i, :]
            below, above = (ahead, behind) if leads else (behind, ahead)
            factors[..., i, :] = below / K[..., leaf, :]
            K[..., root, :] -= factors[..., i, :] * above
        return factors

    def _solve(self, factors: Array, K: Array, forth: Array, back: Array, value: Array) -> None:
        """Solve the factored tree for a right-hand side, in place."""
        for leaf, root, i, _ in self.edges:
            value[..., root, :] -= factors[..., i, :] * value[..., leaf, :]
        value[..., self.roots, :] /= K[..., self.roots, :]
        for leaf, root, i, leads in reversed(self.edges):
            above = back[..., i, :] if leads else forth[..., i, :]
            below = value[..., leaf, :] - above * value[..., root, :]
            value[..., leaf, :] = below / K[..., leaf, :]

    def _piston(self, point: Point, at: Instant) -> tuple[Array, Array]:
        """Kinetic energy at the duration assumed [J], and what the piston's balance reads."""
        force = self.net_force(point.p[..., : self.count, :])
        if at.target is not None:
            return np.zeros_like(point.w), at.target - force
        energy = 0.5 * self.mass * (at.dx / np.maximum(point.w, LEAST_DURATION)) ** 2
        return energy, energy - at.share * force * at.dx


def _elimination_order(
    inner: list[tuple[int, int, int]], count: int
) -> list[tuple[int, int, int, bool]]:
    """Order the coupled volumes so that each is eliminated as a leaf of a tree.

    Each entry is leaf, root, place of the path among the inner ones, and whether the path
    leads from leaf to root.
    """
    links = [(u, d, i) for i, (_, u, d) in enumerate(inner)]
    order: list[tuple[int, int, int, bool]] = []
    while links:
        leaf, link = next(
            (v, link) for link in links for v in link[:2] if sum(v in k[:2] for k in links) == 1
        )
        up, down, i = link
        order.append((leaf, up + down - leaf, i, leaf == up))
        links.remove(link)
    return order
