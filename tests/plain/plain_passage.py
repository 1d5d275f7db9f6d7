"""Tube, helical channel and outlet: the compressible equations integrated from outlet to port.

Unknown along x are temperature and pressure of the real gas; momentum
dp + G2 dv + f G2 v dx/(2D) = 0 and energy d(h + V2/2) = q dx/m are solved for both slopes
and given to scipy. The stagnation enthalpy at the outlet is found by shooting.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import CoolProp as C
import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from . import plain_laws as laws

Array = NDArray[np.float64]

POINTS = 61
"""Points along tube and channel at which a march is kept."""
MISS = 10.0
"""Enthalpy by which a march from the outlet may miss the port: 0.01 K [J/kg]."""
SLOW = 4e-3
"""Mass flow below which a march goes downstream: upstream, temperature runs away [kg/s]."""


@dataclass
class Profile:
    """One march, on even points from port to outlet of each part."""

    p_port: float
    h0_port: float
    h0_joint: float
    h0_outlet: float
    T: dict[str, Array]
    p: dict[str, Array]
    inner: Array
    """h x perimeter to the barrel along the channel [W/(m K)]."""
    outer: dict[str, Array]
    """h x perimeter to tube or shell [W/(m K)]."""
    seen: dict[str, Array]
    """Adiabatic wall temperature [K]."""
    mach: float


class Passage:
    """One port's exhaust passage; `stage` is None without a jacket."""

    def __init__(self, gas: laws.Gas, exhaust: Any, stage: Any, ambient_p: float) -> None:
        self.gas, self.ambient_p = gas, ambient_p
        self.tube = t = exhaust.tube
        self.jacket = j = stage.jacket if stage is not None else None
        if t is None or j is None or exhaust.silencer is not None:
            raise ValueError("the plain passage has a tube, a jacket and an open outlet")
        self.tube_area = math.pi / 4 * t.bore**2
        self.outside = stage.bore + 2 * stage.wall_thickness
        mean, shell = self.outside + j.gap, self.outside + 2 * j.gap
        lead = j.pitch * j.starts
        self.length = j.length / lead * math.sqrt((math.pi * mean) ** 2 + lead**2)
        slant = math.pi * mean / math.sqrt((math.pi * mean) ** 2 + lead**2)
        width = (j.pitch - j.rib) * slant
        self.area = j.starts * j.gap * width
        self.Dh = 4 * j.gap * width / (2 * (j.gap + width))
        self.Dc = mean * (1 + (lead / (math.pi * mean)) ** 2)
        self.aspect, self.ratio = j.gap / width, self.outside / shell
        self.floor = j.starts * width * self.outside / mean
        self.roof = j.starts * width * shell / mean
        self.fin_height = j.gap - j.tip_clearance
        self.sides = 2 * j.starts * self.fin_height if j.rib_joint == "barrel" else 0.0
        self.metal = stage.material.conductivity
        self.slot = math.pi * mean * j.tip_clearance
        self.turn = math.sqrt((math.pi * mean) ** 2 + lead**2) / j.starts
        self.outlet_area = math.pi / 4 * j.outlet_bore**2
        self.volume = self.tube_area * t.length + self.area * self.length
        self.shell_outside = shell + 2 * j.shell_thickness
        self.shell_wall = math.log(self.shell_outside / shell) / (
            2 * math.pi * j.shell.conductivity
        )
        self.tube_outside = t.bore + 2 * t.wall
        self.tube_wall = math.log(self.tube_outside / t.bore) / (
            2 * math.pi * t.material.conductivity
        )
        head = j.inlet_at == "head"
        self.z0 = j.offset if head else j.offset + j.length
        self.z1 = j.offset + j.length if head else j.offset
        self.lengths = {"tube": t.length, "channel": self.length}
        self.walls: dict[str, Array] = {}
        self.outlet_h0 = 0.0
        self.slow = (1e-4, 20.0)

    def set_walls(self, barrel: Array, tube: Array, shell: Array) -> None:
        """Give wall temperatures on even points from port to outlet [K]."""
        self.walls = {"barrel": barrel, "tube": tube, "shell": shell}

    def flux(self, part: str, flow: float, s: Any) -> tuple[float, float]:
        """Mass flux along the passage [kg/(m2 s)] and Darcy friction factor."""
        mu = s.viscosity()
        if part == "tube":
            G = flow / self.tube_area
            return G, laws.tube_friction(
                G * self.tube.bore / mu, self.tube.roughness / self.tube.bore
            )
        j, share = self.jacket, 0.1
        for _ in range(8):
            G = flow / self.area * (1.0 - share)
            f = laws.channel_friction(
                G * self.Dh / mu, self.Dh, self.Dc, self.aspect, j.roughness / self.Dh
            )
            if j.tip_clearance <= 0.0:
                return flow / self.area, f
            drop = f * self.turn / self.Dh
            loss = 2.5
            for _ in range(8):
                Re = max(math.sqrt(drop / loss) * G * 2 * j.tip_clearance / mu, 1.0)
                loss = 1.5 + 96.0 / Re * j.rib / (2 * j.tip_clearance)
            ratio = self.slot / self.area * math.sqrt(drop / loss)
            new = ratio / (1 + ratio)
            if abs(new - share) < 1e-7:
                break
            share = new
        return G, f

    def local(self, part: str, flow: float, x: float, T: float, p: float) -> tuple[float, ...]:
        """Slopes of T and p downstream, and what the walls feel."""
        s = self.gas.at(T, p)
        rho, cp, mu, k = s.rhomass(), s.cpmass(), s.viscosity(), s.conductivity()
        rho_p = s.first_partial_deriv(C.iDmass, C.iP, C.iT)
        rho_T = s.first_partial_deriv(C.iDmass, C.iT, C.iP)
        h_p = s.first_partial_deriv(C.iHmass, C.iP, C.iT)
        sound = s.speed_sound()
        G, f = self.flux(part, flow, s)
        Pr, V = mu * cp / k, G / rho
        seen = T + Pr ** (1 / 3) * V * V / (2 * cp)
        n = POINTS - 1
        if part == "tube":
            D = self.tube.bore
            h = laws.tube_nusselt(G * D / mu, Pr, self.tube.length / D) * k / D
            inner, outer = 0.0, h * math.pi * D
            wall = np.interp(x / self.tube.length * n, range(POINTS), self.walls["tube"])
            q = outer * (wall - seen)
        else:
            D = self.Dh
            place = x / self.length * n
            barrel = float(np.interp(place, range(POINTS), self.walls["barrel"]))
            shell = float(np.interp(place, range(POINTS), self.walls["shell"]))
            Re = G * D / mu
            slenderness = self.length / D
            Nu = laws.channel_nusselt(Re, Pr, D, self.Dc, self.aspect, self.ratio, slenderness)
            h = Nu * laws.heated_gas(T, barrel, Re) * k / D
            eta = laws.fin(h, self.metal, self.jacket.rib, self.fin_height)
            inner, outer = h * (self.floor + self.sides * eta), h * self.roof
            q = inner * (barrel - seen) + outer * (shell - seen)
        v = 1 / rho
        v_p, v_T = -rho_p * v * v, -rho_T * v * v
        a11, a12, r1 = 1 + G * G * v_p, G * G * v_T, -f * G * G * v / (2 * D)
        a21, a22, r2 = h_p + G * G * v * v_p, cp + G * G * v * v_T, q / flow
        det = a11 * a22 - a12 * a21
        return (
            (a11 * r2 - a21 * r1) / det,
            (r1 * a22 - r2 * a12) / det,
            inner,
            outer,
            seen,
            V / sound,
        )

    def follow(self, part: str, flow: float, T: float, p: float, start: float, end: float) -> Any:
        """Integrate a part from one end to the other, in either direction."""

        def slope(x: float, z: Array) -> list[float]:
            # A trial step may overshoot near the speed of sound; the solver then rejects it.
            T, p = min(max(float(z[0]), 110.0), 600.0), max(float(z[1]), 2e4)
            return list(self.local(part, flow, x, T, p)[:2])

        found = solve_ivp(
            slope, (start, end), [T, p], method="DOP853", rtol=1e-7, atol=[1e-5, 1e-2],
            dense_output=True, first_step=1e-5,
        )  # fmt: skip
        if not found.success:
            raise ArithmeticError(found.message)
        return found

    def static(self, G: float, h0: float, p: float) -> float:
        """Static temperature where pressure, flux and stagnation enthalpy are given."""
        T = self.gas.temperature(h0, p)
        for _ in range(60):
            s = self.gas.at(T, p)
            rho, cp = s.rhomass(), s.cpmass()
            kinetic = 0.5 * (G / rho) ** 2
            step = (h0 - s.hmass() - kinetic) / (cp + 2 * kinetic / T)
            T = max(T + step, 60.0)
            if abs(step) < 1e-8:
                break
        return T

    def mach(self, G: float, h0: float, p: float) -> float:
        """Mach number of a section."""
        s = self.gas.at(self.static(G, h0, p), p)
        return float(G / s.rhomass() / s.speed_sound())

    def stagnation(self, G: float, h0: float, p: float) -> float:
        """Isentropic stagnation pressure of a section [Pa]."""
        s = self.gas.at(self.static(G, h0, p), p)
        entropy, rho = s.smass(), s.rhomass()
        p0, T0 = p + 0.5 * G * G / rho, self.gas.temperature(h0, p)
        for _ in range(60):
            T0 = self.gas.temperature(h0, p0, T0)
            s = self.gas.at(T0, p0)
            step = (s.smass() - entropy) * T0 * s.rhomass()
            p0 += step
            if abs(step) < 1e-7 * p0:
                break
        return p0

    def sonic(self, G: float, h0: float) -> float:
        """Static pressure at which a section chokes [Pa]."""
        T0 = self.gas.temperature(h0, 1e5)
        guess = G * math.sqrt(287.0 * 2 * T0 / (1.4 * 2.4))
        return float(
            brentq(lambda p: self.mach(G, h0, p) - 1.0, 0.7 * guess, 1.4 * guess, rtol=1e-9)
        )

    def after_loss(self, G: float, h0: float, head: float) -> tuple[float, bool]:
        """Static pressure before a change of section that leaves a head; True if it chokes."""
        least = self.sonic(G, h0) * (1 + 2e-4)
        if self.stagnation(G, h0, least) >= head:
            return least, True
        p = brentq(lambda q: self.stagnation(G, h0, q) - head, least, head, rtol=1e-9)
        return float(p), False

    def with_loss(self, G: float, h0: float, p: float, loss: float) -> float:
        """Stagnation pressure before an entry with a loss on its dynamic pressure [Pa]."""
        rho = self.gas.at(self.static(G, h0, p), p).rhomass()
        return self.stagnation(G, h0, p) + loss * 0.5 * G * G / float(rho)

    def before_change(
        self, above: float, below: float, share: float, h0: float, p: float, loss: float
    ) -> float:
        """Static pressure before a change of section, from the pressure behind it [Pa].

        A widening keeps the momentum that the full section feels (Borda and Carnot); a narrowing
        keeps the stagnation pressure. A loss on the dynamic pressure behind comes on top.
        Given are mass flux above and below [kg/(m2 s)] and the section above over that below.
        """
        if share >= 1.0:
            return self.after_loss(above, h0, self.with_loss(below, h0, p, loss))[0]
        rho = float(self.gas.at(self.static(below, h0, p), p).rhomass())
        behind = p + (1.0 + 0.5 * loss) * below * below / rho

        def spare(q: float) -> float:
            rho = float(self.gas.at(self.static(above, h0, q), q).rhomass())
            return q + share * above * above / rho - behind

        least = self.sonic(above, h0) * (1 + 2e-4)
        if spare(least) >= 0.0:
            return least
        return float(brentq(spare, least, behind, rtol=1e-12))

    def before_joint(self, flow: float, G: float, h0: float, p: float) -> float:
        """Static pressure at the tube's end from flux and pressure at the channel's start [Pa]."""
        share = self.tube_area / self.area
        return self.before_change(flow / self.tube_area, G, share, h0, p, self.jacket.inlet_loss)

    def before_outlet(self, flow: float, G: float, h0: float) -> float:
        """Static pressure that a flux needs at the channel's end [Pa]."""
        out = flow / self.outlet_area
        p = max(self.ambient_p, self.sonic(out, h0))
        share = self.area / self.outlet_area
        return self.before_change(G, out, share, h0, p, self.jacket.outlet_loss)

    def end(self, part: str, flow: float, z: Array) -> tuple[float, float]:
        """Mass flux and stagnation enthalpy at a state (T, p) of a part."""
        s = self.gas.at(float(z[0]), float(z[1]))
        G, _ = self.flux(part, flow, s)
        s = self.gas.at(float(z[0]), float(z[1]))
        return G, s.hmass() + 0.5 * (G / s.rhomass()) ** 2

    def from_outlet(self, flow: float, h0_outlet: float) -> tuple[Any, ...]:
        """March upstream with a guess of the stagnation enthalpy at the outlet."""
        near = self.gas.at(self.gas.temperature(h0_outlet, self.ambient_p), self.ambient_p)
        p = self.ambient_p
        for _ in range(2):
            G, _ = self.flux("channel", flow, near)
            p = self.before_outlet(flow, G, h0_outlet)
            T = self.static(G, h0_outlet, p)
            near = self.gas.at(T, p)
        peak = self.mach(G, h0_outlet, p)
        channel = self.follow("channel", flow, T, p, self.length, 0.0)
        G, h0 = self.end("channel", flow, channel.y[:, -1])
        p = self.before_joint(flow, G, h0, float(channel.y[1, -1]))
        G = flow / self.tube_area
        peak = max(peak, self.mach(G, h0, p))
        tube = self.follow("tube", flow, self.static(G, h0, p), p, self.tube.length, 0.0)
        G, h0_port = self.end("tube", flow, tube.y[:, -1])
        p_port = self.with_loss(G, h0_port, float(tube.y[1, -1]), self.tube.fitting_loss)
        return p_port, h0_port, h0, h0_outlet, channel, tube, peak

    def from_port(self, flow: float, T_port: float, p: float) -> tuple[float, tuple[Any, ...]]:
        """March downstream with a guess of the tube's first static pressure; slow flows only.

        Returns the stagnation pressure to spare at the outlet [Pa] with the march.
        """
        G = flow / self.tube_area
        h0_port = self.gas.enthalpy(T_port, p)
        p_port = self.with_loss(G, h0_port, p, self.tube.fitting_loss)
        tube = self.follow("tube", flow, self.static(G, h0_port, p), p, 0.0, self.tube.length)
        G, h0 = self.end("tube", flow, tube.y[:, -1])
        p = float(tube.y[1, -1])
        G, _ = self.flux("channel", flow, self.gas.at(*map(float, tube.y[:, -1])))
        entry = brentq(
            lambda q: self.before_joint(flow, G, h0, q) - p, 0.9 * p, 1.1 * p, rtol=1e-12
        )
        T = self.static(G, h0, float(entry))
        channel = self.follow("channel", flow, T, float(entry), 0.0, self.length)
        G, h0_outlet = self.end("channel", flow, channel.y[:, -1])
        end = float(channel.y[1, -1])
        spare, peak = end - self.before_outlet(flow, G, h0_outlet), self.mach(G, h0_outlet, end)
        return spare, (p_port, h0_port, h0, h0_outlet, channel, tube, peak)

    def march(self, flow: float, T_port: float) -> Profile:
        """Find the march that starts from a stagnation temperature at the port."""
        return self._keep(
            flow, self._slow(flow, T_port) if flow < SLOW else self._fast(flow, T_port)
        )

    def _fast(self, flow: float, T_port: float) -> tuple[Any, ...]:
        def miss(h0: float) -> tuple[float, tuple[Any, ...]]:
            shot = self.from_outlet(flow, h0)
            return shot[1] - self.gas.enthalpy(T_port, shot[0]), shot

        # A march of nearly the same flow is the best guess where errors grow upstream.
        a = self.outlet_h0 or self.gas.enthalpy(T_port + 5.0, self.ambient_p)
        ra, _ = miss(a)
        b = a + 50.0
        for _ in range(60):
            rb, shot = miss(b)
            if abs(rb) < MISS:
                return shot
            step = rb * (b - a) / (rb - ra) if rb != ra else 0.5 * rb
            a, ra, b = b, rb, b - min(max(step, -6000.0), 6000.0)
        raise ArithmeticError(f"the shooting missed by {rb} J/kg at {flow} kg/s and {T_port} K")

    def _slow(self, flow: float, T_port: float) -> tuple[Any, ...]:
        excess = self.slow[1] * (flow / self.slow[0]) ** 1.8
        a, b = self.ambient_p + excess, self.ambient_p + 1.01 * excess + 0.5
        ra, _ = self.from_port(flow, T_port, a)
        for _ in range(30):
            rb, shot = self.from_port(flow, T_port, b)
            if abs(rb) < 1e-6 * (b - self.ambient_p) + 1e-3:
                self.slow = (flow, b - self.ambient_p)
                return shot
            a, ra, b = b, rb, b - rb * (b - a) / (rb - ra)
        raise ArithmeticError("the shooting did not settle")

    def _keep(self, flow: float, shot: tuple[Any, ...]) -> Profile:
        p_port, h0_port, h0, h0_outlet, channel, tube, peak = shot
        self.outlet_h0 = h0_outlet
        T, p, outer, seen = {}, {}, {}, {}
        inner = np.zeros(POINTS)
        for part, found in (("tube", tube), ("channel", channel)):
            L = self.lengths[part]
            x = np.linspace(0.0, L, POINTS)
            T[part], p[part] = found.sol(x)
            rows = [self.local(part, flow, *row) for row in zip(x, T[part], p[part], strict=True)]
            outer[part] = np.array([r[3] for r in rows])
            seen[part] = np.array([r[4] for r in rows])
            if part == "channel":
                inner = np.array([r[2] for r in rows])
        return Profile(p_port, h0_port, h0, h0_outlet, T, p, inner, outer, seen, peak)
