"""A machine whose compressor gives less than it can take.

It rests: at each stroke end it waits so long that what it takes in the mean is what the compressor
gives, at the full supply pressure. Or the supply sags to the pressure at which it takes just that.
Where the receiver stands below the supply, air flows through the machine's open valves while it
rests too, so that there the supply sags either way.
"""

from __future__ import annotations

from math import exp, log

from jacketcalc.arrays import Array
from jacketcalc.errors import ConvergenceError
from jacketcalc.fill.cycle import Cycle
from jacketcalc.fill.machine_step import MachineStep, NoCycleError

MET = 1e-4
"""Share by which what is taken may miss the capacity where the supply sags [-]."""
TRIES = 24
"""Supply pressures tried for that; 2 or 3 are usual."""


class ShortSupply:
    """Solves a machine at the supply pressure that its compressor can hold.

    Parameters
    ----------
    step : the machine
    """

    def __init__(self, step: MachineStep) -> None:
        supply = step.machine.supply
        self.step, self.full = step, supply.pressure
        self.capacity, self.rests = supply.capacity, supply.when_short == "rests"
        self.least = step.machine.ambient.pressure
        self.feeds_stages = any(s.draws_from == "supply" for s in step.machine.stages)

    def solve(self, base: Array, length: float, pressure: float, time: float) -> Cycle:
        """Solve the machine; parameters are those of `MachineStep.solve`.

        Raises
        ------
        NoCycleError
            When there is no steady cycle there.
        ConvergenceError
            When no supply pressure fits the capacity.
        """
        if self.capacity is None:
            return self.step.solve(base, length, pressure, time)
        rests = self.rests and (pressure > self.full or not self.feeds_stages)
        self.step.set_capacity(self.capacity if rests else 0.0)
        if rests:
            self.step.set_supply(self.full)
            return self.step.solve(base, length, pressure, time)
        return self._sag(base, length, pressure, time, self.capacity)

    def _sag(
        self, base: Array, length: float, pressure: float, time: float, capacity: float
    ) -> Cycle:
        """Find the supply pressure at which the machine takes what the compressor gives."""
        low, high = self.least, self.full
        p, tried = self.step.supply_pressure, []
        for _ in range(TRIES):
            self.step.set_supply(p)
            try:
                cycle = self.step.solve(base, length, pressure, time)
            except NoCycleError:
                if p >= self.full:
                    raise
                low, p = p, (p * high) ** 0.5
                continue
            over = log(cycle.taken / capacity)
            if abs(over) < MET or (p >= self.full and over < 0.0):
                return cycle
            low, high = (low, p) if over > 0.0 else (p, high)
            tried.append((log(p), over))
            p = _next(tried, low, high, self.full)
        raise ConvergenceError("no supply pressure was found at which the compressor keeps up")


def _next(tried: list[tuple[float, float]], low: float, high: float, full: float) -> float:
    """Return the next pressure: secant in logarithms, between the ends of the bracket."""
    x, over = tried[-1]
    slope = 1.0
    if len(tried) > 1 and tried[-2][0] != x:
        slope = max((over - tried[-2][1]) / (x - tried[-2][0]), 0.2)
    p = exp(x - over / slope)
    if high >= full and p >= full:
        return full
    return p if low < p < high else (low * high) ** 0.5
