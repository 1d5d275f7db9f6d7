"""The receiver pressure at which what the machine delivers and what the receiver holds agree.

Machine and receiver are each solved over the same implicit step; inflow and its enthalpy pass from
one to the other, so that mass and energy agree in any case.
"""

from __future__ import annotations

from jacketcalc.arrays import Array
from jacketcalc.errors import ConvergenceError
from jacketcalc.fill.cycle import Cycle
from jacketcalc.fill.machine_step import MachineStep
from jacketcalc.fill.receiver import Held, Vessel
from jacketcalc.fill.short_supply import ShortSupply

AGREED = 1e-4
"""Share of the inflow that a difference of pressures between machine and receiver may stand for
[-]."""
STIFFEST, LEAST_ELASTICITY = 10.0, 0.2
"""Change of inflow with pressure, both relative: before it is known, and at least [-]."""
TRIES = 16
"""Pressures tried; 1 or 2 are usual."""


class Joint:
    """A machine and the receiver that it fills, solved together.

    Parameters
    ----------
    machine : the machine, at its start
    vessel : the receiver
    """

    def __init__(self, machine: MachineStep, vessel: Vessel) -> None:
        self.machine, self.vessel = machine, vessel
        self.supply = ShortSupply(machine)
        self.cycle: Cycle | None = None
        self._passed: list[tuple[float, float, float]] = []
        self._elasticity, self._inflow = STIFFEST, 0.0

    @property
    def period(self) -> float:
        """Cycle time of the last solution [s]."""
        return self.cycle.period if self.cycle else float(self.machine.found["period"])

    def last_cycle(self) -> Cycle:
        """Return what the last solution's cycles carry."""
        assert self.cycle is not None
        return self.cycle

    def solve(self, base: Array, part: float, near: Held, time: float) -> tuple[Held, Array]:
        """Return the receiver and the machine's state at the end of an implicit step.

        Parameters
        ----------
        base : receiver, then walls and contents of the machine, that the step starts from [SI]
        part : length of the step [s]
        near : a state near the one looked for
        time : at its end, since the start of the fill [s]

        Raises
        ------
        ConvergenceError
            When no pressure was found.
        """
        then = Held(
            mass=float(base[0]), energy=float(base[1]), wall=float(base[2]),
            temperature=near.temperature, pressure=near.pressure, heat=0.0, heat_out=0.0,
        )  # fmt: skip
        if self.cycle is not None:
            near = self._foresee(then, part, near)
        tried: list[tuple[float, float]] = []
        p = near.pressure
        for _ in range(TRIES):
            c = self.supply.solve(base[3:], part, p, time)
            self._note(c, p, first=not tried)
            now = self.vessel.settle(then, part, c.delivered, c.delivered_enthalpy, near)
            if tried and c.delivered > 0.0 and p != tried[-1][0]:
                rise = (c.delivered - self._inflow) / c.delivered
                self._elasticity = max(abs(rise * p / (p - tried[-1][0])), LEAST_ELASTICITY)
            self._inflow = c.delivered
            tried.append((p, now.pressure - p))
            if abs(now.pressure - p) * self._elasticity <= AGREED * p:
                return now, self.machine.state()
            p = _next_pressure(tried, now.pressure)
        raise ConvergenceError("receiver and machine did not agree")

    def _foresee(self, then: Held, part: float, near: Held) -> Held:
        """Return the receiver for the inflow that its course so far foretells."""
        for _ in range(2):
            inflow, enthalpy = self._course(near.pressure)
            near = self.vessel.settle(then, part, inflow, inflow * enthalpy, near)
        return near

    def _course(self, pressure: float) -> tuple[float, float]:
        """Carry inflow [kg/s] and its enthalpy [J/kg] on from the last two instants."""
        p1, m1, h1 = self._passed[-1]
        if len(self._passed) < 2:
            return m1, h1
        p0, m0, h0 = self._passed[0]
        share = (pressure - p1) / (p1 - p0) if p1 != p0 else 0.0
        share = min(max(share, -1.0), 2.0)
        return max(m1 + share * (m1 - m0), 0.0), h1 + share * (h1 - h0)

    def _note(self, cycle: Cycle, pressure: float, first: bool) -> None:
        """Keep a cycle, in place of an earlier one of the same instant."""
        if not first:
            self._passed.pop()
        m = cycle.delivered
        self._passed = [*self._passed[-1:], (pressure, m, cycle.delivered_enthalpy / max(m, 1e-12))]
        self.cycle = cycle


def _next_pressure(tried: list[tuple[float, float]], answer: float) -> float:
    """Return the next pressure to try: secant, kept between pressures that bracket the answer."""
    if len(tried) == 1:
        return answer
    (p1, f1), (p2, f2) = tried[-2:]
    p = p2 - f2 * (p2 - p1) / (f2 - f1) if f1 != f2 else answer
    low = max((q for q, f in tried if f > 0.0), default=0.0)
    high = min((q for q, f in tried if f < 0.0), default=float("inf"))
    if low < p < high:
        return p
    return 0.5 * (low + high) if low > 0.0 and high < float("inf") else answer
