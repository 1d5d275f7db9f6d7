"""Tables of the case file that describe everything but the stages."""

from __future__ import annotations

from typing import get_args

from jacketcalc import inputs
from jacketcalc.casefile.fields import CaseTable, Field, quantity, word
from jacketcalc.casefile.humidity_data import humidity_fields
from jacketcalc.casefile.schema_parts import KELVIN, PRACTICE, conductance_table


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

AMBIENT = CaseTable(
    "ambient",
    "The surroundings",
    (
        quantity("temperature", "temperature", "Ambient temperature", KELVIN - 40.0, KELVIN + 80.0),
        quantity(
            "pressure",
            "pressure",
            "Atmospheric pressure, absolute",
            3e4,
            1.2e5,
            default="1.01325 bar(a)",
            why="standard atmosphere",
        ),
        _factor(
            "film_factor",
            "Factor on natural convection outside: draughts, pipework and cold exhaust near it",
            (0.1, 10.0),
            default="1",
            why="still air",
        ),
        _factor(
            "film_factor_low",
            "Lowest film factor that the model range takes",
            (0.1, 10.0),
            default="0.7",
            why="still air shut in; " + PRACTICE,
        ),
        _factor(
            "film_factor_high",
            "Highest film factor that the model range takes",
            (0.1, 10.0),
            default="2.5",
            why="air moves at 1 m/s; " + PRACTICE,
        ),
    ),
    former="room",
)

SUPPLY = CaseTable(
    "supply",
    "The workshop air that feeds the drive, and the first stage where no source does",
    (
        quantity("pressure", "pressure", "Supply pressure", 1.5e5, 16e5),
        quantity("temperature", "temperature", "Supply temperature", KELVIN - 40.0, KELVIN + 80.0),
        quantity(
            "pressure_dew_point",
            "temperature",
            "Dew point at supply pressure",
            KELVIN - 100.0,
            KELVIN + 80.0,
            default="3 degC",
            why="ISO 8573-1 class 4",
            cites="iso-8573-1",
        ),
        *humidity_fields(),
    ),
    (
        conductance_table(
            "line", "Supply line in series with the control valve", presence="optional"
        ),
    ),
)

COMPRESSOR = CaseTable(
    "compressor",
    "What makes the supply air",
    (
        quantity(
            "capacity",
            "volume flow",
            "Free air delivered after ISO 1217: volume at ambient pressure and temperature",
            1e-6,
            100.0,
            optional=True,
        ),
        word(
            "when_short",
            "What a fill does where the compressor gives too little",
            get_args(inputs.WhenShort),
            "rests",
            "the machine waits for its pressure switch",
        ),
    ),
    presence="filled",
)

VALVE = CaseTable(
    "valve",
    "The control valve that limit switches reverse",
    (
        quantity(
            "switching_time",
            "time",
            "From a switch being reached to the valve reversed",
            0.0,
            5.0,
            former="dead_time",
        ),
        quantity(
            "pause",
            "time",
            "Extra rest at each stroke end",
            0.0,
            60.0,
            default="0 s",
            why="no rest stated",
            former="dwell",
        ),
        quantity(
            "cycle_rate",
            "rate",
            "Imposed cycle rate; without it the machine sets its own",
            1e-3,
            50.0,
            optional=True,
        ),
    ),
    (
        conductance_table("supply_path", "From supply to a drive port", former="fill"),
        conductance_table(
            "exhaust_path", "From a drive port to the valve's exhaust port", former="vent"
        ),
    ),
)

MOST_CYLINDERS = 4
"""Drive cylinders that push together: more are hardly built; judgement [-]."""

