"""The records of every correlation in the catalogue."""

from __future__ import annotations

from jacketcalc.correlations.record import Correlation, ScatterFrom
from jacketcalc.references import SOURCES

_COIL_REMARK = "Average round the whole wall of a coil, which its outer side rules."


def _record(
    name: str,
    quantity: str,
    source: str,
    equation: str,
    variables_range: dict[str, tuple[float, float]],
    scatter: tuple[float, float],
    scatter_from: ScatterFrom,
    remark: str = "",
) -> Correlation:
    return Correlation(
        name=name,
        quantity=quantity,
        source=source,
        equation=equation,
        variables_range=variables_range,
        scatter=scatter,
        scatter_from=scatter_from,
        obtained=SOURCES[source].obtained,
        remark=remark,
    )


_FRICTION = (
    _record(
        "rectangle, laminar friction",
        "f Re [-]",
        "shah-london-1978",
        "f Re = 96 (1 - 1.3553a + 1.9467a^2 - 1.7012a^3 + 0.9564a^4 - 0.2537a^5)",
        {"aspect": (0.0, 1.0)},
        (-0.001, 0.001),
        "computed for this project",
        "Symmetric in the aspect: above 1 its reciprocal is used.",
    ),
    _record(
        "coil, laminar friction",
        "f / f straight [-]",
        "white-1929",
        "1 / (1 - (1 - (11.6/De)^0.45)^(1/0.45))",
        {"De": (11.6, 2000.0), "curvature": (3.878e-4, 0.066)},
        (-0.30, 0.15),
        "computed for this project",
        "Found in round coils; a flat channel lies some 20 to 29 % lower by computation: so the "
        "lower end; the upper end is judgement.",
    ),
    _record(
        "coil, turbulent friction",
        "Darcy friction factor [-]",
        "vdi-helical",
        "f = 0.3164 Re^-0.25 + 0.03 (Dh/Dc)^0.5",
        {"curvature": (0.0, 0.14)},
        (-0.15, 0.15),
        "judgement",
        "3 to 5 % above Ito 1959; roughness enters by the straight tube's ratio (Haaland).",
    ),
    _record(
        "coil, critical Reynolds number",
        "Re at transition [-]",
        "schmidt-1967",
        "Re = 2300 (1 + 8.6 (Dh/Dc)^0.45)",
        {"curvature": (0.0, 0.14)},
        (-0.29, 0.06),
        "read",
        "Scatter spans six laws at Dh/Dc 0.07, in thousands: Seth and Stahel 1969 5.9, Kutateladze "
        "and Borishanskii 1966 7.0, Kubair and Kuloor 1965 7.5, this law 8.3, Ito 1959 8.5, "
        "Srinivasan and others 1970 8.8 (all read in fluids 1.3.1).",
    ),
    _record(
        "tube, turbulent friction",
        "Darcy friction factor [-]",
        "haaland-1983",
        "f = (1.8 log10(6.9/Re + (e/3.7)^1.11))^-2",
        {"Re": (4000.0, 1e8), "relative roughness": (0.0, 0.05)},
        (-0.02, 0.02),
        "from memory",
        "Scatter is against Colebrook's law.",
    ),
)

