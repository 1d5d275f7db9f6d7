"""What holds for any machine that runs or stalls, whatever its sizes.

Balances, signs and orders that follow from conservation and the second law; the only outside
number is the exergy of air, from CoolProp itself and not from the package's table.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from CoolProp.CoolProp import PropsSI

from jacketcalc.core.outcome import JacketOutcome, Outcome, StageOutcome
from jacketcalc.core.run import NO_STEADY_CYCLE
from jacketcalc.core.solved import Result
from jacketcalc.inputs import Machine

SETTLED = 2e-7
"""Bound on the last change of a scaled unknown; the project's own [-]."""
CLOSES = 1e-6
"""Bound on the balances of mass and energy; the project's own [-]."""
ROUNDING = 1e-9
"""Share of the drive air below which delivered air counts as none [-]."""
RUBBED = 100.0
"""How far friction at a seal may warm a wall beyond all gas: judgement, no source [K]."""
ISENTROPE = 2.0 / 7.0
"""Power of pressure that temperature follows in an ideal diatomic gas without heat [-]."""


def list_faults(machine: Machine, result: Result) -> list[str]:
    """Return in words what does not hold; nothing where all does."""
    outcome = result.outcome
    if result.failure.endswith(NO_STEADY_CYCLE):
        return []
    if result.failure:
        return [f"did not converge: {result.failure} (residual {outcome.residual:.1e})"]
    if outcome.stalled:
        return [words for words, holds in _stalled(machine, outcome) if not holds]
    faults = [words for words, holds in _running(machine, outcome) if not holds]
    for number, stage in enumerate(outcome.stages):
        rows = [*_stage(machine, outcome, stage)]
        if stage.jacket is not None:
            rows += _jacket(machine, outcome, number, stage.jacket)
        faults += [f"{stage.name}: {words}" for words, holds in rows if not holds]
    return faults


Check = tuple[str, bool]


def _stalled(machine: Machine, outcome: Outcome) -> Iterator[Check]:
    """A stalled machine says where, and gives nothing."""
    names = [stage.name for stage in machine.stages]
    held = outcome.held_by == "stage"
    yield f"held by {outcome.held_by!r}", outcome.held_by in ("stage", "friction", "outflow")
    yield f"stalls in {outcome.stalls_in!r}", outcome.stalls_in in (names if held else [""])
    if held:
        reach, asked = outcome.stall_reach, outcome.stall_asked
        yield f"stalls though {reach:.4g} Pa are reached, {asked:.4g} asked", reach < asked
    flows = (outcome.cycle_rate, outcome.delivered_mass_flow, outcome.drive_air_mass_flow)
    yield f"stalled, yet flows {flows}", flows == (0.0, 0.0, 0.0)
    yield "no finite stall pressure", math.isfinite(outcome.stall_pressure)


def _running(machine: Machine, outcome: Outcome) -> Iterator[Check]:
    """Balances, the two laws, and ranges of the whole machine."""
    energy, mass = outcome.energy_closure, outcome.mass_closure
    yield f"energy closes to {energy:.1e}", abs(energy) < CLOSES
    yield f"mass closes to {mass:.1e}", abs(mass) < CLOSES
    yield f"residual {outcome.residual:.1e}", 0.0 <= outcome.residual <= SETTLED
    rate, delivered = outcome.cycle_rate, outcome.delivered_mass_flow
    yield f"cycle rate {rate}", rate > 0.0 and math.isfinite(rate)
    yield f"delivers {delivered} kg/s", delivered >= -ROUNDING * outcome.drive_air_mass_flow
    yield f"drive air {outcome.drive_air_mass_flow} kg/s", outcome.drive_air_mass_flow > 0.0
    yield "says where it stalls, and runs", outcome.stalls_in == ""
    yield from _imposed(machine, outcome)
    cold, hot = outcome.coldest_gas, outcome.hottest_gas
    least = _coldest(machine, outcome)
    yield f"coldest gas {cold:.1f} K, {least:.1f} K expected", least < cold
    # Supply air that enters slowly meets the walls before it is a chamber's: it can be warmed or
    # cooled there, towards ambient. Gas hotter than the property table is not refused: the notes
    # of an assessment say so.
    ends = sorted((machine.supply.temperature, machine.ambient.temperature))
    yield f"coldest gas {cold:.1f} K above supply and ambient", cold <= ends[1]
    yield f"hottest gas {hot:.1f} K", ends[0] <= hot < math.inf
    work = sum(stage.indicated_work for stage in outcome.stages)
    yield f"drive work {outcome.drive_work} J, stages {work} J", outcome.drive_work > work
    yield from _exergy(machine, outcome)
    top = _highest(machine) - machine.ambient.pressure
    pairs = zip(outcome.back_pressure_mean, outcome.back_pressure_peak, strict=True)
    for mean, peak in pairs:
        yield f"back-pressure mean {mean:.0f}, peak {peak:.0f} Pa", -1.0 < mean <= peak < top


def _coldest(machine: Machine, outcome: Outcome) -> float:
    """Air expanded without heat or loss from the coldest wall's temperature [K].

    Drive air falls to ambient pressure from the highest it can be squeezed to, clearance air
    from the receiver's to what the stage draws from.
    """
    ambient, supply = machine.ambient.pressure, machine.supply.pressure
    walls = [stage.wall_temperature.min for stage in outcome.stages]
    start = min(machine.ambient.temperature, machine.supply.temperature, *walls)
    return float(
        start * min(ambient / _highest(machine), supply / machine.receiver_pressure) ** ISENTROPE
    )


