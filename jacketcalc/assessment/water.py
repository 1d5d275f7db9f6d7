"""Plain margins against frost in the exhaust and water in the stages."""

from __future__ import annotations

from jacketcalc.assessment.result import Margins
from jacketcalc.correlations.moisture import saturation_temperature, vapour_pressure_at
from jacketcalc.coupling.outcome import Outcome
from jacketcalc.inputs import Machine


def water_margins(machine: Machine, jacketed: Outcome) -> Margins:
    """Return the margins of the jacketed machine.

    The vapour of the supply keeps its share of the pressure: expansion to the room lowers the
    frost point, compression raises the dew point.
    """
    supply = machine.supply
    dew = supply.pressure_dew_point

    def vapour(p: float) -> float:
        return float(vapour_pressure_at(dew, supply.pressure, p))

    frost_point = float(saturation_temperature(vapour(machine.room.pressure), frost=True))
    jackets = [s.jacket for s in jacketed.stages if s.jacket is not None]
    walls = [j.coldest_wall for j in jackets]
    ports = [j.port_coldest for j in jackets]
    points = tuple(
        float(saturation_temperature(vapour(s.delivery_pressure), frost=False))
        for s in jacketed.stages
    )
    return Margins(
        frost=min(walls) - frost_point,
        frost_air=min(ports) - frost_point,
        frost_point=frost_point,
        condensation=tuple(
            s.wall_temperature.min - point for s, point in zip(jacketed.stages, points, strict=True)
        ),
        dew_point=points,
    )
