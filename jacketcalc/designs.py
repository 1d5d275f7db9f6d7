"""A machine with the switches that a question about it sets."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from jacketcalc.inputs import Closure, Machine

Resistance = Literal["all", "tube", "none"]


@dataclass(frozen=True, kw_only=True)
class OwnLaws:
    """Laws of a user's own for the channels, given in Python and named in the result."""

    name: str
    """Name that notes and reports give them."""
    nusselt: Callable[[float, float], float] | None = None
    """Nusselt number over Reynolds and Prandtl number on the hydraulic diameter; None: the
    closure's."""
    friction: Callable[[float], float] | None = None
    """Darcy friction factor over Reynolds number; None: the package's."""
    turbulent: Callable[[float, float, float], float] | None = None
    """Nusselt number of turbulent flow in an annulus over Reynolds number, Prandtl number and ratio
    of radii, in place of the base of the closures `low` and `nominal`; their factors, blends and
    floors stay."""


@dataclass(frozen=True, kw_only=True)
class Design:
    """One machine with the switches that a question about it sets."""

    machine: Machine
    heat: bool = True
    """Jacket passages exchange heat with the barrels."""
    resistance: Resistance = "all"
    """What resists the exhaust: the whole passage, its tube and silencer alone, or nothing."""
    conductance_factor: float = 1.0
    """Multiplier on the passages' flow at given pressures [-]."""
    laws: OwnLaws | None = None
    """Laws of a user's own; None: those the machine's models name."""

    @property
    def resisting_machine(self) -> Machine:
        """The machine whose passages set the flow curves."""
        return without_jackets(self.machine) if self.resistance == "tube" else self.machine

    @property
    def closure(self) -> Closure:
        """Name of the passage heat-transfer closure."""
        return self.machine.models.jacket


def without_jackets(machine: Machine, *, tubes: bool = True) -> Machine:
    """Return a machine without jackets; its routing is kept."""
    exhausts = (machine.exhaust_1, machine.exhaust_2)
    if not tubes:
        exhausts = (
            dataclasses.replace(exhausts[0], tube=None, silencer=None),
            dataclasses.replace(exhausts[1], tube=None, silencer=None),
        )
    return dataclasses.replace(
        machine,
        stages=tuple(dataclasses.replace(s, jacket=None) for s in machine.stages),
        exhaust_1=exhausts[0],
        exhaust_2=exhausts[1],
    )


def port_stages(machine: Machine) -> tuple[int, ...]:
    """Return, for each exhaust node, the index of the stage it feeds, or -1.

    Both ports sent to one jacket share one node.
    """
    names = [s.name for s in machine.stages]
    wanted = [machine.exhaust_1.to, machine.exhaust_2.to]
    if wanted[0] == wanted[1] != "atmosphere":
        wanted = wanted[:1]
    return tuple(names.index(to) if to in names else -1 for to in wanted)


def port_numbers(machine: Machine) -> tuple[tuple[int, ...], ...]:
    """Return the drive ports that each exhaust node serves."""
    return ((1, 2),) if len(port_stages(machine)) == 1 else ((1,), (2,))
