"""What a running machine does: the numbers a designer reads, from the last iteration."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from jacketcalc.findings.cold import Cold
from jacketcalc.findings.water import Water
from jacketcalc.inputs import GasName

Flows = dict[str, float]
Holds = Literal["", "stage", "friction", "outflow"]
"""What holds a piston that stopped: a stage's pressure, friction against the drive's whole force,
or air ahead of it that leaves too slowly where the forces would carry it on."""

LEAST_DELIVERY = 1e-3
"""Volumetric efficiency below which a stage counts as delivering nothing [-]."""


@dataclass(frozen=True, kw_only=True)
class StageGas:
    """Extremes of the gas in stages and the lines between them, where it is not air."""

    name: GasName
    coldest: float
    """Lowest temperature [K]."""
    hottest: float
    """Highest temperature [K]."""
    lowest: float
    """Lowest pressure [Pa]."""
    highest: float
    """Highest pressure, the receiver's included [Pa]."""


@dataclass(frozen=True, kw_only=True)
class WallTemperature:
    """Inner surface of a barrel."""

    min: float
    """Coldest place, ends included [K]."""
    mean: float
    """Mean over the barrel [K]."""
    max: float
    """Hottest place, ends included [K]."""


@dataclass(frozen=True, kw_only=True)
class SurfaceTemperature:
    """Outside of a stage as a thermometer meets it: of its barrel or, where a jacket covers that,
    of the jacket's shell; places as readings have them."""

    head: float
    """At a tenth of the barrel from its head end [K]."""
    middle: float
    """At half of it [K]."""
    flange: float
    """At nine tenths of it [K]."""


@dataclass(frozen=True, kw_only=True)
class JacketOutcome:
    """What a jacket's passage does over a cycle."""

    heat: float
    """Mean heat taken from the barrel [W]."""
    rest_heat: float
    """Part of it taken by air at rest between pulses [W]."""
    port_temperature: float
    """Mass-mean temperature at the drive port [K]."""
    port_coldest: float
    """Coldest exhaust at the port while it flows [K]."""
    inlet_temperature: float
    """Mass-mean temperature at the jacket's inlet [K]."""
    outlet_temperature: float
    """Mass-mean temperature at the outlet [K]."""
    back_pressure_mean: float
    """Mass-mean pressure above ambient at the valve's exhaust [Pa]."""
    back_pressure_peak: float
    """Highest pressure above ambient there [Pa]."""
    sonic_conductance: float
    """C of tube, jacket and outlet together [m3/(s Pa)]."""
    critical_back_pressure_ratio: float
    """b of them together [-]."""
    mach_peak: float
    """Highest Mach number in the passage during a pulse [-]."""
    reynolds_mean: float
    """Flow-weighted Reynolds number in the channel [-]."""
    reynolds_peak: float
    """Highest Reynolds number in the channel [-]."""
    coefficient: float
    """Mass-weighted convective coefficient in the channel [W/(m2 K)]."""
    velocity_peak: float
    """Highest velocity in the channel [m/s]."""
    leak_share: float
    """Mean share of the flow that short-cuts over the rib tips [-]."""
    chokes: str
    """Empty, `outlet`, `channel end` or `tube end`: where the flow reaches the speed of sound."""
    transit_share: float
    """Time the air takes through the passage over the length of a pulse [-]."""
    coldest_wall: float
    """Coldest temperature of the passage's walls [K]."""


