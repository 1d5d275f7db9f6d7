"""Checks by another way than the program's: the first law, and the tables of gases."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from jacketcalc.gas.stage_gas import stage_gas_table
from jacketcalc.gas.table import GasTable, air

if TYPE_CHECKING:
    from jacketcalc.assessment.result import Assessment
    from jacketcalc.core.outcome import Outcome
    from jacketcalc.findings.cold import Cold


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
    """Return the checks of the machine with jackets; none where it stalls."""
    cold = found.jacketed.cold
    if cold is None:
        return ()
    return (_cold(found, found.jacketed, cold), *_stages(found))


def _enthalpy(table: GasTable, T: float, p: float) -> float:
    return float(table.thermo(T, p).h)


def _cold(found: Assessment, jacketed: Outcome, cold: Cold) -> HandCheck:
    """Return the cold of the exhaust from the drive's work, which no port temperature enters."""
    machine = found.case.machine
    T, p = machine.supply.temperature, machine.supply.pressure
    throttled = _enthalpy(air(), T, machine.ambient.pressure) - _enthalpy(air(), T, p)
    by_hand = jacketed.drive_work * jacketed.cycle_rate + jacketed.drive_gas_heat
    return HandCheck(
        what="cold the exhaust carries",
        how="work of the drive's gas and its heat to the drive's wall, and drive air times what "
        "enthalpy gains between supply and ambient pressure at supply temperature",
        by_hand=by_hand + jacketed.drive_air_mass_flow * throttled,
        found=cold.bound,
    )


def _stages(found: Assessment) -> list[HandCheck]:
    """Return the work of each stage from what its gas gained and what its walls took."""
    out, machine = found.jacketed, found.case.machine
    table = stage_gas_table(machine)
    checks = []
    for outcome, stage in zip(out.stages, machine.stages, strict=True):
        fed = stage.line is None
        p = machine.feed(stage).pressure if fed else outcome.compression_start_pressure
        rise = _enthalpy(table, outcome.discharge_temperature, outcome.delivery_pressure)
        rise -= _enthalpy(table, outcome.suction_temperature, p)
        checks.append(
            HandCheck(
                what=f"compression power of stage {stage.name}",
                how="mass flow times the rise of enthalpy from suction to discharge, and the "
                "heat its walls took",
                by_hand=outcome.mass_per_stroke * out.cycle_rate * rise + outcome.gas_heat,
                found=outcome.indicated_work * out.cycle_rate,
            )
        )
    return checks
