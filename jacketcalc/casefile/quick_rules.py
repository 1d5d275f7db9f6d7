"""Rules that scale a whole machine from the few sizes that a quick start is told.

They give a case to begin with, not a design. Where no source is named, a rule is common practice
or follows the demonstration cases.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from jacketcalc.casefile.quick_jacket import (
    QuickJacket,
    half_millimetres,
    half_millimetres_up,
    tenths,
    wind_jacket,
)
from jacketcalc.casefile.quick_options import USUAL_RATIO, USUAL_SUPPLY, Asked
from jacketcalc.flow_data import STANDARD_ATMOSPHERE, from_nominal_flow, nominal_flow, throat_area
from jacketcalc.geometry import circle_area, circle_diameter, outside_diameter

BORES = (0.032, 0.040, 0.050, 0.063, 0.080, 0.100, 0.125, 0.160, 0.200, 0.250, 0.320)
"""Bores of cylinders to ISO 15552; from memory [m]."""
STROKES = (0.025, 0.050, 0.080, 0.100, 0.125, 0.160, 0.200, 0.250, 0.320, 0.400, 0.500)
"""Strokes of cylinders to ISO 4393; from memory [m]."""
TUBES = {0.004: 0.0025, 0.006: 0.004, 0.008: 0.0055, 0.010: 0.007, 0.012: 0.009, 0.014: 0.011,
         0.016: 0.012, 0.020: 0.016, 0.022: 0.018, 0.025: 0.020, 0.028: 0.023, 0.032: 0.026,
         0.040: 0.033}  # fmt: skip
"""Outside diameter of metric plastic tubes to bore; usual, from memory [m]."""
SPARE = 1.4
"""Force of the drive over what a stage takes, where bores are made to fit [-]."""
ONE_STAGE = 8.0
"""Largest ratio of pressures of one stage: above, discharge grows too hot [-]."""
DRIVE_SEALS, STAGE_SEALS = 0.05, 0.03
"""Friction as shares of the gas force: the defaults of a case [-]."""
STALL_SHARE = 0.6
"""Receiver over the pressure at which the drive stalls, where none is told; gauge [-]."""
VALVE_SHARE = 1.0 / 400.0
"""Area of the valve's throat over that of the drive's piston: 0.2 to 0.3 m/s [-]."""
TUBE_SHARE = 4.0
"""Bore area of the tube over the valve's throat, at least [-]."""
WALL_STRESS = 100e6
"""Hoop stress at which barrels are drawn; strength is not checked [Pa]."""
ROD_STRESS = 150e6
"""Stress of a rod under the drive's force; buckling is not checked [Pa]."""
SPEED = 0.25
"""Mean piston speed for the rough flow behind the line's cooler [m/s]."""
_HEAT_CAPACITY = 1005.0
"""Specific heat of air [J/(kg K)]."""
_GAS_CONSTANT = 287.05
"""Gas constant of air [J/(kg K)]."""


@dataclass(frozen=True, kw_only=True)
class QuickStage:
    """A stage scaled to its machine."""

    bore: float
    """Bore [m]."""
    wall: float
    """Barrel wall [m]."""
    rod: float
    """Rod that pushes it [m]."""
    pressure: float
    """Pressure that it delivers at [Pa]."""
    jacket: QuickJacket


@dataclass(frozen=True, kw_only=True)
class QuickMachine:
    """A machine scaled from what was told; absolute pressures."""

    supply: float
    """Supply pressure [Pa]."""
    receiver: float
    """Receiver pressure [Pa]."""
    bore: float
    """Drive bore [m]."""
    stroke: float
    """Stroke [m]."""
    stages: tuple[QuickStage, ...]
    sonic: float
    """Sonic conductance C of the valve [m3/(s Pa)]."""
    flow: float
    """Its nominal flow, ANR [m3/s]."""
    tube_outside: float
    """Outside diameter of the tubes [m]."""
    tube_bore: float
    """Bore of the tubes [m]."""

    @property
    def swept(self) -> float:
        """Volume that the drive's piston sweeps [m3]."""
        return circle_area(self.bore) * self.stroke

    @property
    def line_volume(self) -> float:
        """Four times what the first stage sweeps [m3]."""
        return 4.0 * circle_area(self.stages[0].bore) * self.stroke

    @property
    def line_heat(self) -> float:
        """Three times the capacity flow of the air that the first stage draws [W/K]."""
        rate = SPEED / (2.0 * self.stroke)
        density = self.supply / (_GAS_CONSTANT * 293.15)
        flow = density * circle_area(self.stages[0].bore) * self.stroke * rate
        return 3.0 * _HEAT_CAPACITY * flow


def scale_machine(asked: Asked) -> QuickMachine:
    """Scale a machine from what was told."""
    supply = (asked.supply or USUAL_SUPPLY).value
    told = tuple(stage.value for stage in asked.stages)
    receiver = asked.receiver.value if asked.receiver else None
    if asked.bore is not None:
        bore = asked.bore.value
    elif told or receiver is None:
        bore = _drive_for(supply, told, receiver)
    else:
        bore = 0.100
    stroke = asked.stroke.value if asked.stroke else _next(STROKES, 1.2 * bore)
    bores = told or _bores_for(supply, bore, receiver)
    if receiver is None:
        receiver = _receiver_for(supply, bore, bores[-1])
    sonic = asked.valve.sonic if asked.valve else _valve_for(bore)
    pressures = _pressures(supply, receiver, bores)
    outside, inside = _tube_for(asked.tube.value if asked.tube else None, sonic)
    return QuickMachine(
        supply=supply,
        receiver=receiver,
        bore=bore,
        stroke=stroke,
        stages=_stages(drive_force(supply, bore), stroke, bores, pressures, sonic),
        sonic=sonic,
        flow=nominal_flow(sonic, USUAL_RATIO),
        tube_outside=outside,
        tube_bore=inside,
    )