@dataclass(frozen=True, kw_only=True)
class StageOutcome:
    """What a stage does over a cycle."""

    name: str
    compression_start_temperature: float
    """Mass-mean gas temperature when the suction valve has just shut [K]."""
    stroke_end_temperature: float
    """Gas temperature at the turn of the piston, before that [K]."""
    compression_start_pressure: float
    """Pressure when the suction valve has just shut [Pa]."""
    suction_temperature: float
    """Mass-mean temperature of what it draws, before its suction port [K]."""
    discharge_temperature: float
    """Mass-mean temperature of what it delivers, behind its delivery port [K]."""
    peak_temperature: float
    """Highest gas temperature in the cycle [K]."""
    delivery_pressure: float
    """Mass-mean pressure it delivers at [Pa]."""
    mass_per_stroke: float
    """Mass delivered in a cycle [kg]."""
    volumetric_efficiency: float
    """Mass delivered over swept volume x density at suction [-]."""
    indicated_work: float
    """Indicated work put into its gas in a cycle [J]."""
    gas_heat: float
    """Heat from its gas to head, barrel and crown, in the head's ports too [W]."""
    suction_port_heat: float
    """Part of it in the suction port, negative where the head warms what is drawn [W]."""
    delivery_port_heat: float
    """Part of it in the delivery port [W]."""
    wall_temperature: WallTemperature
    surface: SurfaceTemperature
    seal_temperature: float
    """Hottest of piston crown and the barrel under the seal's travel [K]."""
    jacket: JacketOutcome | None

    @property
    def delivers(self) -> bool:
        """Whether gas passes through it: else charge and discharge are those of gas shut in."""
        return self.volumetric_efficiency >= LEAST_DELIVERY


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """One machine, running or stalled."""

    cycle_rate: float
    """Cycles a second [1/s]."""
    delivered_mass_flow: float
    """Mass into the receiver [kg/s]."""
    drive_air_mass_flow: float
    """Mass drawn by the drive [kg/s]."""
    specific_air_consumption: float
    """Drive air per mass delivered [-]."""
    drive_work: float
    """Indicated work of the drive in a cycle [J]."""
    drive_wall_temperature: float
    """Drive cylinder wall [K]."""
    drive_gas_heat: float
    """Heat from the drive's gas to its wall, negative the other way [W]."""
    port_temperature: tuple[float, ...]
    """Mass-mean exhaust temperature at each node [K]."""
    back_pressure_mean: tuple[float, ...]
    """Mass-mean pressure above ambient at each node [Pa]."""
    back_pressure_peak: tuple[float, ...]
    """Highest pressure above ambient at each node [Pa]."""
    stages: tuple[StageOutcome, ...]
    energy_balance: Flows
    """Energy flows into the machine, negative out of it, zero in sum [W]."""
    energy_closure: float
    """Sum of the energy balance over the drive work rate [-]."""
    mass_closure: float
    """Mass gained in a cycle over mass handled [-]."""
    cold: Cold | None
    """Cold the exhaust carries, and what the jackets used of it; None of what stalls."""
    water: Water | None
    """Where water comes nearest to leaving the air; None of what stalls."""
    stalled: bool
    """The piston stops within a stroke."""
    held_by: Holds
    """What holds it there; empty when it runs."""
    stalls_in: str
    """Stage whose pressure the forces do not overcome; empty where it runs or none is."""
    stall_reach: float
    """Pressure behind its delivery valve that the forces reach where the piston stopped [Pa]."""
    stall_asked: float
    """Pressure behind that stage's delivery valve [Pa]."""
    coldest_gas: float
    """Lowest gas temperature anywhere in strokes and port nodes [K]."""
    hottest_gas: float
    """Highest gas temperature anywhere [K]."""
    coldest_passage: float
    """Lowest static temperature in the tubes and channels while they flow; that of the surroundings
    where there are none [K]."""
    lowest_pressure: float
    """Lowest gas pressure anywhere, passages and surroundings included [Pa]."""
    highest_pressure: float
    """Highest gas pressure anywhere [Pa]."""
    stall_pressure: float
    """Receiver pressure at which a final stage stalls, static balance of all stages [Pa]."""
    force_margin: float
    """Drive force to spare at the end of a final stage's stroke, over the force needed [-]."""
    wait: float
    """Extra rest at each end that an imposed cycle rate takes [s]."""
    free_cycle_rate: float
    """Rate without that rest [1/s]."""
    turns: int
    """Most times that the piston turned back within a stroke [-]."""
    residual: float
    """Largest change of a scaled unknown in the last iteration [-]."""
    stage_gas: StageGas | None = None
    """What the stages compress, where it is not air; None of air and of what stalls."""

    @property
    def delivers(self) -> bool:
        """Whether it runs and some stage of it delivers."""
        return not self.stalled and any(stage.delivers for stage in self.stages)

    @property
    def hottest_discharge(self) -> float:
        """Highest mean discharge temperature of the stages that deliver, or of all [K]."""
        stages = [stage for stage in self.stages if stage.delivers] or self.stages
        return max(stage.discharge_temperature for stage in stages)

    @property
    def hottest_seal(self) -> float:
        """Highest wall temperature that a stage's seal rubs on [K]."""
        return max(stage.seal_temperature for stage in self.stages)

    @property
    def mass_per_cycle(self) -> float:
        """Mass into the receiver in a cycle, from all stages that lead there [kg]."""
        return self.delivered_mass_flow / self.cycle_rate if self.cycle_rate > 0.0 else 0.0


def finite(value: float) -> float:
    """Return a plain float, zero for what a stalled machine leaves undefined."""
    number = float(value)
    return number if np.isfinite(number) else 0.0
