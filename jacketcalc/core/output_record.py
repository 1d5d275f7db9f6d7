"""What a result of a machine is: its name, label, symbol and dimension, whose it is, where it is.

Screen, JSON, studies and report show no number of a machine that `catalogue.py` does not list.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from jacketcalc.core.outcome import Outcome
from jacketcalc.inputs import Machine
from jacketcalc.units import SI_UNITS

Owner = Literal["machine", "stage", "jacket", "port"]
Stated = Literal["relative", "difference", "none"]
"""How a change is stated."""
View = Literal["screen", "json", "study", "changes"]
"""Where it stands: in the table of both machines; in the JSON result above `detail`;
among a study's columns; among the changes that a study keeps."""

UNITS: Mapping[str, str] = {
    **SI_UNITS,
    "small mass": "kg",
    "hourly mass flow": "kg/s",
    "volume flow": "m3/s",
    "power": "W",
    "energy": "J",
    "heat transfer coefficient": "W/(m2 K)",
    "percent": "",
    "share": "",
}
"""SI unit of each dimension a result can have; empty where it has none."""
DIFFERENCES = {"temperature": "temperature difference", "pressure": "pressure difference"}
"""Dimensions whose differences have one of their own."""
_BEGINS: Mapping[Owner, str] = {
    "machine": "",
    "stage": "stages[{stage}].",
    "jacket": "stages[{stage}].jacket.",
    "port": "",
}


class Place(NamedTuple):
    """Which stage, and which exhaust node, a number is read of."""

    stage: int = 0
    node: int = 0

    @classmethod
    def of(cls, machine: Machine, index: int) -> Place:
        """Return a stage and the node that feeds its jacket; both ports into one share a node."""
        first = machine.exhaust_1.to == machine.stages[index].name
        return cls(index, 0 if first else 1)


@dataclass(frozen=True, kw_only=True)
class Output:
    """One result of a machine."""

    key: str
    """Stable name: its column in studies, and its field under its owner where `field` is empty."""
    label: str
    """Name for people."""
    dimension: str
    """Dimension, of `UNITS`."""
    owner: Owner = "machine"
    symbol: tuple[str, str] = ("", "")
    """Letter and index; empty where it has none."""
    field: str = ""
    """Where it stands in an `Outcome`, with `{stage}` and `{node}`, where not under its key."""
    compute: Callable[[Outcome, Place], float | None] | None = None
    """How it is made of other numbers; None where it stands in the `Outcome`."""
    change: Stated = "relative"
    on: frozenset[View] = frozenset({"screen", "json", "study"})
    digits: int = 4
    """Significant digits of the largest number of a row [-]."""
    heading: tuple[str, str] = ("", "")
    """Two short lines above a column of a study on screen, the second one its unit where empty;
    no column there without them."""
    of_delivery: bool = False
    """Whether it says nothing of a stage, or a machine, that delivers nothing."""
    needs_jacket: bool = False
    """Whether it says nothing of a machine without jackets, though it is not a jacket's."""

    @property
    def path(self) -> str:
        """Where it stands in an `Outcome` and in its JSON, with `{stage}` and `{node}`."""
        return self.field or _BEGINS[self.owner] + self.key

    @property
    def unit(self) -> str:
        """SI unit, empty where it has none."""
        return UNITS[self.dimension]

    @property
    def change_dimension(self) -> str:
        """Dimension of its change."""
        return "percent" if self.change == "relative" else DIFFERENCES.get(
            self.dimension, self.dimension)  # fmt: skip

    def at(self, place: Place) -> str:
        """Return the path of its number in one place."""
        return self.path.format(stage=place.stage, node=place.node)

    def places(self, outcome: Outcome) -> Iterator[Place]:
        """Yield the places where an outcome can have it."""
        if "{stage}" in self.path:
            yield from (Place(stage=i) for i in range(len(outcome.stages)))
        elif "{node}" in self.path:
            yield from (Place(node=i) for i in range(len(outcome.port_temperature)))
        else:
            yield Place()

    def find(self, outcome: Outcome, place: Place) -> float | None:
        """Return its SI value, None where this machine has no such part."""
        if self.compute is not None:
            return self.compute(outcome, place)
        found: Any = outcome
        for step in self.at(place).split("."):
            name, _, index = step.partition("[")
            found = getattr(found, name)
            if found is not None and index:
                found = found[int(index.removesuffix("]"))]
            if found is None:
                return None
        number: float = found
        return number

    def read(self, outcome: Outcome, place: Place) -> float | None:
        """Return its SI value, None where it says nothing of this machine."""
        whose = outcome.stages[place.stage] if self.owner in ("stage", "jacket") else outcome
        if self.of_delivery and not whose.delivers:
            return None
        if self.needs_jacket and all(stage.jacket is None for stage in outcome.stages):
            return None
        return self.find(outcome, place)

    def changed(self, new: Outcome, base: Outcome, place: Place) -> float | None:
        """Return its change from another machine, None where one of them has none."""
        one, two = self.read(new, place), self.read(base, place)
        if self.change == "none" or one is None or two is None:
            return None
        return one - two if self.change == "difference" else relative(one, two)


Outputs = tuple[Output, ...]


def relative(new: float, old: float) -> float:
    """Return the relative change; -1 when the new machine stalls, 0 when both do."""
    if old == 0.0:
        return 0.0 if new == 0.0 else float("inf")
    return new / old - 1.0
