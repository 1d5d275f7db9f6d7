"""Tables of the case file that describe the machine, but for its stages."""

from __future__ import annotations

from typing import get_args

from jacketcalc import inputs
from jacketcalc.casefile.fields import CaseTable, Field, quantity, word
from jacketcalc.casefile.humidity_data import humidity_fields
from jacketcalc.casefile.schema_parts import KELVIN, PRACTICE, conductance_table


def _factor(key: str, about: str, limits: tuple[float, float], *, default: str, why: str) -> Field:
    """Make a factor on a law, a plain number."""
    return quantity(key, "number", about, *limits, default=default, why=why)


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
