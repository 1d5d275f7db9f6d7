"""Headline numbers of two cases side by side: which, and how they change."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from jacketcalc.assessment.result import Assessment
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import Output, Place

Machine = Literal["no_jackets", "with_jackets"]
MACHINES: tuple[Machine, ...] = ("no_jackets", "with_jackets")
HEADLINES = (
    "delivered_mass_flow",
    "delivered_volume_flow",
    "cycle_rate",
    "drive_air_mass_flow",
    "specific_air_consumption",
    "hottest_discharge",
    "hottest_gas",
    "hottest_seal",
    "force_margin",
    "stall_pressure",
)
"""Results of a whole machine that are compared, by their keys in the catalogue."""


@dataclass(frozen=True, kw_only=True)
class HeadlineRow:
    """One result of one machine in both cases."""

    output: Output
    machine: Machine
    was: float | None
    """Value in the first case, in SI; None where it has none."""
    now: float | None
    """Value in the second case, in SI; None where it has none."""
    change: float | None
    """Change as the result states it, in SI; None where there is none."""


def headline_rows(was: Assessment, now: Assessment) -> Iterator[HeadlineRow]:
    """Yield the headline numbers of both cases, those without jackets first."""
    outputs = {output.key: output for output in OUTPUTS}
    for machine in MACHINES:
        old, new = (machine_of(found, machine) for found in (was, now))
        for key in HEADLINES:
            output = outputs[key]
            first, second = (_read(output, outcome) for outcome in (old, new))
            missing = first is None or second is None
            change = None if missing else output.changed(new, old, Place())
            yield HeadlineRow(output=output, machine=machine, was=first, now=second, change=change)


def machine_of(found: Assessment, machine: Machine) -> Outcome:
    """Return one of the two machines that an assessment compares."""
    return found.bare if machine == "no_jackets" else found.jacketed


def _read(output: Output, outcome: Outcome) -> float | None:
    """Return a number; of a machine that stalls, where it stalls and how near it is alone."""
    if outcome.stalled and output.key not in ("force_margin", "stall_pressure"):
        return None
    return output.read(outcome, Place())
