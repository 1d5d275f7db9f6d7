"""Why a piston stopped, in words that screen, report and studies share."""

from __future__ import annotations

from jacketcalc.core.outcome import Outcome
from jacketcalc.inputs import Machine
from jacketcalc.unit_display import System, say_quantity


def say_stop(outcome: Outcome) -> str:
    """Return what a machine that stopped does, to follow its name."""
    if outcome.held_by == "stage":
        return f"stalls in stage {outcome.stalls_in}"
    if outcome.held_by == "friction":
        return "cannot move: friction is larger than the drive's force"
    return "hardly moves, because the air ahead of its piston leaves too slowly"


def say_reach(machine: Machine, outcome: Outcome, system: System) -> str:
    """Return how far forces alone carry a machine that stopped."""

    def say(pressure: float) -> str:
        return say_quantity(pressure, "pressure", system)

    final = all(stage.draws_from != outcome.stalls_in for stage in machine.stages)
    if outcome.held_by == "stage" and not final:
        return (
            f"at the balance of forces that stage reaches {say(outcome.stall_reach)}, and "
            f"{say(outcome.stall_asked)} is behind its delivery valve"
        )
    reach = outcome.stall_pressure
    if outcome.held_by == "stage":
        reach = min(reach, outcome.stall_reach)
    return (
        f"at the balance of forces its final stage reaches {say(reach)}; the receiver is at "
        f"{say(machine.receiver_pressure)}"
    )
