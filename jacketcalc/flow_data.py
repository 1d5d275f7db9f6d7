"""Catalogue data of flow elements to a sonic conductance C, and back.

Catalogues print C with b (ISO 6358-1), a nominal flow Qn, or a water coefficient Kv or Cv; a plain
hole has a bore. All are single formulas on numbers in SI. How far a C made from them may be from
a measured one is said by `Scatter` values below.
"""

from __future__ import annotations

import math

REFERENCE_PRESSURE = 1e5
"""Pressure of the standard reference atmosphere, ISO 8778 [Pa]."""
REFERENCE_DENSITY = 1.185
"""Density of air at the standard reference atmosphere, ISO 8778 [kg/m3]."""
STANDARD_ATMOSPHERE = 101325.0
"""Pressure that gauge pressures in catalogues count from [Pa]."""
AIR_GAS_CONSTANT = 287.05
"""Gas constant of dry air [J/(kg K)]."""
LITRES = {"ANR": REFERENCE_DENSITY, "DIN 1343": 1.293}
"""Reference atmosphere to the density of air there: ISO 8778 (20 degC, 1 bar, 65 % humidity) and
DIN 1343 (0 degC, 1.01325 bar, dry) [kg/m3]."""
UPSTREAM, DOWNSTREAM = 6e5 + STANDARD_ATMOSPHERE, 5e5 + STANDARD_ATMOSPHERE
"""Pressures between which a nominal flow is measured: 6 to 5 bar(g); common practice [Pa]."""
VALVE_AREA = 5.020e-6
"""Effective area of a nozzle per dm3/(s bar) of sonic conductance, ISO 6358-1 [m2]."""
DISCHARGE_COEFFICIENT = 0.7
"""Choked flow of a hole over that of an ideal nozzle as wide; practice, no source [-]."""
CV_PER_KV = 1.156
"""Cv, US gallons a minute at 1 psi, for Kv, m3/h at 1 bar [-]."""
WATER_DENSITY = 1000.0
"""Density of the water that Kv and Cv are measured with [kg/m3]."""
CHOKED_EXPANSION = 2.0 / 3.0
"""Expansion factor Y of IEC 60534-2-1 where the flow chokes [-]."""

SCATTER = {"Qn": 0.05, "Kv": 0.20, "Cv": 0.20, "bore": 0.20}
"""Half-width of what a C made from each entry may be off; judgement. Qn: rounding, and b. Kv and
Cv: measured with water, and xT is taken from b. Bore: usual discharge coefficients, 0.6 to 0.85
[-]."""
SCATTER_WITHOUT_B = 0.14
"""Half-width for Qn where b is filled in as 0.3 and may be 0.2 to 0.5: C falls by 14 % at 0.5, by
the formula itself [-]."""


def flow_share(b: float, pressure_ratio: float) -> float:
    """Return the flow of an element over its choked flow, ISO 6358-1 with the index 0.5 [-]."""
    if pressure_ratio <= b:
        return 1.0
    return math.sqrt(max(0.0, 1.0 - ((pressure_ratio - b) / (1.0 - b)) ** 2))


def nominal_flow(C: float, b: float, litre: str = "ANR") -> float:
    """Return the nominal flow from 6 to 5 bar(g) at 20 degC [m3/s of the named atmosphere]."""
    flow = C * UPSTREAM * flow_share(b, DOWNSTREAM / UPSTREAM)
    return flow * REFERENCE_DENSITY / LITRES[litre]


def from_nominal_flow(flow: float, b: float, litre: str = "ANR") -> float:
    """Return C [m3/(s Pa)] from a nominal flow from 6 to 5 bar(g), of the named atmosphere.

    References
    ----------
    ISO 6358-1, subsonic flow with the index 0.5, upstream at the reference temperature.
    """
    share = flow_share(b, DOWNSTREAM / UPSTREAM)
    return flow * LITRES[litre] / REFERENCE_DENSITY / (UPSTREAM * share)


def from_kv(kv: float, b: float) -> float:
    """Return C [m3/(s Pa)] from Kv in m3/s of water at 1 bar.

    Equated is choked flow of air: m = Y Kv (1000 kg/m3 x xT p1 rho1 / 1 bar)^0.5 with Y = 2/3. The
    pressure ratio at which flow chokes is xT to one standard and 1 - b to the other, so xT = 1 - b.

    References
    ----------
    IEC 60534-2-1, gas with a ratio of specific heats of 1.4.
    """
    root = math.sqrt(WATER_DENSITY * (1.0 - b) / (REFERENCE_PRESSURE**2 * REFERENCE_DENSITY))
    return CHOKED_EXPANSION * kv * root


def from_cv(cv: float, b: float) -> float:
    """Return C [m3/(s Pa)] from Cv, US gallons of water a minute at 1 psi."""
    return from_kv(cv / CV_PER_KV / 3600.0, b)


def from_bore(bore: float, discharge_coefficient: float = DISCHARGE_COEFFICIENT) -> float:
    """Return C [m3/(s Pa)] of a hole: as much of an ideal nozzle as its coefficient says."""
    return discharge_coefficient * math.pi / 4 * bore**2 / VALVE_AREA * 1e-8


def throat_area(C: float) -> float:
    """Return the area of the ideal nozzle that passes what an element chokes at [m2]."""
    return C / 1e-8 * VALVE_AREA


def free_air_density(pressure: float, temperature: float) -> float:
    """Return the density of the air that a compressor takes in, as an ideal gas [kg/m3]."""
    return pressure / (AIR_GAS_CONSTANT * temperature)
