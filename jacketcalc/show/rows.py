"""The rows of the side-by-side table, of screen and report: which results, read where."""

from __future__ import annotations

from typing import NamedTuple

from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import Output, Outputs, Place
from jacketcalc.inputs import Machine


class ResultRow(NamedTuple):
    """One result in one place of a machine."""

    output: Output
    place: Place

    def read(self, outcome: Outcome) -> float | None:
        """Return its SI value, None where this machine has none."""
        return None if outcome.stalled else self.output.read(outcome, self.place)

    def path(self, machine: str) -> str:
        """Return where it stands in the JSON result, below the path of a machine."""
        return f"{machine}.{self.output.at(self.place)}"


def machine_rows(outputs: Outputs) -> list[ResultRow]:
    """Return the rows of the whole machine."""
    return [ResultRow(o, Place()) for o in outputs if "screen" in o.on and o.owner == "machine"]


def stage_rows(outputs: Outputs, machine: Machine, index: int, *, jacket: bool) -> list[ResultRow]:
    """Return the rows of one stage, and of the exhaust that feeds its jacket where it has one."""
    place = Place.of(machine, index)
    shown = [o for o in outputs if "screen" in o.on and o.owner != "machine"]
    own = [ResultRow(o, place) for o in shown if o.owner == "stage"]
    return own + [ResultRow(o, place) for o in shown if jacket and o.owner != "stage"]
