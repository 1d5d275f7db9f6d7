"""A tube alone between given pressures, its gas ideal: what the core's march is tried on."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from ideal_gas import IdealGas
from passage_bench import passage, plain_tube
from sample import TUBE, bare

from jacketcalc.core.parts import PassageParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.inputs import Exhaust

GAMMA, R = 1.4, 287.0
GAS = IdealGas()
THROUGH_TUBE = replace(
    bare(),
    exhaust_1=Exhaust(to="atmosphere", tube=replace(TUBE, fitting_loss=0.0)),
    exhaust_2=Exhaust(to="atmosphere", tube=TUBE),
)
DEFAULT = Resolution().tube_cells
CHANNEL_CELLS = 4
"""Cells of the channel that is not there: they leave room for the tube's."""


def tube(
    cells: int, f: float, nusselt: float = 0.0, gas: IdealGas = GAS, **sizes: float
) -> PassageParts:
    """A tube of constant friction factor and Nusselt number in a number of cells."""
    resolution = Resolution(tube_cells=cells, channel_cells=CHANNEL_CELLS)
    return plain_tube(passage(THROUGH_TUBE, gas, resolution, **sizes), f, nusselt)


def bored(bore: float) -> dict[str, float]:
    """Sizes of a tube of another bore."""
    return {"tube_bore": bore, "tube_area": np.pi / 4 * bore**2}


def mach(parts: PassageParts, found: Any, flux: float) -> Any:
    """Mach number at the tube's faces."""
    faces = parts.resolution.tube_cells + 1
    return flux * np.sqrt(R * found["T"][:faces] / GAMMA) / found["p"][:faces]
