"""The model range: which laws are taken otherwise than nominal, in one list.

One at a time, then all together at the ends where the jackets do least and most: their benefit
grows with heat transfer in the jackets and in the cylinders, and with how warm a barrel without
jackets is. A probability is none of this; `jacketcalc uncertainty` states that.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from jacketcalc.inputs import Machine

NOMINAL = "nominal"
"""Member that is solved as the case states it."""
JACKET, MIXING, IN_CYLINDER, FILM = (
    "jacket heat transfer",
    "in-cylinder mixing",
    "in-cylinder law",
    "film outside",
)
"""What is varied, as the labels of its members begin."""
LEAST, MOST = "all together, least", "all together, most"
IN_CYLINDER_SPAN = (0.67, 2.0)
"""Factor on the in-cylinder law: scatter of the gas-spring form, and the measured accumulators that
`jacketcalc verify` lists [-]."""


@dataclass(frozen=True, kw_only=True)
class Member:
    """One way to take the laws."""

    label: str
    models: Mapping[str, Any] = field(default_factory=dict)
    """What it changes in the models."""
    ambient: Mapping[str, Any] = field(default_factory=dict)
    """What it changes outside."""

    @property
    def jackets_alone(self) -> bool:
        """Whether a machine without jackets is the same under it."""
        rest = self.without_jackets
        return not (rest.models or rest.ambient)

    @property
    def without_jackets(self) -> Member:
        """What it changes in a machine without jackets, where their heat transfer has no say."""
        return replace(self, models={k: v for k, v in self.models.items() if k != "jacket"})

    def apply(self, machine: Machine) -> Machine:
        """Return a machine with its laws taken so."""
        if not (self.models or self.ambient):
            return machine
        return replace(
            machine,
            models=replace(machine.models, **self.models),
            ambient=replace(machine.ambient, **self.ambient),
        )


def list_members(machine: Machine, *, ranged: bool = True) -> tuple[Member, ...]:
    """Return the members of a machine's model range, the nominal one first.

    Parameters
    ----------
    machine : the machine
    ranged : whether more than the nominal one is asked for
    """
    nominal = Member(label=NOMINAL)
    if not ranged:
        return (nominal,)
    stated = machine.models.in_cylinder_factor
    low, high = (factor * stated for factor in IN_CYLINDER_SPAN)
    still, draught = machine.ambient.film_factor_low, machine.ambient.film_factor_high
    return (
        nominal,
        Member(label=f"{JACKET} low", models={"jacket": "low"}),
        Member(label=f"{JACKET} high", models={"jacket": "high"}),
        Member(label=f"{MIXING} none", models={"mixing": 0.0}),
        Member(label=f"{MIXING} full", models={"mixing": 1.0}),
        Member(label=f"{IN_CYLINDER} x {IN_CYLINDER_SPAN[0]:g}",
               models={"in_cylinder_factor": low}),
        Member(label=f"{IN_CYLINDER} x {IN_CYLINDER_SPAN[1]:g}",
               models={"in_cylinder_factor": high}),
        Member(label=f"{FILM} x {still:g}", ambient={"film_factor": still}),
        Member(label=f"{FILM} x {draught:g}", ambient={"film_factor": draught}),
        Member(label=LEAST, ambient={"film_factor": draught},
               models={"jacket": "low", "mixing": 0.0, "in_cylinder_factor": low}),
        Member(label=MOST, ambient={"film_factor": still},
               models={"jacket": "high", "mixing": 1.0, "in_cylinder_factor": high}),
    )  # fmt: skip
