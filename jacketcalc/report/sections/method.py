"""The method in equations, its symbols, its correlations and where the case sits in them."""

from __future__ import annotations

from collections.abc import Iterator

from jacketcalc.assessment.range_use import RangeUse, used_records
from jacketcalc.correlations import cylinder, heat
from jacketcalc.formula import PowerLaw
from jacketcalc.gases import FLUIDS
from jacketcalc.number_text import raised, true_minus
from jacketcalc.report.model import Block, Heading, Paragraph, Row, Symbol, Table, Text
from jacketcalc.report.sections.formulas import set_formula
from jacketcalc.report.sections.sources import mark
from jacketcalc.report.sections.symbols import SYMBOLS
from jacketcalc.report.traced import Pen, left, right, row

_ALPHA = (Symbol("α"), "\u00a0", Symbol("A"))
_FORMULAS: Text = (
    "In the sources' formulas: ", Symbol("a"), ", short over long side of a rectangle, or inner "
    "over outer diameter of an annulus; ", Symbol("d"), " = ", Symbol("D", "h"), "/",
    Symbol("D", "c"), "; ", Symbol("e"), ", roughness over diameter; ", Symbol("h"),
    ", heat transfer coefficient in W/(m² K); ", Symbol("m"), ", mass flow in ISO 6358, the fin's "
    "parameter, or the exponent; ", Symbol("L"), " and ", Symbol("t"), ", height and thickness of "
    "a fin (", Symbol("L"), " the developed length in the entrance's factor); ",
    Symbol("g"), ", gravity; ", Symbol("μ"), ", viscosity; ", Symbol("u", "p"),
    ", speed of the piston, ", Symbol("u", "c"), " of the gas drawn in; ", Symbol("c", "m"),
    ", mean speed of the piston in m/s, ", Symbol("p"), " in bar, ", Symbol("T"), " in K; ",
    Symbol("Ra"), ", Rayleigh number; indices r and i, real and imaginary part.",
)  # fmt: skip


def method_section(pen: Pen) -> Iterator[Block]:
    """Yield the equations, the symbols, the correlations and their ranges."""
    yield Paragraph(
        "Stroke cycle, exhaust passages and walls are solved together until one cycle repeats the "
        "one before it. The machine without jackets is solved by the same program, jackets taken "
        f"away. {_gases(pen)} throughout "
        f"{mark(pen.case, *_sources(pen), 'lemmon-jacobsen-2004')}."
    )
    yield from _stroke(pen)
    yield from _passage(pen)
    yield from _walls(pen)
    yield from _judged(pen)
    yield Heading("Symbols")
    yield _symbols(pen)
    yield Heading("Correlations and their ranges")
    yield _correlations(pen)
    yield _ranges(pen)


def _gases(pen: Pen) -> str:
    name = pen.case.machine.gas.name
    return "Air is a real gas" if name == "air" else f"Air and {name} are real gases"


def _sources(pen: Pen) -> tuple[str, ...]:
    name = pen.case.machine.gas.name
    return ("lemmon-2000",) if name == "air" else ("lemmon-2000", FLUIDS[name].source)


