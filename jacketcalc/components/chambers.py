"""Volumes and flow paths of the machine as a small network.

Volumes: the two drive chambers, one node at each exhaust port, the stage chambers and the
interstage lines. Paths: filling, venting, and two check valves a stage. Which volumes a
path joins depends on the stroke. Everything else about the network is arrays over designs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.designs import Array, Design, port_stages, stack
from jacketcalc.flow import iso6358
from jacketcalc.gas.table import AirTable
from jacketcalc.inputs import Conductance, Exhaust, Machine, Stage
from jacketcalc.passage_geometry import PassageGeometry, passage_geometries

SMALLEST_NODE = 1e-5
"""Volume between valve and open air when nothing else stands there [m3]."""
PASSAGE_SHARE = 0.5
"""Share of a passage's air that stores at port pressure: its pressure falls to the
vent [-]."""


@dataclass(frozen=True, kw_only=True)
class Layout:
    """Which volume is which; the same for all designs solved together."""

    ports: tuple[int, int]
    """Exhaust node of drive chamber 1 and 2."""
    nodes: tuple[int, ...]
    """Volume index of each exhaust node."""
    node_stage: tuple[int, ...]
    """Stage fed by each node, or -1."""
    chambers: tuple[int, ...]
    """Volume index of each stage chamber."""
    lines: tuple[int | None, ...]
    """Volume index of the line before each stage, None where it draws from the supply."""
    after: tuple[int | None, ...]
    """Volume index of the line after each stage, None where it delivers to the tank."""
    compresses_on: tuple[int, ...]
    """Stroke on which each stage compresses."""
    count: int
    """Number of volumes."""

    @property
    def supply(self) -> int:
        """Index of the supply behind the volumes."""
        return self.count

    @property
    def tank(self) -> int:
        """Index of the receiver behind the volumes."""
        return self.count + 1


STILL_AIR = 0.025
"""Conductivity of the air that stands in an unfed jacket [W/(m K)]."""


@dataclass(frozen=True, kw_only=True)
class IdleShell:
    """Still air and shell round a barrel, where no exhaust flows; of no length where none is."""

    start: float
    """Distance of the winding from the head end [m]."""
    length: float
    """Its length [m]; 0 where there is no such shell."""
    still_air: float
    """Conduction through the gap's still air, on the barrel's outer surface [W/(m2 K)]."""
    gap_spread: float
    """Inner diameter of the shell over the barrel's [-]."""
    shell_resistance: float
    """Of the shell's wall, on the barrel's outer surface [m2 K/W]."""
    spread: float
    """Outer diameter of the shell over the barrel's [-]."""
    emissivity: float
    """Of the shell, inside and outside [-]."""


@dataclass(frozen=True, kw_only=True)
class Network:
    """Sizes of the network, arrays over designs (B,)."""

    machine: Machine
    """Stacked machine; jackets and exhausts are in `passages`."""
    layout: Layout
    passages: PassageGeometry
    """Stacked passages, fields (node, B)."""
    resisting: PassageGeometry
    """Passages that set the flow curves; the same unless a question takes resistance away."""
    supply_enthalpy: Array
    """Specific enthalpy of the supply, shape (B,) [J/kg]."""
    idle_shells: tuple[IdleShell, ...]
    """For each stage, the shell of a jacket that no exhaust feeds."""
    room_enthalpy: Array
    """Specific enthalpy of room air, shape (B,) [J/kg]."""
    fill: Conductance
    """Supply line and valve in series, fields (B,)."""
    C: Array
    """Sonic conductance of the paths fill, vent, then two check valves a stage, (path, B)
    [m3/(s Pa)]."""
    b: Array
    """Critical ratio of the paths [-]."""
    opening: Array
    """Opening pressure of the paths [Pa]."""
    drive_area: Array
    """Piston area towards chamber 1 and 2, shape (2, B) [m2]."""
    stage_area: Array
    """Piston area of each stage, shape (stage, B) [m2]."""
    clearance_length: Array
    """Clearance volume over piston area, shape (stage, B) [m]."""
    fixed_volume: Array
    """Volume of each volume at its smallest, shape (volume, B) [m3]."""
    hold: Array
    """Rest at each stroke end, dead time and dwell, shape (B,) [s]."""
    imposed_rate: Array
    """Imposed cycle rate, shape (B,); NaN where free [1/s]."""
    heat: Array
    """1 where jackets exchange heat with the barrels [-]."""
    resistance: Array
    """1 where passages resist [-]."""
    conductance_factor: Array
    """Multiplier on passage flow [-]."""
    closure_names: NDArray[np.str_]
    """Passage closure of each design, shape (B,)."""

    @property
    def closures(self) -> dict[str, NDArray[np.intp]]:
        """Design indices by passage closure."""
        names = self.closure_names
        return {str(n): np.flatnonzero(names == n) for n in dict.fromkeys(names.tolist())}

    @property
    def designs(self) -> int:
        """Number of designs."""
        return int(self.hold.shape[0])


def layout_of(machine: Machine) -> Layout:
    """Number the volumes of a machine."""
    node_stage = port_stages(machine)
    nodes = tuple(2 + i for i in range(len(node_stage)))
    ports = (nodes[0], nodes[-1])
    base = 2 + len(nodes)
    chambers = tuple(base + i for i in range(len(machine.stages)))
    names = [s.name for s in machine.stages]
    lines: list[int | None] = []
    after: list[int | None] = [None] * len(names)
    count = base + len(names)
    for stage in machine.stages:
        if stage.draws_from == "supply":
            lines.append(None)
            continue
        lines.append(count)
        after[names.index(stage.draws_from)] = count
        count += 1
    return Layout(
        ports=ports,
        nodes=nodes,
        node_stage=node_stage,
        chambers=chambers,
        lines=tuple(lines),
        after=tuple(after),
        compresses_on=tuple(s.compresses_on for s in machine.stages),
        count=count,
    )