def _highest(machine: Machine) -> float:
    """Bound on the pressure in an exhausted drive chamber [Pa].

    All that can push on the piston, supply on the drive and the receiver's pressure on every
    stage, twice: a load that comes suddenly on a spring overshoots to no more.
    """
    ambient, drive = machine.ambient.pressure, machine.drive
    areas = [drive.bore**2 - rod**2 for rod in (drive.rod_1, drive.rod_2)]
    push = (machine.supply.pressure - ambient) * max(areas)
    push += sum((machine.receiver_pressure - ambient) * stage.bore**2 for stage in machine.stages)
    return ambient + 2.0 * push / min(areas)


def _imposed(machine: Machine, outcome: Outcome) -> Iterator[Check]:
    """An imposed rate is kept where the machine is fast enough, else it runs free."""
    wanted = machine.valve.cycle_rate
    rate, free = outcome.cycle_rate, outcome.free_cycle_rate
    if wanted is None:
        yield f"waits {outcome.wait} s unasked", outcome.wait == 0.0
        return
    expected = min(wanted, free)
    yield f"rate {rate}, imposed {wanted}, free {free}", abs(rate / expected - 1.0) < 1e-5


def _exergy(machine: Machine, outcome: Outcome) -> Iterator[Check]:
    """Second law: air leaves with no more exergy than supply air of both streams brought.

    Exhaust has none or more, and heat passes to the surroundings alone, at their temperature. The
    least exergy of what is delivered is that of air at the receiver's pressure and the ambient
    temperature.
    """
    ambient, supply = machine.ambient, machine.supply
    brought = _specific_exergy(supply.temperature, supply.pressure, ambient.temperature)
    least = _specific_exergy(ambient.temperature, machine.receiver_pressure, ambient.temperature)
    dead = _specific_exergy(ambient.temperature, ambient.pressure, ambient.temperature)
    inflow = outcome.drive_air_mass_flow + outcome.delivered_mass_flow
    bring, take = inflow * (brought - dead), outcome.delivered_mass_flow * (least - dead)
    yield f"second law: {take:.1f} W taken of {bring:.1f} W brought", take < bring


def _specific_exergy(T: float, p: float, ambient: float) -> float:
    """Flow exergy h - T_ambient s on CoolProp's datum [J/kg]."""
    return float(
        PropsSI("H", "T", T, "P", p, "Air") - ambient * PropsSI("S", "T", T, "P", p, "Air")
    )


def _stage(machine: Machine, outcome: Outcome, stage: StageOutcome) -> Iterator[Check]:
    """Order of temperatures and pressures in one stage."""
    cold, hot = outcome.coldest_gas, outcome.hottest_gas
    for name in ("compression_start_temperature", "stroke_end_temperature", "peak_temperature"):
        value = getattr(stage, name)
        yield f"{name} {value:.1f} K", cold - 0.01 <= value <= hot + 0.01
    wall = stage.wall_temperature
    yield f"wall {wall}", 0.0 < wall.min <= wall.mean <= wall.max <= hot + RUBBED
    low = min(cold, machine.ambient.temperature)
    yield f"wall {wall.min:.1f} K below all gas and ambient", wall.min > low - 0.1
    eta = stage.volumetric_efficiency
    yield f"volumetric efficiency {eta:.3f}", -CLOSES <= eta < _fullest(machine, outcome, stage)
    if stage.mass_per_stroke > 0.0:
        given, peak = stage.discharge_temperature, stage.peak_temperature
        yield f"discharge {given:.1f} K above peak {peak:.1f} K", given <= peak + 0.5


def _fullest(machine: Machine, outcome: Outcome, stage: StageOutcome) -> float:
    """Bound on a stage's volumetric efficiency [-].

    Cold walls make suction air denser than it came. And a stage whose source stands, at times,
    above what it delivers to is blown through: mean pressures tell only that they are near.
    """
    stages = outcome.stages
    place = [s.name for s in stages].index(stage.name)
    source = stages[place - 1].delivery_pressure if place else machine.supply.pressure
    source = max(source, stage.compression_start_pressure)
    final = place == len(stages) - 1
    sink = machine.receiver_pressure if final else stages[place + 1].compression_start_pressure
    if source > 0.8 * sink:
        return math.inf
    return 1.1 * max(1.0, stage.suction_temperature / stage.compression_start_temperature)


def _jacket(
    machine: Machine, outcome: Outcome, number: int, jacket: JacketOutcome
) -> Iterator[Check]:
    """Signs, shares and order along one passage."""
    numbers = [value for value in vars(jacket).values() if isinstance(value, float)]
    yield f"not finite: {jacket}", all(map(math.isfinite, numbers))
    yield f"leak share {jacket.leak_share}", 0.0 <= jacket.leak_share <= 1.0
    yield f"Mach number {jacket.mach_peak}", 0.0 < jacket.mach_peak < 1.001
    yield (
        f"b {jacket.critical_back_pressure_ratio}",
        0 <= jacket.critical_back_pressure_ratio < 1,
    )
    yield f"coefficient {jacket.coefficient}", jacket.coefficient > 0.0
    yield "sonic conductance not above 0", jacket.sonic_conductance > 0.0
    coldest, mean = jacket.port_coldest, jacket.port_temperature
    yield f"port {mean:.1f} K, coldest {coldest:.1f} K", coldest <= mean + 0.5
    wall = outcome.stages[number].wall_temperature
    warmest = max(wall.max, machine.ambient.temperature, jacket.port_temperature)
    yield (
        f"outlet {jacket.outlet_temperature:.1f} K above all walls",
        jacket.outlet_temperature <= warmest + 1.0,
    )
    if jacket.heat < 0.0:
        yield (
            f"heat {jacket.heat:.2f} W flows into the barrel from colder air",
            # At rest the surroundings warm the air through the shell, and the air a cold barrel.
            max(jacket.inlet_temperature, machine.ambient.temperature) > wall.min - 1.0,
        )