_PASSAGE = (
    _record(
        "rectangle, one wall heated, laminar",
        "Nu [-]",
        "duct-one-wall",
        "Nu = 5.3846 (1 - 1.1930a + 1.5626a^2 - 1.4715a^3 + 0.7509a^4 - 0.1501a^5)",
        {"aspect": (0.0, 20.0)},
        (-0.001, 0.001),
        "computed for this project",
        "Fully developed, uniform axial flux; above aspect 1 the short wall's own fit is used. "
        "The entry region, where Nu is higher, is left out.",
    ),
    _record(
        "inner wall, laminar curved",
        "Nu [-]",
        "duct-curved",
        "Nu = 1.37 De^0.315",
        {"De": (79.0, 1070.0), "aspect": (0.2, 1.0)},
        (-0.14, 0.06),
        "computed for this project",
        "Within 4 % at aspect 0.2 to 0.33. Not external: a computation of this project.",
    ),
    _record(
        "inner wall, annulus turbulent",
        "Nu [-]",
        "gnielinski-2009",
        "Nu = (f/8) Re Pr / (k1 + 12.7 (f/8)^0.5 (Pr^(2/3) - 1)) 0.75 a^-0.17",
        {"Re": (4000.0, 1e6), "radius ratio": (0.05, 1.0)},
        (-0.10, 0.10),
        "judgement",
        "Range from memory. Straight annulus; a convex factor follows.",
    ),
    _record(
        "inner wall, annulus turbulent, 1964",
        "factor on Nu [-]",
        "petukhov-roizen-1964",
        "0.86 a^-0.16",
        {"radius ratio": (0.05, 1.0)},
        (-0.10, 0.10),
        "judgement",
    ),
    _record(
        "entrance of a channel",
        "factor on Nu [-]",
        "vdi-straight",
        "1 + (D/L)^(2/3), mean over the developed length",
        {"D/L": (0.0, 1.0)},
        (-0.10, 0.10),
        "judgement",
        "Turbulent annulus and tube: +7 % at L/D 50, +2 % at 350. Laws of coils and laminar "
        "forms are published without, and are taken so.",
    ),
    _record(
        "coil average",
        "Nu [-]",
        "vdi-helical",
        "laminar: Nu = 3.66 + 0.08 (1 + 0.8 d^0.9) Re^m Pr^(1/3), m = 0.5 + 0.2903 d^0.194; "
        "from 22 000: Gnielinski with f of the coil; linear between",
        {"Re": (500.0, 1.5e5), "curvature": (0.0, 0.14)},
        (-0.15, 0.15),
        "from memory",
        _COIL_REMARK,
    ),
    _record(
        "coil average, Mori and Nakayama",
        "Nu [-]",
        "mori-nakayama-1967",
        "Nu = Pr/(26.2 (Pr^(2/3) - 0.074)) Re^0.8 d^0.1 (1 + 0.098 (Re d^2)^-0.2)",
        {"Re": (1e4, 2e5), "Pr": (0.6, 1.0)},
        (-0.15, 0.15),
        "from memory",
        _COIL_REMARK + " Gas form; Reynolds range from memory.",
    ),
    _record(
        "coil average, Schmidt",
        "Nu [-]",
        "schmidt-1967",
        "Nu = 0.023 (1 + 14.8 (1 + d) d^(1/3)) Re^(0.8 - 0.22 d^0.1) Pr^(1/3) up to 22 000; "
        "0.023 (1 + 3.6 (1 - d) d^0.8) Re^0.8 Pr^(1/3) above",
        {"Re": (6000.0, 1.5e5), "curvature": (0.0, 0.14)},
        (-0.15, 0.15),
        "from memory",
        _COIL_REMARK + " The step at 22 000 is smoothed over 10 % of Re.",
    ),
    _record(
        "coil average, Xin and Ebadian",
        "Nu [-]",
        "xin-ebadian-1997",
        "Nu = 0.00619 Re^0.92 Pr^0.4 (1 + 3.455 d)",
        {"Re": (5000.0, 1e5), "Pr": (0.7, 5.0), "curvature": (0.0267, 0.0884)},
        (-0.15, 0.15),
        "from memory",
        _COIL_REMARK,
    ),
    _record(
        "tube, turbulent",
        "Nu [-]",
        "gnielinski-1976",
        "Nu = (f/8)(Re - 1000) Pr / (1 + 12.7 (f/8)^0.5 (Pr^(2/3) - 1)) x entrance",
        {"Re": (2300.0, 5e6), "Pr": (0.5, 2000.0)},
        (-0.10, 0.10),
        "from memory",
    ),
    _record(
        "gas property ratio",
        "factor on Nu [-]",
        "gas-property-ratio",
        "(Tb/Tw)^0.45, turbulent, gas heated",
        {"temperature ratio": (0.5, 1.0)},
        (-0.02, 0.02),
        "judgement",
        "1 in laminar flow and for a gas that is cooled.",
    ),
)

