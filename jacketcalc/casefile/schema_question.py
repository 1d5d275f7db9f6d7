"""Tables of a case beside the machine: title, question, what a shop makes, models, materials."""

from __future__ import annotations

from typing import get_args

from jacketcalc import inputs
from jacketcalc.casefile.fields import CaseTable, Field, quantity, word
from jacketcalc.casefile.schema_parts import KELVIN


def _factor(key: str, about: str, limits: tuple[float, float], *, default: str, why: str) -> Field:
    """Make a factor on a law, a plain number."""
    return quantity(key, "number", about, *limits, default=default, why=why)


DOCUMENT = CaseTable(
    "document",
    "Title-block fields of the report",
    (
        *(
            Field(key, "text", about, optional=True)
            for key, about in (
                ("owner", "Legal owner"),
                ("number", "Identification number"),
                ("revision", "Revision"),
                ("date", "Date of issue"),
                ("author", "Creator"),
                ("checker", "Checker"),
                ("approver", "Approver"),
            )
        ),
        word("units", "Units of tables and report", ("SI", "inch-pound"), "SI"),
    ),
    presence="filled",
    sourced=False,
)

JUDGE = CaseTable(
    "judge",
    "What is asked of the machine",
    (
        word(
            "by",
            "What the verdict judges",
            get_args(inputs.Currency),
            "delivery",
            former_choices=(
                ("delivered flow", "delivery"),
                ("drive air", "specific air consumption"),
                ("temperature", "discharge temperature"),
            ),
        ),
        word(
            "no_jackets",
            "Where the exhaust of the machine without jackets goes",
            get_args(inputs.Reference),
            "exhaust direct",
            former="bare",
            former_choices=(
                ("straight", "exhaust direct"),
                ("through tube", "exhaust through tube"),
            ),
        ),
        quantity(
            "discharge_limit",
            "temperature",
            "Highest mean discharge temperature asked for",
            KELVIN,
            1000.0,
            default="150 degC",
            why="limit for process compressors, API 618",
            cites="api-618",
        ),
    ),
    presence="filled",
    moved=(
        ("smallest_land", "make.smallest_rib"),
        ("smallest_rib", "make.smallest_rib"),
        ("size_step", "make.step"),
    ),
)

MAKE = CaseTable(
    "make",
    "What the shop can make, and has on the shelf",
    (
        quantity(
            "step",
            "length",
            "Step in which pitch, gap, rib, length and holes of a jacket can be made",
            0.0,
            0.05,
            default="0 mm",
            why="none stated; searches then take 0.5 mm or 1/64 in",
        ),
        quantity(
            "smallest_rib",
            "length",
            "Smallest rib that can be made",
            0.0,
            0.05,
            default="0 mm",
            why="no limit stated",
        ),
        quantity(
            "least_turns",
            "number",
            "Fewest turns of each start round its barrel",
            0.0,
            100.0,
            default="0",
            why="none stated; searches then keep two",
        ),
        Field(
            "cutter_widths",
            "sizes",
            "Widths of the cutters: what a pitch leaves beside a rib that is one piece with barrel "
            "or shell is one of them",
            "length",
            optional=True,
        ),
        Field("tube_bores", "sizes", "Bores of the tubes on the shelf", "length", optional=True),
    ),
    presence="filled",
)

MODELS = CaseTable(
    "models",
    "Which closures are used",
    (
        word("jacket", "Heat transfer in the passage", get_args(inputs.Closure), "nominal"),
        word(
            "cylinder", "Heat transfer in the stages", get_args(inputs.CylinderModel), "gas spring"
        ),
        quantity(
            "mixing",
            "ratio",
            "In-cylinder mixing factor, 0 none to 1 full",
            0.0,
            1.0,
            default="0.25",
            why="central value",
            former="stirring",
        ),
        _factor(
            "in_cylinder_factor",
            "Factor on the heat of gas in the stages; drive chambers keep theirs",
            (0.2, 5.0),
            default="1",
            why="the law as published",
        ),
        _factor(
            "jacket_factor",
            "Factor on the convective coefficient in the jackets",
            (0.2, 5.0),
            default="1",
            why="the law as published",
        ),
    ),
    presence="filled",
    sourced=False,
)

MATERIALS = CaseTable(
    "materials",
    "Materials of your own",
    (
        quantity("conductivity", "conductivity", "Thermal conductivity", 1e-3, 5e3),
        quantity(
            "emissivity",
            "ratio",
            "Total hemispherical emissivity of its outside",
            0.01,
            1.0,
            default="0.8",
            why="dull surface; from memory",
        ),
        quantity(
            "lowest",
            "temperature",
            "Lowest service temperature",
            0.0,
            2500.0,
            default="-40 degC",
            why="no limit stated",
        ),
        quantity(
            "highest",
            "temperature",
            "Highest service temperature",
            0.0,
            2500.0,
            default="100 degC",
            why="no limit stated",
        ),
        quantity(
            "density",
            "density",
            "Density, for heat that walls store",
            10.0,
            3e4,
            default="7850 kg/m3",
            why="as carbon steel; from memory",
        ),
        quantity(
            "specific_heat",
            "specific heat",
            "Specific heat, for the same",
            50.0,
            1e4,
            default="480 J/(kg K)",
            why="as carbon steel; from memory",
        ),
    ),
    presence="optional",
    named=True,
)
