"""The passage marched at one instant: what flows out at this pressure and this temperature.

`Passage` finds the pressure that a flow needs; here the flow is the unknown. The march goes
downstream by classical Runge-Kutta steps of fixed size, so that flow is a smooth function of
port pressure and temperature and an integrator's differences of it are clean.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .plain_passage import Passage

Array = NDArray[np.float64]

STEPS = {"tube": 4, "channel": 10}
"""Runge-Kutta steps of each part; an even number, for Simpson's rule."""
QUIET = 1.0
"""Excess over ambient pressure below which flow goes on in proportion to p^2 - ambient^2 [Pa]."""
QUIET_DIGITS = 2
"""Digits of temperature kept there: air that hardly moves is marched once in 0.01 K."""
FASTEST, LEAST_PRESSURE = 0.97, 3e4
"""Mach number [-] and pressure [Pa] at which a trial is given up; the case peaks at Mach 0.6."""
CLOSE = 1e-6
"""Last step of the logarithm of flow; a secant's error is a thousandth of it [-]."""
PRESSURE_POWER, TEMPERATURE_POWER = 0.5, -0.3
"""Powers of p^2 - ambient^2 and of temperature for the first trial, from the instant before [-]."""


class ChokedError(ArithmeticError):
    """More flow than can pass."""


@dataclass
class Trace:
    """One march downstream, its states on even points of each part."""

    spare: float
    """Momentum left over at the outlet: nought where flow and pressure fit [Pa]."""
    T: dict[str, Array]
    p: dict[str, Array]
    h0_joint: float
    h0_outlet: float


