"""Whether the compressor that makes the supply air gives what the machine takes."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.core.outcome import Outcome
from jacketcalc.flow_data import REFERENCE_DENSITY
from jacketcalc.inputs import Machine
from jacketcalc.unit_display import System, display_unit, to_display

ENOUGH = 0.005
"""Share by which a need may pass the capacity and still be called met: rounding [-]."""


@dataclass(frozen=True, kw_only=True)
class SupplyShare:
    """What a machine takes of its compressor's air."""

    need: float
    """Air that drive and first stage take while the machine runs; the drive alone where the stages
    draw from a source [kg/s]."""
    capacity: float
    """Air that the compressor delivers [kg/s]."""

    @property
    def running(self) -> float:
        """Share of the time that the machine can run at its supply pressure, at most 1 [-]."""
        return min(1.0, self.capacity / self.need) if self.need > 0.0 else 1.0

    @property
    def suffices(self) -> bool:
        """Whether the compressor keeps up."""
        return self.need <= (1.0 + ENOUGH) * self.capacity


def supply_share(machine: Machine, outcome: Outcome) -> SupplyShare | None:
    """Return what a machine takes of its compressor; None where no capacity is stated."""
    if machine.supply.capacity is None:
        return None
    need = outcome.drive_air_mass_flow
    if any(stage.draws_from == "supply" for stage in machine.stages):
        need += outcome.delivered_mass_flow
    return SupplyShare(need=need, capacity=machine.supply.capacity)


def describe_share(share: SupplyShare, system: System = "SI") -> str:
    """Say in one sentence what the compressor gives of what is needed."""
    need, capacity = _flow(share.need, system), _flow(share.capacity, system)
    start = f"This machine needs {need} {display_unit('volume flow', system)} (ANR); "
    if share.suffices:
        return start + f"the compressor gives {capacity}, which suffices."
    return (
        start + f"the compressor gives {capacity}: it will rest {100 * (1 - share.running):.0f} % "
        "of the time, or the supply pressure falls."
    )


def describe_need(machine: Machine, outcome: Outcome, system: System = "SI") -> str:
    """Say what air a machine needs, and what its compressor gives of it where that is stated."""
    share = supply_share(machine, outcome)
    if share is not None:
        return describe_share(share, system)
    need = _flow(outcome.drive_air_mass_flow + outcome.delivered_mass_flow, system)
    return (
        f"This machine needs {need} {display_unit('volume flow', system)} (ANR) while it runs; no "
        "compressor.capacity is stated."
    )


def _flow(mass_flow: float, system: System) -> str:
    """Return a flow in litres of the reference atmosphere, with three digits that count."""
    shown = to_display(mass_flow / REFERENCE_DENSITY, "volume flow", system)
    return f"{float(f'{shown:.3g}'):g}"
