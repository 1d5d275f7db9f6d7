"""Tables of the case file that describe a stage and its jacket."""

from __future__ import annotations

from typing import get_args

from jacketcalc import inputs
from jacketcalc.casefile.fields import CaseTable, Field, quantity, word
from jacketcalc.casefile.schema_parts import PRACTICE, catalogue_fields

MOST_STAGES = 4
"""Stages of a machine: as many as the core has room for [-]."""


def _check_valve(key: str, about: str, opening: str) -> CaseTable:
    return CaseTable(
        key,
        about,
        (
            quantity(
                "C",
                "conductance",
                "Sonic conductance when open",
                1e-13,
                1e-5,
                rule=f"{key}_conductance",
                why=_CHECK_WHY[key],
                former="conductance",
            ),
            quantity(
                "b",
                "ratio",
                "Critical back-pressure ratio",
                0.0,
                0.6,
                default="0.3",
                why="usual in catalogues; from memory",
                former="critical_ratio",
            ),
            quantity(
                "cracking_pressure",
                "pressure difference",
                "Cracking pressure: the difference at which flow begins",
                0.0,
                2e6,
                default=opening,
                why="light spring; " + PRACTICE,
                former="opening_pressure_difference",
            ),
            quantity(
                "port_bore",
                "length",
                "Bore of its port in the head",
                1e-6,
                0.5,
                rule="port_bore",
                why="twice the valve's effective area; " + PRACTICE,
            ),
            quantity(
                "port_length",
                "length",
                "Length of that port; 0 mm where its air exchanges no heat with the head",
                0.0,
                1.0,
                rule="port_length",
                why="the head plate and half a bore; " + PRACTICE,
            ),
            *catalogue_fields(),
        ),
        presence="filled",
        sourced=False,
    )


_CHECK_WHY = {
    "inlet": "area 1/60 piston; " + PRACTICE,
    "delivery": "area 1/120 piston; " + PRACTICE,
}

JACKET = CaseTable(
    "jacket",
    "Helical passage between the stage's cylinder and a shell",
    (
        quantity("gap", "length", "Radial height of the channel", 1e-4, 0.1),
        quantity("pitch", "length", "Axial distance between neighbouring ribs", 5e-4, 0.5),
        Field(
            "starts",
            "count",
            "Number of parallel helices",
            default="1",
            low=1,
            high=20,
            why="a single helix",
        ),
        word(
            "feed",
            "How several starts are fed and emptied: a ring groove at each end that all share, "
            "with one hole, or a hole for each start",
            ("gallery", "each"),
            "gallery",
            "one tube and one outlet do",
        ),
        quantity(
            "gallery_width",
            "length",
            "Axial width of each gallery",
            5e-4,
            0.5,
            rule="gallery_width",
            why="takes outlet and tube, as wide as half the channels",
        ),
        quantity("rib", "length", "Axial thickness of a rib", 5e-5, 0.2, former="land"),
        quantity(
            "length",
            "length",
            "Axial length from inlet centre to outlet centre, or between the galleries",
            1e-3,
            3.0,
            former="wound_length",
        ),
        quantity(
            "offset",
            "length",
            "From the barrel's head end to the start of the winding",
            0.0,
            3.0,
            default="0 mm",
            why="winding begins at the head",
        ),
        word(
            "inlet_at",
            "End of the winding where the exhaust enters",
            ("head", "flange"),
            "head",
            "the hottest end",
            former_choices=(("mount", "flange"),),
        ),
        word(
            "rib_joint",
            "What the rib is one piece with",
            get_args(inputs.RibJoint),
            former="land_joint",
            former_choices=(("cylinder", "barrel"),),
        ),
        quantity(
            "tip_clearance",
            "length",
            "Radial clearance at the rib's free edge",
            0.0,
            0.02,
            default="0.1 mm",
            why="sliding fit; " + PRACTICE,
        ),
        quantity(
            "roughness",
            "length",
            "Sand-grain roughness",
            0.0,
            1e-3,
            default="3 um",
            why="turned, moulded; " + PRACTICE,
        ),
        quantity(
            "inlet_loss",
            "number",
            "Loss coefficient at entry",
            0.0,
            100.0,
            default="0.5",
            why="sharp edge; from memory",
            former="entry_loss",
        ),
        quantity(
            "outlet_loss",
            "number",
            "Loss coefficient into the outlet hole; its own velocity is lost besides",
            0.0,
            100.0,
            default="0.5",
            why="sharp edge; from memory",
            former="vent_loss",
        ),
        quantity(
            "outlet_bore",
            "length",
            "Diameter of the outlet hole, or of each one",
            5e-4,
            0.5,
            rule="outlet_bore",
            why="1.5 channel areas if it fits; " + PRACTICE,
            former="vent_bore",
        ),
        quantity(
            "inlet_bore",
            "length",
            "Diameter of the hole that the tube feeds, or of each one",
            5e-4,
            0.5,
            rule="inlet_bore",
            why="the tube's, if it fits",
        ),
        quantity("shell_thickness", "length", "Shell wall", 1e-4, 0.2),
        Field("shell_material", "material", "Shell material"),
    ),
    presence="optional",
)

