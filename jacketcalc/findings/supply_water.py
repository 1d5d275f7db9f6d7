"""The water that the supply brings, from its dew point or from what its compressor took in."""

from __future__ import annotations

from jacketcalc.correlations.moisture import vapour_pressure_water
from jacketcalc.findings.water import Vapour, dew_point_of, enhancement, saturated_share
from jacketcalc.inputs import Supply


def supply_vapour(supply: Supply) -> Vapour:
    """Return the vapour of the supply.

    Air taken in at some relative humidity keeps its water until it is compressed and cooled; what
    it cannot hold in the aftercooler, and then at supply temperature, is drained.

    Parameters
    ----------
    supply : the supply, which states a dew point or an intake
    """
    if supply.intake is None:
        assert supply.pressure_dew_point is not None
        return Vapour(dew_point=supply.pressure_dew_point, pressure=supply.pressure)
    intake, p = supply.intake, supply.pressure
    taken = intake.relative_humidity * float(
        enhancement(intake.temperature, intake.pressure, frost=False)
        * vapour_pressure_water(intake.temperature)
        / intake.pressure
    )
    coolest = min(intake.aftercooler_temperature, supply.temperature)
    share = min(taken, float(saturated_share(coolest, p)))
    return Vapour(dew_point=dew_point_of(share, p), pressure=p)
