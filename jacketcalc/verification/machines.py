"""Machines that stand for a textbook's apparatus: a bare compressor on a generous drive."""

from __future__ import annotations

import math
from dataclasses import replace

from jacketcalc.inputs import (
    Ambient,
    CheckValve,
    Drive,
    Exhaust,
    FlowElement,
    Line,
    Machine,
    Solid,
    Stage,
    Supply,
    Tube,
    Valve,
)

BORE, STROKE = 50e-3, 100e-3
"""Bore of the first stage and stroke [m]; results do not depend on them."""
DRIVE_MARGIN = 4.0
"""Drive force over the largest load of the stages [-]."""
STROKE_TIME = 2.0
"""Time of a stroke, about [s]."""
VALVE_MARGIN = 3000.0
"""Conductance of the stage valves over the flow they pass: no pressure is lost in them [-]."""
ROOM_SHARE = 0.6
"""Ambient pressure over suction pressure: the drive needs a difference [-]."""
LINE_VOLUME = 2.0
"""Volume between two stages over the swept volume of the first [-]."""


def plastic() -> Solid:
    """Return a tube material."""
    return Solid(name="plastic", conductivity=0.25, emissivity=0.9, lowest=200.0, highest=400.0)


def bench_machine(
    p1: float = 1e5,
    T1: float = 293.15,
    p2: float = 5e5,
    clearance: float = 0.05,
    between: float = 0.0,
    tube: Tube | None = None,
) -> Machine:
    """Return a compressor of one stage, or of two with an intercooled line between them.

    Parameters
    ----------
    p1, T1 : suction pressure and temperature, ambient temperature too [Pa], [K]
    p2 : delivery pressure [Pa]
    clearance : clearance of every stage [-]
    between : pressure between two stages; one stage where 0 [Pa]
    tube : tube behind the drive's valve, None for none
    """
    ambient = ROOM_SHARE * p1
    area = math.pi / 4.0 * BORE**2
    swept = area * STROKE
    drive_area = DRIVE_MARGIN * area * 2.0 * (p2 - ambient) / (p1 - ambient)
    valve = FlowElement(
        sonic=drive_area * STROKE / (1e5 * STROKE_TIME), critical_back_pressure_ratio=0.3
    )
    check = CheckValve(
        conductance=FlowElement(
            sonic=VALVE_MARGIN * swept / (1e5 * STROKE_TIME), critical_back_pressure_ratio=0.5
        ),
        cracking_pressure=0.0,
    )
    first = Stage(
        name="first", draws_from="supply", compresses_on=2, bore=BORE, clearance=clearance,
        barrel_length=1.5 * STROKE, wall_thickness=5e-3, material=plastic(),
        head_thickness=10e-3, piston_length=30e-3, inlet=check, delivery=check,
        seal_friction=0.0, seal=plastic(), flange_conductance=1.0,
    )  # fmt: skip
    stages = (first,) if not between else (first, _second(first, p1, between, swept))
    drive = Drive(
        bore=math.sqrt(4.0 / math.pi * drive_area), stroke=STROKE, rod_1=0.0, rod_2=0.0,
        dead_volume_1=0.02 * drive_area * STROKE, dead_volume_2=0.02 * drive_area * STROKE,
        moving_mass=1.0, friction=0.0, friction_share=0.0, wall_thickness=5e-3,
        material=plastic(),
    )  # fmt: skip
    return Machine(
        ambient=Ambient(temperature=T1, pressure=ambient),
        supply=Supply(pressure=p1, temperature=T1, pressure_dew_point=250.0),
        valve=Valve(supply_path=valve, exhaust_path=valve, switching_time=0.05),
        drive=drive,
        stages=stages,
        receiver_pressure=p2,
        exhaust_1=Exhaust(to="atmosphere", tube=tube),
        exhaust_2=Exhaust(to="atmosphere", tube=tube),
    )


def _second(first: Stage, p1: float, between: float, swept: float) -> Stage:
    """Return a second stage of equal clearance; its bore makes the pressure between them."""
    return replace(
        first, name="second", draws_from="first", compresses_on=1,
        bore=first.bore * math.sqrt(p1 / between),
        line=Line(volume=LINE_VOLUME * swept, heat_loss=1.0),
    )  # fmt: skip
