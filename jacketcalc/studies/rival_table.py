"""Rivals of the jackets as data: each row a machine, with what was assumed for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import relative
from jacketcalc.inputs import Case

Way = Literal[
    "jackets", "wider tubes", "larger valve", "no silencer", "cooler", "fan", "exhaust cooler",
    "water",
]  # fmt: skip
"""What may be done to a machine, alone or together."""

Kind = Literal["stands", "single", "pair", "own"]
"""What a row is."""


@dataclass(frozen=True, kw_only=True)
class RivalTerms:
    """What is assumed for rivals that no case states."""

    cooler: float | None = None
    """Conductance of the cooler between the stages; None: twice the line's, at least 20 [W/K]."""
    exchanger: float = 10.0
    """Conductance of the exchanger through which the exhaust cools the line [W/K]."""
    fan_speed: float = 3.0
    """Speed of the air blown across barrels and heads [m/s]."""
    water_flow: float = 2e-3 / 60.0
    """Volume flow of the water round the barrels [m3/s]."""
    water_temperature: float = 288.15
    """Temperature at which that water comes in [K]."""
    water_gap: float = 3e-3
    """Radial gap through which it flows along each barrel [m]."""


LIMITS = {
    "cooler": (0.0, 1e4),
    "exchanger": (1e-3, 1e4),
    "fan_speed": (0.1, 100.0),
    "water_flow": (1e-7, 1e-1),
    "water_temperature": (273.15, 373.15),
    "water_gap": (1e-4, 0.1),
}
"""What each of these numbers can be, in its unit."""


@dataclass(frozen=True, kw_only=True)
class RivalRow:
    """One machine of the table."""

    name: str
    ways: tuple[Way, ...]
    """What is done to the machine as it stands."""
    entries: tuple[tuple[str, str], ...]
    """Entries of the case that are changed: key and what is typed, empty where it goes."""
    assumed: str
    """What was assumed, in a phrase."""
    outcome: Outcome | None
    """What it does; None where it could not be built or did not settle."""
    broken: tuple[str, ...] = ()
    """Limits that it breaks."""
    limits: int = 0
    """Limits in all [-]."""
    failure: str = ""
    """Why there is no outcome; empty where there is one."""
    kind: Kind = "single"

    @property
    def single(self) -> bool:
        """Whether it is one way, with the jackets where it needs them."""
        return self.kind == "single"

    @property
    def paired(self) -> bool:
        """Whether it is two single ways together."""
        return self.kind == "pair"

    @property
    def delivers(self) -> bool:
        """Whether there is a machine that delivers."""
        return self.outcome is not None and self.outcome.delivers


@dataclass(frozen=True, kw_only=True)
class RivalTable:
    """A machine as it stands, the jackets, and what else could be done."""

    case: Case
    terms: RivalTerms
    reference: str
    """The machine as it stands, in words."""
    rows: tuple[RivalRow, ...]
    """The machine as it stands, single ways, the best pairs, then rows of the user's own."""
    left_out: tuple[str, ...]
    """Ways that this machine has no place for, each with its reason."""
    solved: int
    """Machines solved [-]."""

    @property
    def stands(self) -> RivalRow:
        """The machine as it stands."""
        return self.rows[0]

    def changes(self, row: RivalRow) -> RivalChange | None:
        """Return what a row changes of the machine as it stands; None where one is idle."""
        if not (row.delivers and self.stands.delivers):
            return None
        assert row.outcome is not None and self.stands.outcome is not None
        new, old = row.outcome, self.stands.outcome
        return RivalChange(
            delivery=relative(new.delivered_mass_flow, old.delivered_mass_flow),
            air=relative(new.specific_air_consumption, old.specific_air_consumption),
            gas=new.hottest_gas - old.hottest_gas,
            discharge=new.hottest_discharge - old.hottest_discharge,
            seal=new.hottest_seal - old.hottest_seal,
        )


@dataclass(frozen=True, kw_only=True)
class RivalChange:
    """A row against the machine as it stands."""

    delivery: float
    """Relative change of delivery [-]."""
    air: float
    """Relative change of the specific air consumption [-]."""
    gas: float
    """Difference of the hottest gas [K]."""
    discharge: float
    """Difference of the hottest mean discharge temperature [K]."""
    seal: float
    """Difference of the hottest wall at a seal [K]."""
