"""The table of the case file that holds what was read at a bench."""

from __future__ import annotations

from jacketcalc import readings
from jacketcalc.casefile.fields import CaseTable, Field, quantity, word
from jacketcalc.casefile.schema_parts import KELVIN

READ_KEYS: dict[str, readings.Kind] = {
    "cycle_time": "cycle time",
    "delivered_mass": "delivered mass",
    "wall_temperature": "wall temperature",
    "exhaust_temperature": "exhaust temperature",
    "valve_pressure": "valve pressure",
    "fill_time": "fill time",
}
"""Keys of which each reading has one."""

READING = CaseTable(
    "reading",
    "A reading at the bench, each with its tolerance (+-) or standard uncertainty (u)",
    (
        quantity("cycle_time", "time", "Time of one cycle, both strokes", 1e-2, 1e3, optional=True),
        quantity("delivered_mass", "mass", "Mass delivered in `duration`", 1e-6, 1e4,
                 optional=True),
        quantity("wall_temperature", "temperature", "Outside of a barrel, at `stage` and `place`",
                 150.0, 800.0, optional=True),
        quantity("exhaust_temperature", "temperature", "Exhaust at the outlet of a jacket",
                 150.0, 500.0, optional=True),
        quantity("valve_pressure", "pressure", "Supply pressure at the valve while running",
                 1e5, 2e6, optional=True),
        quantity("fill_time", "time", "Time from `pressure_from` to `pressure_to`", 1e-1, 1e6,
                 optional=True),
        word("jackets", "Whether the exhaust went through the jackets", ("with", "bypassed"),
             "with", "the drawn machine"),
        Field("stage", "text", "Stage of a temperature", optional=True),
        word("place", "Place of a wall temperature", ("head", "middle", "flange"), "middle",
             "nothing stated"),
        quantity("duration", "time", "Time in which the mass was delivered", 1e-1, 1e6,
                 optional=True),
        quantity("supply_pressure", "pressure", "Supply pressure while it was read", 1e5, 2e6,
                 optional=True),
        quantity("receiver_pressure", "pressure", "Receiver pressure while it was read", 1e5, 5e7,
                 optional=True),
        quantity("ambient_temperature", "temperature", "Ambient temperature while it was read",
                 KELVIN - 40.0, KELVIN + 80.0, optional=True),
        quantity("receiver_volume", "volume", "Volume of the receiver of a fill time", 1e-6, 1e2,
                 optional=True),
        quantity("pressure_from", "pressure", "Receiver pressure at the start", 1e5, 5e7,
                 optional=True),
        quantity("pressure_to", "pressure", "Receiver pressure at the end", 1e5, 5e7,
                 optional=True),
    ),
    presence="optional",
    array=True,
    most=200,
    sourced=False,
)  # fmt: skip