DRIVE = CaseTable(
    "drive",
    "The double-acting drive cylinder",
    (
        quantity("bore", "length", "Bore", 5e-3, 2.0),
        quantity("stroke", "length", "Stroke, shared by the stages on the rod", 2e-3, 3.0),
        quantity("rod_1", "length", "Rod diameter through chamber 1; 0 mm where none", 0.0, 1.0),
        quantity("rod_2", "length", "Rod diameter through chamber 2; 0 mm where none", 0.0, 1.0),
        quantity("dead_volume_1", "volume", "Chamber 1 and its port at its smallest", 1e-9, 0.1),
        quantity("dead_volume_2", "volume", "Chamber 2 and its port at its smallest", 1e-9, 0.1),
        quantity("moving_mass", "mass", "Pistons and rod", 1e-3, 2000.0),
        quantity(
            "friction",
            "force",
            "Constant friction of a cylinder's seals",
            0.0,
            1e5,
            default="60 N",
            why="lip seals; " + PRACTICE,
        ),
        quantity(
            "friction_share",
            "ratio",
            "Friction as a share of the drive's gas force",
            0.0,
            0.9,
            default="5 %",
            why="drive seals under load; " + PRACTICE,
        ),
        quantity("wall_thickness", "length", "Cylinder wall", 1e-4, 0.2),
        Field("material", "material", "Cylinder wall material"),
        Field(
            "cylinders",
            "count",
            "Like cylinders that push together, each as stated here",
            optional=True,
            low=1,
            high=MOST_CYLINDERS,
        ),
    ),
)


RECEIVER = CaseTable(
    "receiver",
    "The receiver",
    (
        quantity(
            "pressure",
            "pressure",
            "Receiver pressure, held constant; the end of a fill",
            0.0,
            400e5,
        ),
        quantity("volume", "volume", "Volume of its air, for `fill`", 1e-6, 1e3, optional=True),
        quantity(
            "from",
            "pressure",
            "Pressure at the start of a fill",
            1e4,
            400e5,
            default="0 bar(g)",
            why="empty but for air of the surroundings",
        ),
        Field(
            "material",
            "material",
            "Material of its wall",
            default="carbon steel",
            why="gas cylinders are steel as a rule; " + PRACTICE,
        ),
        quantity(
            "diameter",
            "length",
            "Inner diameter",
            1e-2,
            20.0,
            rule="receiver_diameter",
            why="a cylinder 6 diameters long",
        ),
        quantity(
            "surface",
            "surface",
            "Surface of its wall",
            1e-4,
            1e4,
            rule="receiver_surface",
            why="a cylinder with flat ends of that diameter and volume",
        ),
        quantity(
            "wall_mass",
            "mass",
            "Mass of its wall",
            1e-3,
            1e6,
            rule="receiver_wall_mass",
            why="1.2 kg/L for 200 bar(g), in proportion to the pressure, at least 3 mm of steel",
        ),
        word("cooled_by", "What surrounds it", get_args(inputs.Cooling), "air", "nothing stated"),
        quantity(
            "bath_temperature",
            "temperature",
            "Temperature of a water bath",
            KELVIN,
            KELVIN + 80.0,
            rule="bath_temperature",
            why="as the surroundings",
        ),
    ),
    former="tank",
)


def _port(key: str, about: str) -> CaseTable:
    return CaseTable(
        key,
        about,
        (
            Field(
                "to",
                "text",
                "A stage whose jacket it feeds, or `atmosphere`",
                default="atmosphere",
                why="nothing stated",
            ),
        ),
        (
            CaseTable(
                "tube",
                "Tube from the valve",
                (
                    quantity("bore", "length", "Inner diameter", 5e-4, 0.2),
                    quantity("wall", "length", "Wall thickness", 1e-4, 0.05),
                    quantity("length", "length", "Length", 1e-3, 100.0),
                    Field("material", "material", "Tube material"),
                    quantity(
                        "roughness",
                        "length",
                        "Sand-grain roughness inside",
                        0.0,
                        1e-3,
                        default="2 um",
                        why="extruded tube; " + PRACTICE,
                    ),
                    quantity(
                        "fitting_loss",
                        "number",
                        "Sum of its fittings' loss coefficients",
                        0.0,
                        200.0,
                        default="1.5",
                        why="two push-in fittings; " + PRACTICE,
                    ),
                ),
                presence="optional",
                sourced=False,
            ),
            conductance_table("silencer", "Silencer at the outlet", presence="optional"),
        ),
        presence="filled",
    )


EXHAUST = CaseTable(
    "exhaust",
    "Where each drive port's exhaust goes",
    (),
    (
        _port("port_1", "Exhaust of drive chamber 1, flows on stroke 2"),
        _port("port_2", "Exhaust of drive chamber 2, flows on stroke 1"),
    ),
    presence="filled",
    sourced=False,
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