class InstantPassage:
    """Flow of a passage as a function of the pressure and temperature at its port."""

    def __init__(self, passage: Passage) -> None:
        self.passage, self.gas = passage, passage.gas
        self.marches = 0
        self.known: dict[tuple[float, float], float] = {}
        self.last = (passage.ambient_p + 1e4, 260.0, math.log(0.011))
        self.fall = -2.0

    def flow(self, p: float, T: float) -> float:
        """Mass flow at a port pressure [Pa] and temperature [K] as of this instant [kg/s]."""
        ambient = self.passage.ambient_p
        if p < ambient + QUIET:
            share = (p**2 - ambient**2) / ((ambient + QUIET) ** 2 - ambient**2)
            return share * self._known(ambient + QUIET, round(T, QUIET_DIGITS))
        return self._known(p, T)

    def _known(self, p: float, T: float) -> float:
        # Differences in other unknowns ask for the same instant again.
        if (p, T) not in self.known:
            if len(self.known) > 1000:
                self.known.clear()
            self.known[p, T] = self._find(p, T)
        return self.known[p, T]

    def _find(self, p: float, T: float) -> float:
        x, miss, _ = self._go(self._guess(p, T) + 0.2, -0.2, p, T)
        fall = self.fall
        for _ in range(60):
            step = min(max(-miss / fall, -0.3), 0.3)
            if abs(step) < CLOSE:
                self.last, self.fall = (p, T, x + step), fall
                return math.exp(x + step)
            x, new, step = self._go(x, step, p, T)
            slope = (new - miss) / step
            fall = slope if -10.0 < slope < -0.5 else fall
            miss = new
        raise ArithmeticError(f"no flow found at {p} Pa and {T} K")

    def _go(self, x: float, step: float, p: float, T: float) -> tuple[float, float, float]:
        """Take a step, cut until a march exists: more flow than can pass has none."""
        for _ in range(20):
            try:
                return x + step, self._miss(x + step, p, T), step
            except ChokedError:
                step = step / 2 if step > 0.0 else step - 0.1
        raise ArithmeticError(f"no march near {math.exp(x)} kg/s at {p} Pa and {T} K")

    def _guess(self, p: float, T: float) -> float:
        p0, T0, x = self.last
        ambient = self.passage.ambient_p
        lift = math.log((p**2 - ambient**2) / (p0**2 - ambient**2))
        return x + PRESSURE_POWER * lift + TEMPERATURE_POWER * math.log(T / T0)

    def _miss(self, x: float, p: float, T: float) -> float:
        return self.trace(math.exp(x), p, T).spare / (p - self.passage.ambient_p)

    def trace(self, flow: float, p: float, T: float) -> Trace:
        """March a flow [kg/s] from a stagnation state at the port."""
        self.marches += 1
        w = self.passage
        h0 = self.gas.enthalpy(T, p)
        G = flow / w.tube_area
        start = self._behind_port(G, h0, p)
        tube = self._follow("tube", flow, w.static(G, h0, start), start)
        G, h0_joint = w.end("tube", flow, tube[:, -1])
        entry = self._behind_joint(flow, G, h0_joint, tube[:, -1])
        channel = self._follow("channel", flow, *entry)
        G, h0_outlet = w.end("channel", flow, channel[:, -1])
        return Trace(
            spare=self._spare(flow, G, h0_outlet, channel[:, -1]),
            T={"tube": tube[0], "channel": channel[0]},
            p={"tube": tube[1], "channel": channel[1]},
            h0_joint=h0_joint,
            h0_outlet=h0_outlet,
        )

    def _follow(self, part: str, flow: float, T: float, p: float) -> Array:
        """States (T, p) on the points of a part, by the classical Runge-Kutta method."""
        steps = STEPS[part]
        dx = self.passage.lengths[part] / steps
        rows = np.empty((2, steps + 1))
        rows[:, 0] = T, p

        def slope(x: float, T: float, p: float) -> tuple[float, float]:
            if p < LEAST_PRESSURE:
                raise ChokedError
            T_x, p_x, *_, mach = self.passage.local(part, flow, x, T, p)
            if mach > FASTEST:
                raise ChokedError
            return T_x, p_x

        for k in range(steps):
            x = k * dx
            a = slope(x, T, p)
            b = slope(x + dx / 2, T + dx / 2 * a[0], p + dx / 2 * a[1])
            c = slope(x + dx / 2, T + dx / 2 * b[0], p + dx / 2 * b[1])
            d = slope(x + dx, T + dx * c[0], p + dx * c[1])
            T += dx / 6 * (a[0] + 2 * b[0] + 2 * c[0] + d[0])
            p += dx / 6 * (a[1] + 2 * b[1] + 2 * c[1] + d[1])
            rows[:, k + 1] = T, p
        return rows

    def _behind_port(self, G: float, h0: float, p: float) -> float:
        """Static pressure at the tube's start behind fitting losses [Pa]."""
        w = self.passage
        rho = float(self.gas.at(self.gas.temperature(h0, p), p).rhomass())
        drop = (1.0 + w.tube.fitting_loss) * 0.5 * G * G / rho
        before, gap_before = p, drop
        q = p - drop
        for _ in range(30):
            if q < LEAST_PRESSURE or w.mach(G, h0, q) > FASTEST:
                raise ChokedError
            gap = w.with_loss(G, h0, q, w.tube.fitting_loss) - p
            if abs(gap) < 1e-9 * p or gap == gap_before:
                return q
            step = gap * (q - before) / (gap - gap_before)
            if abs(step) < 1e-9 * p:
                return q - step
            before, gap_before = q, gap
            q -= step
        raise ArithmeticError("the pressure behind the port did not settle")

    def _behind_joint(
        self, flow: float, above: float, h0: float, end: Array
    ) -> tuple[float, float]:
        """State (T, p) at the channel's start: a widening keeps the momentum."""
        w = self.passage
        share = w.tube_area / w.area
        rho = self.gas.at(float(end[0]), float(end[1])).rhomass()
        whole = float(end[1]) + share * above * above / rho
        T, p = float(end[0]), float(end[1])
        for _ in range(60):
            s = self.gas.at(T, p)
            below, _f = w.flux("channel", flow, s)
            T = w.static(below, h0, p)
            rho = self.gas.at(T, p).rhomass()
            new = whole - (1.0 + 0.5 * w.jacket.inlet_loss) * below * below / rho
            if abs(new - p) < 1e-12 * p:
                return T, float(new)
            p = float(new)
        raise ArithmeticError("the pressure behind the joint did not settle")

    def _spare(self, flow: float, G: float, h0: float, end: Array) -> float:
        """Momentum at the channel's end less what the outlet needs [Pa]."""
        w = self.passage
        out = flow / w.outlet_area
        p = w.ambient_p
        if w.mach(out, h0, p) > 1.0:
            p = w.sonic(out, h0)
        rho = self.gas.at(w.static(out, h0, p), p).rhomass()
        needed = p + (1.0 + 0.5 * w.jacket.outlet_loss) * out * out / rho
        rho = self.gas.at(float(end[0]), float(end[1])).rhomass()
        return float(end[1]) + w.area / w.outlet_area * G * G / rho - needed
