"""The gases a machine can compress: what each is to CoolProp, and where its table lies.

Every range ends where the gas could be liquid in part, or where its equation of state ends;
equations are as CoolProp implements them, their limits from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.inputs import GasName


@dataclass(frozen=True, kw_only=True, slots=True)
class Span:
    """A table's range, and how its cells are stretched over it."""

    lowest_temperature: float
    """Lowest temperature [K]."""
    highest_temperature: float
    """Highest temperature [K]."""
    lowest_pressure: float
    """Lowest pressure [Pa]."""
    highest_pressure: float
    """Highest pressure [Pa]."""
    pole: float
    """Origin of ln(T - pole), close below the range: cells are finest at its cold end [K]."""
    ridge: float
    """Near the pressure where cp peaks at the cold end; the centre of the fine cells [Pa]."""
    width: float
    """Half width of the range of fine cells [Pa]."""
    broken: float
    """Temperature above which the critical enhancement of conductivity is cut to zero; the lowest
    temperature where it has no such break [K]."""
    hot_cells: int
    """Cells in temperature above the break [-]."""
    pressure_cells: int
    """Cells in pressure [-]."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Fluid:
    """A gas, and what the solver must know of it beside its table."""

    name: GasName
    coolprop: str
    """Its name in CoolProp."""
    formula: str
    """Chemical formula; empty for air."""
    gas_constant: float
    """Specific gas constant, from CoolProp's values [J/(kg K)]."""
    cold_energy: float
    """Internal energy on CoolProp's datum less cv T, of thin gas at 300 K, or a little less
    [J/kg]."""
    energy: float
    """Size of its internal energy near 300 K, by which mass is weighed against energy [J/kg]."""
    span: Span
    """Range of its table [SI]."""
    source: str
    """Key into `references.SOURCES` of its equation of state."""
    critical: float
    """Critical temperature; of air that above which none of it is liquid [K]."""
    highest_asked: float = 400e5
    """Highest pressure of source or receiver that a case can ask for [Pa]."""
    coldest_asked: float = 233.15
    """Lowest temperature of source or surroundings that a case can ask for [K]."""


AIR = Fluid(
    name="air",
    coolprop="Air",
    formula="",
    source="lemmon-2000",
    critical=132.6312,
    gas_constant=8.31451 / 28.96546e-3,
    cold_energy=1.2e5,
    energy=3e5,
    span=Span(
        lowest_temperature=140.0,
        highest_temperature=2000.0,
        lowest_pressure=0.1e5,
        highest_pressure=700e5,
        pole=136.3,
        ridge=52e5,
        width=4.7e5,
        broken=265.2624,
        hot_cells=40,
        pressure_cells=85,
    ),
)
"""No part of air is liquid above 132.6312 K. At 140 K cp peaks at 50 bar. The equation of state
holds to 2000 K and 2000 MPa; 700 bar is as far as its source claims 0.1 % of density, below 873 K
(abstract; from memory)."""
NITROGEN = Fluid(
    name="nitrogen",
    coolprop="Nitrogen",
    formula="N2",
    source="span-2000",
    critical=126.192,
    gas_constant=8.31451 / 28.01348e-3,
    cold_energy=-2e4,
    energy=2e5,
    span=Span(
        lowest_temperature=140.0,
        highest_temperature=1000.0,
        lowest_pressure=0.1e5,
        highest_pressure=700e5,
        pole=132.0,
        ridge=56e5,
        width=9e5,
        broken=252.384,
        hot_cells=24,
        pressure_cells=64,
    ),
)
"""Critical point 126.19 K. The equation of state holds to 1000 K and 2200 MPa."""
ARGON = Fluid(
    name="argon",
    coolprop="Argon",
    formula="Ar",
    source="tegeler-1999",
    critical=150.687,
    gas_constant=8.31451 / 39.948e-3,
    cold_energy=-2e4,
    energy=1e5,
    span=Span(
        lowest_temperature=165.0,
        highest_temperature=1000.0,
        lowest_pressure=0.1e5,
        highest_pressure=700e5,
        pole=157.0,
        ridge=76e5,
        width=11e5,
        broken=301.374,
        hot_cells=20,
        pressure_cells=64,
    ),
)
"""Critical point 150.69 K. The equation of state holds to 700 K and 1000 MPa; from there to 1000 K,
where argon is thin, it is extrapolated."""
HELIUM = Fluid(
    name="helium",
    coolprop="Helium",
    formula="He",
    source="ortiz-vega-2020",
    critical=5.1953,
    gas_constant=8.3144598 / 4.002602e-3,
    cold_energy=0.0,
    energy=9e5,
    span=Span(
        lowest_temperature=110.0,
        highest_temperature=1000.0,
        lowest_pressure=0.1e5,
        highest_pressure=700e5,
        pole=50.0,
        ridge=0.0,
        width=60e5,
        broken=300.0,
        hot_cells=20,
        pressure_cells=40,
    ),
)
"""Critical point 5.2 K. The equation of state holds to 1500 K and 2000 MPa. CoolProp's viscosity of
helium steps at 100 K, so the table begins above it, and kinks at 300 K."""
CARBON_DIOXIDE = Fluid(
    name="carbon dioxide",
    coolprop="CarbonDioxide",
    formula="CO2",
    source="span-wagner-1996",
    critical=304.1282,
    highest_asked=30e5,
    coldest_asked=273.15,
    gas_constant=8.31451 / 44.0098e-3,
    cold_energy=2.4e5,
    energy=4.5e5,
    span=Span(
        lowest_temperature=270.0,
        highest_temperature=1000.0,
        lowest_pressure=0.1e5,
        highest_pressure=31.5e5,
        pole=258.0,
        ridge=33e5,
        width=10e5,
        broken=456.192,
        hot_cells=24,
        pressure_cells=40,
    ),
)
"""Critical point 304.13 K. It condenses at 32.0 bar at 270 K: the table ends below that, and a case
asks for 30 bar and 0 degC at most, so that gas which a valve holds up is still in it."""
METHANE = Fluid(
    name="methane",
    coolprop="Methane",
    formula="CH4",
    source="setzmann-wagner-1991",
    critical=190.564,
    gas_constant=8.31451 / 16.0428e-3,
    cold_energy=2.3e5,
    energy=7e5,
    span=Span(
        lowest_temperature=210.0,
        highest_temperature=625.0,
        lowest_pressure=0.1e5,
        highest_pressure=700e5,
        pole=199.0,
        ridge=75e5,
        width=14e5,
        broken=300.0,
        hot_cells=24,
        pressure_cells=64,
    ),
)
"""Critical point 190.56 K. The equation of state holds to 625 K and 1000 MPa."""

FLUIDS: dict[GasName, Fluid] = {
    fluid.name: fluid for fluid in (AIR, NITROGEN, ARGON, HELIUM, CARBON_DIOXIDE, METHANE)
}
"""Every gas by its name in a case."""