def drive_force(supply: float, bore: float) -> float:
    """Return the drive's force less friction, rods left out [N]."""
    return (1.0 - DRIVE_SEALS) * (supply - STANDARD_ATMOSPHERE) * circle_area(bore)


def friction(bore: float) -> float:
    """Return the constant friction of the drive's seals [N]: 60 N at 100 mm."""
    return round(60.0 * bore / 0.100)


def moving_mass(bore: float) -> float:
    """Return the mass of pistons and rod [kg]: 4 kg at 100 mm."""
    return float(f"{4.0 * (bore / 0.100) ** 2:.2g}")


def _drive_for(supply: float, told: tuple[float, ...], receiver: float | None) -> float:
    """Return the least usual bore that pushes every stage with force to spare [m]."""
    if not told:
        return 0.100
    if receiver is None:
        return _next(BORES, 3.0 * told[0])
    loads = [_pushed(p, d) for p, d in zip(_pressures(supply, receiver, told), told, strict=True)]
    area = SPARE * max(loads) / ((1.0 - DRIVE_SEALS) * (supply - STANDARD_ATMOSPHERE))
    return max(_next(BORES, circle_diameter(area)), _next(BORES, 1.2 * told[0]))


def _pushed(pressure: float, bore: float) -> float:
    """Return the force that a stage takes at the end of its stroke [N]."""
    return (1.0 + STAGE_SEALS) * (pressure - STANDARD_ATMOSPHERE) * circle_area(bore)


def _pressures(supply: float, receiver: float, bores: tuple[float, ...]) -> tuple[float, ...]:
    """Return what each stage delivers at: between stages pressure rises as areas fall [Pa]."""
    if len(bores) == 1:
        return (receiver,)
    return min(supply * (bores[0] / bores[1]) ** 2, receiver), receiver


def _bores_for(supply: float, bore: float, receiver: float | None) -> tuple[float, ...]:
    """Return stage bores that leave force to spare, both stages of one ratio [m]."""
    if receiver is None:
        return half_millimetres(0.32 * bore), half_millimetres(0.14 * bore)
    area = drive_force(supply, bore) / SPARE / _pushed(receiver, circle_diameter(1.0))
    last, ratio = circle_diameter(area), receiver / supply
    if ratio <= ONE_STAGE:
        return (half_millimetres(min(last, 0.6 * bore)),)
    first = min(last * ratio**0.25, 0.6 * bore)
    return half_millimetres(first), half_millimetres(last)


def _receiver_for(supply: float, bore: float, last: float) -> float:
    """Return a receiver well below the pressure at which the drive stalls [Pa]."""
    stall = drive_force(supply, bore) / ((1.0 + STAGE_SEALS) * circle_area(last))
    bar = float(f"{STALL_SHARE * stall / 1e5:.2g}")
    return min(bar * 1e5, 350e5) + STANDARD_ATMOSPHERE


def _valve_for(bore: float) -> float:
    """Return the C of a valve in proportion to the drive, of a flow with two digits."""
    sonic = VALVE_SHARE * circle_area(bore) / throat_area(1.0)
    litres = float(f"{nominal_flow(sonic, USUAL_RATIO) * 6e4:.2g}")
    return from_nominal_flow(litres / 6e4, USUAL_RATIO)


def _tube_for(outside: float | None, sonic: float) -> tuple[float, float]:
    """Return outside diameter and bore of the tubes [m]."""
    if outside is not None:
        return outside, TUBES.get(round(outside, 6), 0.75 * outside)
    least = circle_diameter(TUBE_SHARE * throat_area(sonic))
    fitting = [(od, bore) for od, bore in TUBES.items() if bore >= least]
    return fitting[0] if fitting else (0.040, TUBES[0.040])


def _stages(force: float, stroke: float, bores: tuple[float, ...],
            pressures: tuple[float, ...], sonic: float) -> tuple[QuickStage, ...]:  # fmt: skip
    found = []
    for own, pressure in zip(bores, pressures, strict=True):
        wall = barrel_wall(own, pressure)
        jacket = wind_jacket(outside_diameter(own, wall), stroke, sonic)
        found.append(
            QuickStage(bore=own, wall=wall, rod=_rod(force, own), pressure=pressure, jacket=jacket)
        )
    return tuple(found)


def barrel_wall(bore: float, pressure: float) -> float:
    """Return a wall by Lamé's formula at the stress drawn with, at least 5 mm [m]."""
    gauge = min(pressure - STANDARD_ATMOSPHERE, 0.9 * WALL_STRESS)
    ratio = math.sqrt((WALL_STRESS + gauge) / (WALL_STRESS - gauge))
    return max(5e-3, half_millimetres_up(0.5 * bore * (ratio - 1.0)))


def _rod(force: float, bore: float) -> float:
    """Return a rod for the drive's force that stays inside its stage's bore [m]."""
    wanted = max(math.ceil(circle_diameter(force / ROD_STRESS) * 1e3) / 1e3, 6e-3)
    return min(wanted, tenths(0.9 * bore))


def _next(sizes: tuple[float, ...], least: float) -> float:
    """Return the least usual size that is not below a size; where there is none, that size [m]."""
    return next((s for s in sizes if s >= least * (1.0 - 1e-9)), math.ceil(least * 1e2) / 1e2)