_CYLINDER = (
    _record(
        "gas spring",
        "complex Nu [-]",
        "kornhauser-smith-1994",
        "Nu_r = Nu_i = 0.56 Pe^0.69",
        {"Pe": (100.0, 1e4)},
        (-0.33, 0.50),
        "judgement",
        "Real part held at 8 or more; imaginary part passes to Pe/5 below Pe 100. Accumulators "
        "measured 1.6 to 1.8 times it, natural convection included (see `verify`).",
    ),
    _record(
        "small compression between plates",
        "complex Nu [-]",
        "lee-1983",
        "Nu = 4 z tanh z / (1 - tanh z / z), z = (1 + i)(Pe/8)^0.5",
        {},
        (0.0, 0.0),
        "exact",
        "Exact for small amplitude; used as a check.",
    ),
    _record(
        "natural convection in the chamber",
        "h [W/(m2 K)]",
        "natural-convection",
        "h = 0.13 k (g dT/T (rho/mu)^2 Pr)^(1/3)",
        {},
        (-0.30, 0.30),
        "judgement",
        "The law is for large plates.",
    ),
    _record(
        "jet-stirred suction",
        "h [W/(m2 K)]",
        "disconzi-2012",
        "Nu = 0.08 Re^0.9 Pr^0.6, u = u_p + u_p^-0.4 u_c^1.4",
        {},
        (-0.50, 1.00),
        "judgement",
        "Found by computation for a refrigeration cylinder at 50 Hz.",
    ),
    _record(
        "Adair",
        "h [W/(m2 K)]",
        "adair-1972",
        "Nu = 0.053 Re^0.8 Pr^0.6, swirl 2 w (1.04 + cos 2 theta), halved near the open end; "
        "theta = w t from the dead point",
        {},
        (-0.50, 0.50),
        "judgement",
        "Fast refrigeration compressors.",
    ),
    _record(
        "Annand",
        "h [W/(m2 K)]",
        "annand-1963",
        "Nu = a Re^0.7, a = 0.35 to 0.8",
        {},
        (-0.90, 0.00),
        "judgement",
        "Engine form: an upper bound in a slow dense gas, where nothing measured supports it. "
        "Range of a from memory.",
    ),
    _record(
        "drive chamber",
        "h [W/(m2 K)]",
        "eichelberg-1939",
        "h = 2.43 c_m^(1/3) (p[bar] T)^0.5",
        {},
        (-0.50, 0.50),
        "from memory",
        "Scatter spans the 20 to 100 W/(m2 K) usual for pneumatic cylinders.",
    ),
)

_OUTSIDE = (
    _record(
        "room air round a horizontal cylinder",
        "Nu [-]",
        "churchill-chu-1975",
        "Nu = (0.6 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))^2",
        {"Ra": (0.0, 1e12)},
        (-0.15, 0.15),
        "from memory",
    ),
    _record(
        "fin",
        "efficiency [-]",
        "fin",
        "tanh(mL)/(mL), m = (2h/(k t))^0.5",
        {},
        (0.0, 0.0),
        "exact",
        "Exact for a straight fin with an adiabatic tip.",
    ),
)

_FLOW = (
    _record(
        "ISO 6358 element",
        "mass flow [kg/s]",
        "iso-6358-1",
        "m = C p1 rho0 (T0/T1)^0.5 (1 - ((p2/p1 - b)/(1 - dp/p1 - b))^2)^0.5",
        {"b": (0.0, 0.9)},
        (-0.10, 0.10),
        "judgement",
        "Scatter as of catalogue data. Linear over the last 0.5 % of pressure ratio "
        "(common practice, no source).",
    ),
    _record(
        "plain tube conductance",
        "C [m3/(s Pa)]",
        "beater-2007",
        "C = 0.029 d^2 / (L/d^1.25 + 510)^0.5, b = 474 C/d^2",
        {},
        (-0.10, 0.10),
        "judgement",
        "For comparison only: the tube itself is marched.",
    ),
)

RECORDS: tuple[Correlation, ...] = (*_FRICTION, *_PASSAGE, *_CYLINDER, *_OUTSIDE, *_FLOW)
"""Every record of the catalogue."""

CLOSURE_RECORDS: dict[str, tuple[str, ...]] = {
    "low": (
        "rectangle, one wall heated, laminar",
        "inner wall, annulus turbulent",
        "entrance of a channel",
    ),
    "nominal": (
        "rectangle, one wall heated, laminar",
        "inner wall, laminar curved",
        "inner wall, annulus turbulent",
        "inner wall, annulus turbulent, 1964",
        "entrance of a channel",
    ),
    "high": ("coil average",),
    "mori-nakayama": ("coil average, Mori and Nakayama",),
    "schmidt": ("coil average, Schmidt",),
    "xin-ebadian": ("coil average, Xin and Ebadian",),
}
"""Names of the correlations behind each jacket closure."""