def _stroke(pen: Pen) -> Iterator[Block]:
    case = pen.case
    yield Heading("Stroke cycle")
    yield Paragraph(
        "Each chamber and line obeys mass and energy balance; the piston moves under gas forces, "
        "friction and its own mass; limit switches reverse the valve after its switching time."
    )
    yield pen.equation(
        '(d m)/(d t) = sum q_m, quad (d U)/(d t) = sum q_m h - p (d V)/(d t) - dot(Q)_"g"',
        "dm/dt = sum q_m; dU/dt = sum q_m h - p dV/dt - Q_g",
    )
    yield pen.equation('m_"p" (d u)/(d t) = sum_i p_i A_i - F_"f"', "m_p du/dt = sum p_i A_i - F_f")
    yield Paragraph(f"Valves and lines {mark(case, 'iso-6358-1')}:")
    yield pen.equation(
        "q_m = C p_1 rho_0 sqrt(T_0 / T_1) sqrt(1 - ((max(p_2 \\/ p_1, b) - b) / (1 - b))^2)",
        "q_m = C p1 rho0 (T0/T1)^0.5 (1 - ((max(p2/p1, b) - b)/(1 - b))^2)^0.5",
    )
    if case.machine.models.cylinder == "gas spring":
        yield Paragraph(
            "Gas to wall in a stage: a gas spring with valves shut "
            f"{mark(case, 'kornhauser-smith-1994')}, natural convection "
            f"{mark(case, 'natural-convection')} where it is stronger, and while the stage draws a "
            f"share of {case.machine.models.mixing:g} of the way to gas fully mixed by the jet "
            f"{mark(case, 'disconzi-2012')}:"
        )
        yield pen.equation(
            'dot(Q)_"g" = A k / D_"c" ["Nu" (T - T_"w") + "Nu"_"i" / omega (d T)/(d t)], quad '
            f'"Nu" = "Nu"_"i" = {_set(cylinder.SPRING, "Pe")}, quad '
            '"Pe" = (omega D_"c"^2) / (4 a)',
            "Q_g = A k/D_c (Nu (T - T_w) + Nu_i/omega dT/dt); "
            f"Nu = Nu_i = {cylinder.SPRING.text('Pe')}; Pe = omega D_c^2/(4 a)",
        )
        yield pen.equation(
            'alpha = alpha_"still" + s thin (alpha_"jet" - alpha_"still") quad "while it draws"',
            "alpha = alpha_still + s (alpha_jet - alpha_still) while it draws",
        )


def _passage(pen: Pen) -> Iterator[Block]:
    case = pen.case
    yield Heading("Exhaust passage")
    yield Paragraph(
        "Tube, helical channel and outlet are marched in one dimension, phase by phase of each "
        "exhaust pulse, with friction, acceleration, heat from both sides and choking; pressure "
        "upstream from the outlet, stagnation temperature downstream from the port:"
    )
    yield pen.equation(
        'integral rho thin d p + G^2 ln (v_2 / v_1) + f (G^2 Delta x) / (2 D_"h") = 0',
        "integral rho dp + G^2 ln(v2/v1) + f G^2 dx/(2 D_h) = 0",
    )
    yield pen.equation(
        'q_m (d h_0)/(d x) = alpha P_"b" (T_"b" - T_"ad") + alpha P_"s" (T_"s" - T_"ad")',
        "q_m dh0/dx = alpha P_b (T_b - T_ad) + alpha P_s (T_s - T_ad)",
    )
    yield Paragraph(
        "Friction: laminar rectangle times the coil factor, turbulent coil with roughness, blended "
        f"{mark(case, 'shah-london-1978', 'white-1929', 'vdi-helical')}. Heat enters through the "
        f"inner, convex wall alone. Jacket heat transfer “{case.machine.models.jacket}”"
        + (", the default:" if case.machine.models.jacket == "nominal" else "; for comparison the "
           "default:")
    )  # fmt: skip
    yield pen.equation(
        f'"Nu" = max({_set(heat.CURVED, "De")}, thick {heat.CONVEX_FACTOR} thin F_"i" thin F_"e" '
        f'thin ((f\\/8) ("Re" - {heat.TRANSITION_OFFSET:g}) "Pr") / '
        f'(1 + {heat.PRANDTL_SLOPE:g} sqrt(f\\/8) ("Pr"^(2\\/3) - 1))) '
        f'(T_"a" / T_"b")^{heat.HEATING_EXPONENT:g}',
        f"Nu = max({heat.CURVED.text('De')}, {heat.CONVEX_FACTOR} F_i F_e "
        f"{heat.annulus_turbulent.record.equation.removeprefix('Nu = ')}) "
        f"(T_a/T_b)^{heat.HEATING_EXPONENT:g}",
    )
    yield pen.equation(
        f'F_"i" = 1 / 2 ({_set(heat.INNER_WALL, "a")} + {_set(heat.INNER_WALL_1964, "a")}), quad '
        '"De" = "Re" sqrt(D_"h" / D_"c")',
        f"F_i = ({heat.INNER_WALL.text('a')} + {heat.INNER_WALL_1964.text('a')})/2; "
        "De = Re (D_h/D_c)^0.5",
    )
    power = heat.ENTRANCE_POWER
    yield pen.equation(
        f'F_"e" = 1 + (D_"h" / L)^({power.numerator}\\/{power.denominator})',
        f"F_e = 1 + (D_h/L)^({power})",
    )
    yield Paragraph(
        (
            Symbol("F", "e"),
            " is the entrance's factor on turbulent heat transfer, mean over the passage "
            f"{mark(case, 'vdi-straight')}: {_gain(50)} % where ",
            Symbol("L"),
            " is 50 ",
            Symbol("D", "h"),
            f", {_gain(350)} % at 350. The tube has it too; laws of coils and laminar forms were "
            "published without it.",
        )
    )
    yield Paragraph(
        f"The factor {heat.CONVEX_FACTOR} for a convex wall is judgement: "
        f"{heat.CONVEX_FACTOR_LOW} was measured on convex plates {mark(case, 'convex-2003')}, and "
        f"a heated convex bend lies below a straight duct {mark(case, 'seki-1983')}. The model "
        f"range runs from low jacket heat transfer ({heat.CONVEX_FACTOR_LOW} times the annulus "
        "form) to high (average round the wall of a coil), and from no in-cylinder mixing to full."
    )


