"""Darcy friction factors of coils, rectangles, annuli and round tubes, each for one regime.

`laws.py` joins them. Symbols follow the sources: `Re` Reynolds number on the hydraulic diameter,
`d` hydraulic diameter over diameter of curvature, `De` = Re d^0.5.
"""

from __future__ import annotations

import fluids
import numpy as np
from numpy.polynomial.polynomial import polyval

from jacketcalc.arrays import Array, Number
from jacketcalc.formula import formula, polynomial

TRANSITION_SPAN = 2.0
"""Re over critical Re at which a coil is fully turbulent [-]. Judgement: a straight tube goes
from 2300 to 4000, and Ito's law holds at once above transition."""
LOWEST_TURBULENT = 1000.0
"""Reynolds number below which turbulent laws are held, far inside the laminar range [-]."""
ROUND_CONSTANT = 64.0
"""f Re of laminar flow in a round tube, exact [-]."""
PLATES_CONSTANT = 96.0
"""f Re of laminar flow between parallel plates, exact [-]."""
RECTANGLE = (1.0, -1.3553, 1.9467, -1.7012, 0.9564, -0.2537)
"""f Re of a rectangle over that of plates: coefficients of powers of its aspect [-]."""
COIL = (0.3164, -0.25, 0.03, 0.5)
"""Turbulent coil: c, m, k, n in c Re^m + k d^n [-]."""
ANNULUS = (1.8, 1.5)
"""Turbulent annulus: slope and offset of f^-0.5 over log10 Re [-]."""
LARGEST_RADIUS_RATIO = 0.999
"""Radius ratio at which the annulus is taken for a flat gap, short of a division by zero [-]."""


@formula(
    name="rectangle, laminar friction",
    quantity="f Re [-]",
    source="shah-london-1978",
    equation=f"f Re = {PLATES_CONSTANT:g} ({polynomial(RECTANGLE, 'a')})",
    ranges={"aspect": (0.0, 1.0)},
    scatter=(-0.001, 0.001),
    scatter_from="computed for this project",
    remark="Symmetric in the aspect: above 1 its reciprocal is used.",
)
def rectangle_constant(aspect: Number) -> Array:
    """Return f x Re of laminar flow in a straight rectangular channel (Shah and London) [-]."""
    side = np.minimum(aspect, 1.0 / np.asarray(aspect, dtype=float))
    return np.asarray(PLATES_CONSTANT * polyval(side, RECTANGLE))


@formula(
    name="coil, laminar friction",
    quantity="Darcy friction factor [-]",
    source="white-1929",
    equation=f"f = {ROUND_CONSTANT:g}/Re / (1 - (1 - (11.6/De)^0.45)^(1/0.45))",
    ranges={"De": (11.6, 2000.0), "curvature": (3.878e-4, 0.066)},
    scatter=(-0.30, 0.15),
    scatter_from="computed for this project",
    remark="Found in round coils; a flat channel lies some 20 to 29 % lower by computation: so the "
    "lower end; the upper end is judgement.",
    library=fluids.helical_laminar_fd_White,
)
def coil_laminar(Re: float, d: float) -> float:
    """Return the laminar friction factor of a round coil (White 1929) [-]."""
    return float(fluids.helical_laminar_fd_White(Re, d, 1.0))


@formula(
    name="coil, turbulent friction",
    quantity="Darcy friction factor [-]",
    source="vdi-helical",
    equation=f"f = {COIL[0]:g} Re^{COIL[1]:g} + {COIL[2]:g} (Dh/Dc)^{COIL[3]:g}",
    ranges={"curvature": (0.0, 0.14)},
    scatter=(-0.15, 0.15),
    scatter_from="judgement",
    remark="3 to 5 % above Ito 1959; roughness enters by the straight tube's ratio (Haaland).",
)
def coil_turbulent(Re: Number, d: Number) -> Array:
    """Return the turbulent friction factor of a smooth coil (Ito 1959 in the VDI form) [-]."""
    lead, power, added, curving = COIL
    factor: Array = lead * np.power(Re, power) + added * np.power(d, curving)
    return factor


@formula(
    name="coil, critical Reynolds number",
    quantity="Re at transition [-]",
    source="schmidt-1967",
    equation="Re = 2300 (1 + 8.6 (Dh/Dc)^0.45)",
    ranges={"curvature": (0.0, 0.14)},
    scatter=(-0.29, 0.06),
    scatter_from="read",
    remark="Scatter spans six laws at Dh/Dc 0.07, in thousands: Seth and Stahel 1969 5.9, "
    "Kutateladze and Borishanskii 1966 7.0, Kubair and Kuloor 1965 7.5, this law 8.3, Ito 1959 "
    "8.5, Srinivasan and others 1970 8.8 (all read in fluids 1.3.1).",
    library=fluids.helical_transition_Re_Schmidt,
)
def critical_reynolds(d: float) -> float:
    """Return the Reynolds number at which flow in a coil turns turbulent (Schmidt 1967) [-]."""
    return float(fluids.helical_transition_Re_Schmidt(d, 1.0))


@formula(
    name="tube, turbulent friction",
    quantity="Darcy friction factor [-]",
    source="haaland-1983",
    equation="f = (1.8 log10(6.9/Re + (e/3.7)^1.11))^-2",
    ranges={"Re": (4000.0, 1e8), "relative roughness": (0.0, 0.05)},
    scatter=(-0.02, 0.02),
    scatter_from="from memory",
    remark="Scatter is against Colebrook's law.",
    library=fluids.Haaland,
)
def haaland(Re: float, relative_roughness: float) -> float:
    """Return the turbulent friction factor of a straight tube (Haaland 1983) [-]."""
    return float(fluids.Haaland(Re, relative_roughness))


@formula(
    name="annulus, turbulent friction",
    quantity="Darcy friction factor [-]",
    source="gnielinski-2009",
    equation=f"f = ({ANNULUS[0]:g} log10(Re s) - {ANNULUS[1]:g})^-2, "
    "s = ((1 + a^2) ln(a) + 1 - a^2) / ((1 - a)^2 ln(a))",
    scatter=(-0.05, 0.05),
    scatter_from="judgement",
    remark="For the heat transfer of the annulus alone; the channel's friction is that of a coil.",
)
def annulus_friction(Re: Number, radius_ratio: Number) -> Array:
    """Return the turbulent friction factor of an annulus (Gnielinski 2009) [-].

    `radius_ratio` is cylinder outside over shell inside diameter [-].
    """
    a = np.minimum(radius_ratio, LARGEST_RADIUS_RATIO)
    log_a = np.log(a)
    shift = ((1.0 + a * a) * log_a + 1.0 - a * a) / ((1.0 - a) ** 2 * log_a)
    slope, offset = ANNULUS
    value: Array = 1.0 / np.square(slope * np.log10(Re * shift) - offset)
    return value
