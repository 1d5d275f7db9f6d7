"""The equations of one implicit stage of a step, and one Newton iteration on them.

Unknowns are pressure and temperature of every volume and the duration of the step. The
Jacobian has the shape of the machine: volumes couple only along paths, which form a tree,
and all of them with the duration. Temperatures are eliminated volume by volume, pressures
leaf by leaf, the duration last: arithmetic on arrays over designs, without a matrix.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.components.passage_curve import Curve, curve_flow
from jacketcalc.flow.iso6358 import mass_flow_with_slopes
from jacketcalc.gas.table import AirTable, Thermo

SHORTENING, LENGTHENING = 0.75, 3.0
"""Largest relative change of the duration in one Newton iteration [-]."""


@dataclass(kw_only=True)
class Point:
    """Where Newton stands; rows behind the volumes are the supply and the tank."""

    p: Array
    """Pressure, shape (volume + 2, B) [Pa]."""
    T: Array
    """Temperature, shape (volume + 2, B) [K]."""
    h: Array
    """Specific enthalpy, shape (volume + 2, B) [J/kg]."""
    w: Array
    """Duration of the whole step, shape (B,) [s]."""


@dataclass(kw_only=True)
class Base:
    """What the stage starts from: contents, and kinetic energy of the piston."""

    m: Array
    """Mass, shape (volume, B) [kg]."""
    U: Array
    """Internal energy, shape (volume, B) [J]."""
    E: Array
    """Kinetic energy, shape (B,) [J]."""


@dataclass(frozen=True, kw_only=True)
class Instant:
    """What is known of the stage beforehand."""

    share: Array
    """Diagonal of the DIRK method [-]."""
    volume: Array
    """Volumes at the instant, shape (volume, B) [m3]."""
    dx: Array
    """Travel of the whole step, shape (B,) [m]."""
    target: Array | None
    """Force asked for on the resting piston, shape (B,) [N]; None while it travels."""
    fixed: NDArray[np.bool_]
    """Designs whose duration is given, shape (B,)."""
    conductance: Array
    """h A to the walls, shape (volume, B) [W/K]."""
    wall: Array
    """Wall temperature, shape (volume, B) [K]."""
    lead: Array
    """Share of the phase lead, shape (volume, B) [-]."""


@dataclass(kw_only=True)
class Fluxes:
    """Flows along the paths, out of the nodes, and their enthalpy."""

    F: Array
    """Mass flow of each path, shape (path, B) [kg/s]."""
    X: Array
    """Mass flow out of each node to the room, shape (node, B) [kg/s]."""
    h: Array
    """Specific enthalpy of every volume and boundary, shape (volume + 2, B) [J/kg]."""


@dataclass(frozen=True, kw_only=True)
class Change:
    """A Newton step."""

    p: Array
    """Change of pressure of each volume [Pa]."""
    T: Array
    """Change of temperature of each volume [K]."""
    w: Array
    """Change of the step's duration [s]."""
    fluxes: Fluxes
    """Fluxes after the step, by their slopes: what is carried is what was solved."""


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
        """Force along the stroke left over for acceleration, shape (B,) [N]."""
        return np.asarray((self.force * (p - self.room)).sum(axis=0) - self.friction)

    def vented(self, fluxes: Fluxes) -> Array:
        """Enthalpy flow out of each node; what is drawn back in is room air, (node, B) [W]."""
        h = np.where(fluxes.X >= 0.0, fluxes.h[self.nodes], self.network.room_enthalpy)
        return np.asarray(fluxes.X * h)

    def rates(self, point: Point, at: Instant, thermo: Thermo, fluxes: Fluxes) -> tuple[Array, ...]:
        """Rates of mass, energy and kinetic energy over the whole step, and the lead heat."""
        n = self.count
        dm = self.balance @ fluxes.F
        dH = self.balance @ (fluxes.F * fluxes.h.take(self.up, 0))
        dm[self.nodes] -= fluxes.X
        dH[self.nodes] -= self.vented(fluxes)
        swept = self.rate * at.dx
        heat = at.conductance * (point.T[:n] - at.wall)
        # The lead follows the gas that is squeezed: what is pushed out is not.
        squeezed = swept.copy()
        squeezed[self.chambers] += point.w * fluxes.F[3::2] / thermo.rho[self.chambers]
        lead = at.lead * point.T[:n] * (thermo.rho_T / thermo.rho_p) * squeezed
        dU = point.w * (dH - heat) - point.p[:n] * swept - lead
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
        n, net, a = self.count, self.network, at.share
        p, T, w = point.p[:n], point.T[:n], point.w
        thermo = known if known is not None else air.thermo_beyond(T, p)
        point.h[:n] = thermo.h
        F, Fu, Fd = mass_flow_with_slopes(
            net.C, net.b, point.p.take(self.up, 0), point.p.take(self.down, 0),
            point.T.take(self.up, 0), net.opening,
        )  # fmt: skip
        X, Xp = curve_flow(curve, p[self.nodes], T[self.nodes])
        fluxes = Fluxes(F=F, X=X, h=point.h)
        dm, dq, dU, _ = self.rates(point, at, thermo, fluxes)
        V, h, aw = at.volume, thermo.h, a * w
        m = thermo.rho * V
        RM = m - base.m - aw * dm
        RU = m * h - p * V - base.U - a * dU
        out = self.outgoing @ F
        out[self.nodes] += np.maximum(X, 0.0)
        stored = V * thermo.rho_T
        MT = stored - aw * out / (2 * T)
        UT = m * thermo.h_T + aw * (out * thermo.h_T + at.conductance)
        up, down, hu = aw * Fu, aw * Fd, point.h.take(self.up, 0)
        M = V * thermo.rho_p + self.outgoing @ up - self.incoming @ down
        E = V * thermo.rho_p * h + m * thermo.h_p - V + a * self.rate * at.dx
        E += self.outgoing @ (up * hu) - self.incoming @ (down * hu)
        drain = aw * Xp
        M[self.nodes] += drain
        E[self.nodes] += drain * np.where(X >= 0.0, h[self.nodes], net.room_enthalpy)
        iu, iv, j = self.sources, self.sinks, self.inner
        M_w, E_w = -a * dm, -a * dq
        # Energy less own enthalpy x mass: temperature stands in it with m cp, whatever the
        # datum of enthalpy; energy itself hardly depends on temperature at given pressure.
        RU, E, E_w = RU - h * RM, E - h * M, E_w - h * M_w
        forth, back = -up.take(j, 0), down.take(j, 0)
        fall = h.take(iu, 0) - h.take(iv, 0)
        E_forth = forth * fall
        # What flows in changes with the temperature of its source.
        carried = aw * F.take(j, 0) / UT.take(iu, 0)
        less = carried / (2 * T.take(iu, 0))
        more = carried * thermo.h_T.take(iu, 0) - less * fall
        RM[iv] -= less * RU.take(iu, 0)
        forth = forth - less * E.take(iu, 0)
        M_w[iv] -= less * E_w.take(iu, 0)
        RU[iv] += more * RU.take(iu, 0)
        E_forth += more * E.take(iu, 0)
        E_w[iv] += more * E_w.take(iu, 0)
        ratio = MT / UT
        K = M - ratio * E
        forth = forth - ratio.take(iv, 0) * E_forth
        alpha, beta = ratio * RU - RM, ratio * E_w - M_w
        self._eliminate(K, forth, back, alpha, beta)
        dw = self._duration(point, at, base, alpha, beta)
        dw = np.minimum(np.maximum(dw, -SHORTENING * w), LENGTHENING * w)
        dp = alpha + beta * dw
        dT = -RU - E * dp - E_w * dw
        dT[iv] -= E_forth * dp.take(iu, 0)
        dT /= UT
        ends = np.concatenate([dp, np.zeros((2, w.size))])
        moved = Fluxes(
            F=F + Fu * ends.take(self.up, 0) + Fd * ends.take(self.down, 0),
            X=X + Xp * dp[self.nodes],
            h=point.h.copy(),
        )
        moved.h[:n] += thermo.h_T * dT + thermo.h_p * dp
        return Change(p=dp, T=dT, w=dw, fluxes=moved), thermo

    def _eliminate(self, K: Array, forth: Array, back: Array, alpha: Array, beta: Array) -> None:
        """Solve the tree for two right-hand sides, in place.

        `forth` couples the volume that a path leads to with its source, `back` the source with
        it, shape (inner path, B).
        """
        for leaf, root, i, leads in self.edges:
            below, above = (forth[i], back[i]) if leads else (back[i], forth[i])
            factor = below / K[leaf]
            K[root] -= factor * above
            alpha[root] -= factor * alpha[leaf]
            beta[root] -= factor * beta[leaf]
        alpha[self.roots] /= K[self.roots]
        beta[self.roots] /= K[self.roots]
        for leaf, root, i, leads in reversed(self.edges):
            above = back[i] if leads else forth[i]
            alpha[leaf] = (alpha[leaf] - above * alpha[root]) / K[leaf]
            beta[leaf] = (beta[leaf] - above * beta[root]) / K[leaf]

    def _duration(self, point: Point, at: Instant, base: Base, alpha: Array, beta: Array) -> Array:
        """Newton change of the duration from the piston's balance, with pressures linear in it."""
        w = np.maximum(point.w, 1e-12)
        force = self.net_force(point.p[: self.count])
        if at.target is None:
            energy = 0.5 * self.mass * (at.dx / w) ** 2
            short = base.E + at.share * force * at.dx - energy
            pull, own = at.share * self.force * at.dx, 2 * energy / w
        else:
            short, pull, own = force - at.target, self.force, np.zeros_like(w)
        bottom = (pull * beta).sum(axis=0) + own
        change = -(short + (pull * alpha).sum(axis=0)) / np.where(bottom > 0.0, bottom, 1.0)
        # With no duration that balances in reach, go on growing: the piston is stalling.
        change = np.where(bottom > 0.0, change, w)
        return np.where(at.fixed, 0.0, change)


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