def _set(law: PowerLaw, symbol: str) -> str:
    """Return a power law of one number as typesetting has it."""
    name = f'"{symbol}"' if len(symbol) > 1 else symbol
    return f"{law.coefficient:g} thin {name}^({law.reynolds:g})"


def _gain(length: float) -> str:
    """Return by how much the entrance raises the mean over so many diameters [%]."""
    return f"{100 * (float(heat.entrance_factor(1.0, length)) - 1):.0f}"


def _walls(pen: Pen) -> Iterator[Block]:
    yield Heading("Walls")
    yield Paragraph(
        (
            "Each barrel is cut into rings that conduct radially and axially. Gas side: means over "
            "a cycle of ",
            *_ALPHA,
            " and ",
            *_ALPHA,
            "\u00a0",
            Symbol("T"),
            " while a ring is "
            "exposed; outside: the jacket's means, or natural convection "
            f"{mark(pen.case, 'churchill-chu-1975')} and radiation outside, in a jacket that "
            "no exhaust feeds through conduction and radiation of its gap; seal friction "
            "where the seal runs; the drive body at the flange.",
        )
    )
    yield pen.equation(
        'sum_j K_(i j) (T_j - T_i) + overline(alpha A T)_"g" - overline(alpha A)_"g" T_i '
        '+ overline(alpha A T)_"a" - overline(alpha A)_"a" T_i + dot(Q)_"f" = 0',
        "sum K_ij (T_j - T_i) + [alpha A T]_g - [alpha A]_g T_i + [alpha A T]_a - [alpha A]_a T_i "
        "+ Q_f = 0",
    )


def _judged(pen: Pen) -> Iterator[Block]:
    yield Heading("What is judged")
    yield pen.equation(
        'delta_q = q_(m,"with jackets") / q_(m,"no jackets") - 1, quad '
        'dot(Q)_"max" = q_(m,"d") (h(T_"supply", p_"ambient") - overline(h)_"port")',
        "delta_q = q_m,with jackets/q_m,no jackets - 1; "
        "Q_max = q_m,d (h(T_supply, p_ambient) - mean h_port)",
    )
    yield Paragraph(
        "The second is the first-law bound on the cold the exhaust can give back, warmed to supply "
        "temperature at ambient pressure; what throttling adds to the cold is in it. Water: the "
        "vapour of the supply keeps its share of the air, and the point at which it leaves is "
        "that of the pressure there and then: from its saturation pressure "
        f"{mark(pen.case, 'murphy-koop-2005')} and from how far dense air raises it "
        f"{mark(pen.case, 'iapws-g11-15')}, which is stated up to 5\u00a0MPa and carried on "
        "beyond with the real density of air."
    )