LINE = CaseTable(
    "line",
    "The line from the stage before",
    (
        quantity("volume", "volume", "Enclosed volume between the two stages' valves", 1e-9, 1.0),
        quantity(
            "heat_loss",
            "heat conductance",
            "From its wall to the surroundings",
            0.0,
            1e3,
            default="0.1 W/K",
            why="100 cm2 in still air; " + PRACTICE,
        ),
        quantity(
            "bore",
            "length",
            "Bore of its tube",
            1e-6,
            0.5,
            rule="line_bore",
            why="four times the suction valve's effective area; " + PRACTICE,
        ),
        quantity(
            "length",
            "length",
            "Length of its tube, without a bottle; 0 mm where its air loses heat to the "
            "surroundings as if its wall were no hindrance",
            0.0,
            1e3,
            rule="line_length",
            why="holds the volume, at most 2 m; " + PRACTICE,
        ),
    ),
    presence="optional",
)

STAGE = CaseTable(
    "stage",
    "A single-acting compression stage on the drive's rod",
    (
        Field("name", "name", "Name used in every table"),
        Field("draws_from", "text", "`supply`, `source`, or the name of the stage before"),
        Field(
            "compresses_on_stroke",
            "count",
            "Stroke 1 feeds drive chamber 1, stroke 2 feeds chamber 2",
            low=1,
            high=2,
        ),
        quantity("bore", "length", "Bore", 1e-3, 1.0),
        quantity("clearance", "ratio", "Clearance volume as a share of swept volume", 1e-3, 1.0),
        quantity(
            "barrel_length",
            "length",
            "Length of the barrel from its head end",
            2e-3,
            5.0,
            rule="barrel_length",
            why="stroke, clearance and piston",
        ),
        quantity("wall_thickness", "length", "Barrel wall", 1e-4, 0.3),
        Field("material", "material", "Barrel material"),
        quantity(
            "head_thickness",
            "length",
            "Head plate",
            5e-4,
            0.3,
            default="10 mm",
            why="plate for check valves; " + PRACTICE,
        ),
        quantity(
            "piston_length",
            "length",
            "Length of the piston",
            1e-3,
            1.0,
            rule="piston_length",
            why="1.2 bores, 20 mm; " + PRACTICE,
        ),
        quantity(
            "seal_friction",
            "ratio",
            "Seal friction as a share of the stage's gas force",
            0.0,
            0.5,
            default="3 %",
            why="one lip ring; from memory",
        ),
        Field("seal_material", "material", "Seal material"),
        quantity(
            "flange_conductance",
            "heat conductance",
            "From the barrel's open end to the drive body",
            0.0,
            1e3,
            default="1 W/K",
            why="bolted flange; " + PRACTICE,
            former="mount_conductance",
        ),
    ),
    (
        _check_valve("inlet", "Suction valve", "0.05 bar"),
        _check_valve("delivery", "Delivery valve", "0.1 bar"),
        LINE,
        JACKET,
    ),
    array=True,
    most=MOST_STAGES,
)
