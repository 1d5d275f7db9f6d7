"""Sources of every number in the package.

`obtained` says how a source was used: `read`, `from memory` (not re-read for this project)
or `computed for this project`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Obtained = Literal["read", "from memory", "computed for this project"]


@dataclass(frozen=True, kw_only=True)
class Source:
    """One source."""

    key: str
    """Short name that records cite."""
    citation: str
    """Author, title, place and year."""
    obtained: Obtained
    """How its content reached this project."""


def _read(key: str, citation: str) -> Source:
    return Source(key=key, citation=citation, obtained="read")


def _remembered(key: str, citation: str) -> Source:
    return Source(key=key, citation=citation, obtained="from memory")


def _computed(key: str, citation: str) -> Source:
    return Source(key=key, citation=citation, obtained="computed for this project")


_ALL = (
    _read(
        "shah-london-1978",
        "Shah and London, Laminar Flow Forced Convection in Ducts, 1978 (coefficients of the "
        "rectangle read in a public file)",
    ),
    _read(
        "white-1929",
        "White, Streamline flow through curved pipes, Proc. R. Soc. A 123, 1929 (read in fluids "
        "1.3.1, helical_laminar_fd_White)",
    ),
    _remembered("ito-1959", "Ito, Friction factors for turbulent flow in curved pipes, 1959"),
    _read(
        "vdi-helical",
        "VDI-Waermeatlas, 9th ed. 2002, sections Gc1 and Gc2, after Schmidt 1967 and Gnielinski "
        "1986 (read in the Modelica Standard Library, Fluid/Dissipation)",
    ),
    _read(
        "vdi-straight",
        "VDI-Waermeatlas, 9th ed. 2002, section Ga, eq. 26, after Gnielinski (read in the "
        "documentation of the Modelica Standard Library, Fluid/Dissipation)",
    ),
    _read(
        "schmidt-1967",
        "Schmidt, Waermeuebergang und Druckverlust in Rohrschlangen, Chem.-Ing.-Tech. 39, 1967, "
        "781 (read in ht 1.2.0, helical_turbulent_Nu_Schmidt)",
    ),
    _read(
        "mori-nakayama-1967",
        "Mori and Nakayama, Int. J. Heat Mass Transfer 10, 1967, 681 (read in ht 1.2.0, "
        "helical_turbulent_Nu_Mori_Nakayama)",
    ),
    _read(
        "xin-ebadian-1997",
        "Xin and Ebadian, J. Heat Transfer 119, 1997, 467 (read in ht 1.2.0, "
        "helical_turbulent_Nu_Xin_Ebadian)",
    ),
    _read(
        "gnielinski-1976",
        "Gnielinski, New equation for heat and mass transfer in turbulent pipe and channel flow, "
        "Int. Chem. Eng. 16, 1976, 359 (read in ht 1.2.0, turbulent_Gnielinski)",
    ),
    _read(
        "gnielinski-2009",
        "Gnielinski, turbulent flow in concentric annuli, 2009, in VDI Heat Atlas G2, 2010 (read "
        "in the code of Lamarche, Fundamentals of Geothermal Heat Pump Systems)",
    ),
    _remembered("petukhov-roizen-1964", "Petukhov and Roizen, High Temperature 2, 1964, 65"),
    _read(
        "haaland-1983",
        "Haaland, Simple and explicit formulas for the friction factor in turbulent pipe flow, "
        "J. Fluids Eng. 105, 1983, 89 (read in fluids 1.3.1, Haaland)",
    ),
    _computed(
        "duct-one-wall",
        "Finite-volume solution of laminar flow in a straight rectangle, one wall heated; the "
        "same code gives 3.608 for the square with four walls, as Shah and London print",
    ),
    _computed(
        "duct-curved",
        "Finite-volume numerical experiment, laminar flow in a curved rectangle, inner wall "
        "heated, Pr 0.71; axisymmetric, so indicative above Dean number 200",
    ),
    _read(
        "convex-2003",
        "Heat Mass Transfer 39, 2003, 869: air over flat, convex and concave plates (abstract)",
    ),
    _read(
        "seki-1983",
        "Seki, Fukusako and Yoneta, J. Heat Transfer 105, 1983, 64: heated convex wall of a "
        "rectangular bend (abstract)",
    ),
    _remembered("kays-leung-1963", "Kays and Leung, Int. J. Heat Mass Transfer 6, 1963, 537"),
    _remembered("gas-property-ratio", "Kays; Gnielinski in the VDI Heat Atlas: gas heated, 0.45"),
    _read(
        "kornhauser-smith-1994",
        "Kornhauser and Smith, J. Heat Transfer 116, 1994, 536 (0.56 and 0.69 read in the "
        "ThermoCycle library)",
    ),
    _read(
        "lee-1983",
        "Lee, Proc. 18th IECEC, 1983, 720 (read in open research code, in another length scale)",
    ),
    _read(
        "adair-1972",
        "Adair, Qvale and Pearson, Purdue Compressor Conf. 1972, paper 45 (read "
        "in the ThermoCycle library)",
    ),
    _read("annand-1963", "Annand, Proc. IMechE 177, 1963, 973; range of a from memory"),
    _remembered(
        "disconzi-2012",
        "Disconzi, Deschamps and Pereira, Purdue Compressor Conf. 2012, paper 2103 (abstract "
        "read; coefficients from memory)",
    ),
    _remembered("natural-convection", "McAdams' law of turbulent natural convection, 0.13 Ra^1/3"),
    _remembered("eichelberg-1939", "Eichelberg, Engineering 148, 1939"),
    _read(
        "churchill-chu-1975",
        "Churchill and Chu, Int. J. Heat Mass Transfer 18, 1975, 1049 (read in ht 1.2.0, "
        "Nu_horizontal_cylinder_Churchill_Chu)",
    ),
    _read(
        "churchill-bernstein-1977",
        "Churchill and Bernstein, J. Heat Transfer 99, 1977, 300 (read in ht 1.2.0, "
        "Nu_cylinder_Churchill_Bernstein)",
    ),
    _remembered("fin", "Straight fin with an adiabatic tip, exact; any heat transfer textbook"),
    _remembered(
        "walls-exact",
        "Conduction through a cylinder's wall, radiation between long concentric grey cylinders, "
        "effectiveness of a counterflow exchanger, exact; any heat transfer textbook",
    ),
    _remembered(
        "woodfield-2007",
        "Woodfield, Monde and Mitsutake, J. Thermal Science and Technology 2, 2007, 180: vessels "
        "charged with hydrogen, nitrogen or argon",
    ),
    _computed(
        "iapws-water",
        "Liquid water at 1 atm, IAPWS formulations as CoolProp has them",
    ),
    _remembered("codata-2018", "CODATA 2018 recommended values"),
    _remembered(
        "iso-6358-1",
        "ISO 6358-1:2013, Pneumatic fluid power, flow-rate characteristics of components using "
        "compressible fluids",
    ),
    _read(
        "iso-8778",
        "ISO 8778, Pneumatic fluid power, standard reference atmosphere (conditions read in a "
        "catalogue of pneumatic valves)",
    ),
    _remembered("din-1343", "DIN 1343, Reference conditions, normal conditions, normal volume"),
    _read(
        "iec-60534-2-1",
        "IEC 60534-2-1, Industrial-process control valves, flow capacity, sizing equations (read "
        "in fluids 1.3.1, control_valve)",
    ),
    _remembered("beater-2007", "Beater, Pneumatic Drives, 2007: tube form after Eckersten"),
    _remembered(
        "lemmon-2000",
        "Lemmon, Jacobsen, Penoncello and Friend, J. Phys. Chem. Ref. "
        "Data 29, 2000, 331: equation of state of air",
    ),
    _remembered(
        "span-2000",
        "Span, Lemmon, Jacobsen, Wagner and Yokozeki, J. Phys. Chem. Ref. Data 29, 2000, 1361: "
        "equation of state of nitrogen",
    ),
    _remembered(
        "tegeler-1999",
        "Tegeler, Span and Wagner, J. Phys. Chem. Ref. Data 28, 1999, 779: equation of state of "
        "argon",
    ),
    _remembered(
        "ortiz-vega-2020",
        "Ortiz-Vega, Hall, Holste, Arp, Harvey and Lemmon, J. Phys. Chem. Ref. Data 49, 2020, "
        "033105: equation of state of helium",
    ),
    _remembered(
        "span-wagner-1996",
        "Span and Wagner, J. Phys. Chem. Ref. Data 25, 1996, 1509: equation of state of carbon "
        "dioxide",
    ),
    _remembered(
        "setzmann-wagner-1991",
        "Setzmann and Wagner, J. Phys. Chem. Ref. Data 20, 1991, 1061: equation of state of "
        "methane",
    ),
    _read(
        "lemmon-jacobsen-2004",
        "Lemmon and Jacobsen, Int. J. Thermophys. 25, 2004, 21: "
        "viscosity and conductivity of air (abstract, and Table V in public tests)",
    ),
    _remembered("murphy-koop-2005", "Murphy and Koop, Q. J. R. Meteorol. Soc. 131, 2005, 1539"),
    _read(
        "iapws-g11-15",
        "IAPWS G11-15, Guideline on a virial equation for the fugacity of H2O in humid air, 2015 "
        "(coefficients read in a public implementation)",
    ),
    _read(
        "iso-8573-1",
        "ISO 8573-1, Compressed air, contaminants and purity classes (humidity "
        "classes read in OPC 40250-1, table 128)",
    ),
    _remembered(
        "api-618",
        "API Standard 618, 5th ed., Reciprocating Compressors for Petroleum, Chemical, and Gas "
        "Industry Services: the limit of discharge is for process compressors; none was found "
        "for air boosters",
    ),
)

SOURCES: dict[str, Source] = {source.key: source for source in _ALL}
"""Every source by its key."""