def build_network(designs: list[Design], air: AirTable) -> Network:
    """Stack designs of one layout into a network."""
    machines = [_plain(d.machine) for d in designs]
    layout = layout_of(designs[0].machine)
    m = stack(machines)
    geometry = _stacked_passages([d.machine for d in designs])
    resisting = _stacked_passages([d.resisting_machine for d in designs])
    stages = m.stages
    check = [c for s in stages for c in (s.inlet, s.delivery)]
    flows = [m.valve.fill, m.valve.vent, *(c.conductance for c in check)]
    none = np.zeros_like(m.drive.stroke)
    area = np.pi / 4 * np.stack([np.asarray(s.bore) ** 2 for s in stages])
    clear = np.stack([s.clearance * m.drive.stroke for s in stages])
    bore = np.pi / 4 * np.asarray(m.drive.bore) ** 2
    rods = np.stack([m.drive.rod_1, m.drive.rod_2])
    fixed = [m.drive.dead_volume_1, m.drive.dead_volume_2]
    fixed += [SMALLEST_NODE + PASSAGE_SHARE * v for v in np.asarray(resisting.volume)]
    fixed += list(area * clear)
    fixed += [s.line.volume for s in stages if s.line is not None]
    supply_p, supply_T = np.asarray(m.supply.pressure), np.asarray(m.supply.temperature)
    names = np.array([d.closure for d in designs])
    rates = [d.machine.valve.cycle_rate for d in designs]
    return Network(
        machine=m,
        layout=layout,
        passages=geometry,
        resisting=resisting,
        supply_enthalpy=air.thermo(supply_T, supply_p).h,
        idle_shells=_idle_shells([d.machine for d in designs]),
        room_enthalpy=air.thermo(np.asarray(m.room.temperature), np.asarray(m.room.pressure)).h,
        fill=m.valve.fill,
        C=np.stack([f.sonic for f in flows]),
        b=np.stack([f.critical_ratio for f in flows]),
        opening=np.stack([none, none, *(np.asarray(c.opening_pressure) for c in check)]),
        drive_area=bore - np.pi / 4 * rods**2,
        stage_area=area,
        clearance_length=clear,
        fixed_volume=np.stack([np.asarray(v, dtype=float) for v in fixed]),
        hold=np.asarray(m.valve.dead_time + m.valve.dwell),
        imposed_rate=np.array([np.nan if r is None else r for r in rates]),
        heat=np.array([float(d.heat) for d in designs]),
        resistance=np.array([float(d.resistance != "none") for d in designs]),
        conductance_factor=np.array([d.conductance_factor for d in designs]),
        closure_names=names,
    )


def _plain(machine: Machine) -> Machine:
    """Fold the supply line into the valve and drop what `passages` holds."""
    valve, line = machine.valve, machine.supply.line
    if line is not None:
        C, b = iso6358.series(
            line.sonic, line.critical_ratio, valve.fill.sonic, valve.fill.critical_ratio
        )
        valve = replace(valve, fill=Conductance(sonic=float(C), critical_ratio=float(b)))
    bare = Exhaust(to="atmosphere")
    return replace(
        machine,
        valve=replace(valve, cycle_rate=None),
        supply=replace(machine.supply, line=None),
        stages=tuple(replace(s, jacket=None) for s in machine.stages),
        exhaust_1=bare,
        exhaust_2=bare,
    )


def _idle_shells(machines: list[Machine]) -> tuple[IdleShell, ...]:
    """Stack each stage's idle shell over the designs."""
    stages = range(len(machines[0].stages))
    return tuple(stack([_idle_shell(m, m.stages[i]) for m in machines]) for i in stages)


def _idle_shell(machine: Machine, stage: Stage) -> IdleShell:
    jacket = stage.jacket
    fed = stage.name in (machine.exhaust_1.to, machine.exhaust_2.to)
    if jacket is None or fed:
        return IdleShell(
            start=0.0, length=0.0, still_air=1.0, gap_spread=1.0, shell_resistance=0.0,
            spread=1.0, emissivity=0.9,
        )  # fmt: skip
    barrel = stage.bore + 2 * stage.wall_thickness
    inner = barrel + 2 * jacket.gap
    outer = inner + 2 * jacket.shell_thickness
    return IdleShell(
        start=jacket.offset,
        length=jacket.wound_length,
        still_air=STILL_AIR / (barrel / 2 * math.log(inner / barrel)),
        gap_spread=inner / barrel,
        shell_resistance=barrel / 2 * math.log(outer / inner) / jacket.shell.conductivity,
        spread=outer / barrel,
        emissivity=jacket.shell.emissivity,
    )


def _stacked_passages(machines: list[Machine]) -> PassageGeometry:
    """Stack the machines' passages to fields of shape (node, B)."""
    each = [stack(parts) for parts in zip(*map(passage_geometries, machines), strict=True)]
    names = [f.name for f in fields(PassageGeometry)]
    return PassageGeometry(**{n: np.stack([getattr(p, n) for p in each]) for n in names})  # type: ignore[arg-type]
