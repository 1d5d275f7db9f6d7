"""What a published case can ask for: named functions of the package, by the name in the data."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from jacketcalc.verification.quantities.air_and_water import QUANTITIES as AIR_AND_WATER
from jacketcalc.verification.quantities.chambers import QUANTITIES as CHAMBERS
from jacketcalc.verification.quantities.compressors import QUANTITIES as COMPRESSORS
from jacketcalc.verification.quantities.ducts import QUANTITIES as DUCTS
from jacketcalc.verification.quantities.marches import QUANTITIES as MARCHES
from jacketcalc.verification.quantities.passages import QUANTITIES as PASSAGE
from jacketcalc.verification.quantities.vessels import QUANTITIES as VESSELS
from jacketcalc.verification.quantities.walls import QUANTITIES as WALLS

QUANTITIES: Mapping[str, Callable[..., float]] = {
    **PASSAGE,
    **DUCTS,
    **MARCHES,
    **VESSELS,
    **CHAMBERS,
    **COMPRESSORS,
    **WALLS,
    **AIR_AND_WATER,
}
"""Function by the name that published cases call it. Arguments and results are in SI."""