def _symbols(pen: Pen) -> Table:
    rows = [row((symbol,), meaning, unit) for symbol, meaning, unit in SYMBOLS]
    columns = (left("Symbol", 0), left("Meaning", 4), left("SI unit", 1))
    return pen.table("symbols", "Symbols", columns, rows)


def _correlations(pen: Pen) -> Table:
    rows: list[Row] = []
    for record in used_records(pen.case):
        low, high = record.scatter
        scatter = "exact" if (low, high) == (0.0, 0.0) else _scatter(low, high)
        rows.append(
            row(
                record.name,
                set_formula(record.equation),
                scatter,
                record.scatter_from.replace(" for this project", ""),
                mark(pen.case, record.source),
                record.remark.replace("m2", "m²"),
            )
        )
    columns = (
        left("Correlation", 1.2),
        left("Formula, in the source's symbols", 2.2),
        right("Scatter / %"),
        left("Its origin", 0.8),
        right("Source"),
        left("Remark", 1.8),
    )
    return pen.table("correlations", "Correlations behind this result", columns, rows, _FORMULAS)


def _scatter(low: float, high: float) -> str:
    ends = [true_minus(f"{100 * end:+.3g}") for end in (low, high)]
    if low == -high:
        return f"±\u00a0{100 * high:.3g}"
    return " to ".join(end if end != "+0" else "0" for end in ends)


def _ranges(pen: Pen) -> Table:
    rows = [
        row(_state(use), use.record, use.place, (_variable(use.variable),), *_span(use.stated),
            *_span(use.found))
        for use in pen.ranges
    ]  # fmt: skip
    columns = (
        left("State", 0),
        left("Correlation", 2),
        left("Where", 1.2),
        left("Variable", 1),
        right("Stated from"),
        right("to"),
        right("Here from"),
        right("to"),
    )
    note = (
        "Reynolds and Dean number run from the mean over the flow to the peak of a pulse. "
        "“Not in force”: the flow is turbulent throughout, the laminar form is not used."
    )
    if not rows:
        rows, note = [row("none: the machine stalls", *[""] * 7)], ""
    return pen.table("ranges", "Stated range of each correlation, and this case", columns, rows,
                     note)  # fmt: skip


def _variable(name: str) -> Symbol | str:
    return Symbol(name) if name in ("Re", "De", "Pr", "Pe", "Ra", "b") else name


def _span(ends: tuple[float, float]) -> tuple[str, str]:
    return _plain(ends[0]), _plain(ends[1])


def _plain(value: float) -> str:
    if value == 0 or 0.01 <= abs(value) < 1e5:
        digits = 3 if abs(value) < 1000 else 4
        return f"{value:.{digits}g}" if abs(value) < 1000 else f"{round(value, -1):.0f}"
    mantissa, _, power = f"{value:.1e}".partition("e")
    return f"{mantissa.removesuffix('.0')}\u00a0×\u00a010{raised(int(power))}"


def _state(use: RangeUse) -> str:
    if not use.in_force:
        return "not in force"
    return "inside" if use.inside else "OUTSIDE"


def outside_ranges(pen: Pen) -> list[str]:
    """Return a sentence for each range that is left by a correlation in force."""
    found: dict[tuple[str, str], list[RangeUse]] = {}
    for use in pen.ranges:
        if use.in_force and not use.inside:
            found.setdefault((use.record, use.variable), []).append(use)
    lines = []
    for (record, variable), uses in found.items():
        low, high = min(u.found[0] for u in uses), max(u.found[1] for u in uses)
        here = _plain(low) if _plain(low) == _plain(high) else f"{_plain(low)} to {_plain(high)}"
        stated = " to ".join(_span(uses[0].stated))
        lines.append(f"{record}: {variable} {here}, stated for {stated}")
    return lines
