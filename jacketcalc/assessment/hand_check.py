"""Checks that need no model: the first law on printed temperatures and a table of air."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from jacketcalc.gas.table import air

if TYPE_CHECKING:
    from jacketcalc.assessment.result import Assessment


@dataclass(frozen=True, kw_only=True)
class HandCheck:
    """One number that can be worked out by hand."""

    what: str
    how: str
    """How it is worked out, in words."""
    by_hand: float
    """Value worked out by hand [W]."""
    found: float
    """Value the program found [W]."""

    @property
    def difference(self) -> float:
        """By hand over found, less one [-]."""
        return self.by_hand / self.found - 1.0 if self.found else 0.0


def hand_checks(found: Assessment) -> tuple[HandCheck, ...]:
    """Return the checks of the jacketed machine; none where it stalls."""
    if found.jacketed.stalled:
        return ()
    return (_deficit(found), *_stages(found))


def _enthalpy(T: float, p: float) -> float:
    return float(air().thermo(T, p).h)


def _deficit(found: Assessment) -> HandCheck:
    """Return the cold that the exhaust carries to the ports, from their mean temperatures."""
    machine, out = found.case.machine, found.jacketed
    supply = _enthalpy(machine.supply.temperature, machine.supply.pressure)
    pairs = zip(out.port_temperature, out.back_pressure_mean, strict=True)
    ports = [_enthalpy(T, machine.room.pressure + p) for T, p in pairs]
    mean = sum(ports) / len(ports)
    return HandCheck(
        what="cold the exhaust brings to the ports",
        how="drive air times the difference of enthalpy between supply and the mean of the port "
        "temperatures",
        by_hand=out.drive_air_mass_flow * (supply - mean),
        found=out.cooling_bound,
    )


def _stages(found: Assessment) -> list[HandCheck]:
    """Return the work of each stage from what its air gained and what its walls took."""
    out, machine = found.jacketed, found.case.machine
    checks = []
    for outcome, stage in zip(out.stages, machine.stages, strict=True):
        p = machine.supply.pressure if stage.line is None else outcome.charge_pressure
        rise = _enthalpy(outcome.discharge_temperature, outcome.delivery_pressure)
        rise -= _enthalpy(outcome.suction_temperature, p)
        checks.append(
            HandCheck(
                what=f"compression power of stage {stage.name}",
                how="mass flow times the rise of enthalpy from suction to discharge, and the "
                "heat its walls took",
                by_hand=outcome.mass_per_stroke * out.cycle_rate * rise + outcome.gas_heat,
                found=outcome.compression_work * out.cycle_rate,
            )
        )
    return checks
