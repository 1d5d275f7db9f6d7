"""Profiles and diagrams of one running machine, for drawings, figures and the report."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.pressure_budget import PressureBudget, read_budgets
from jacketcalc.core.solution import Solution
from jacketcalc.gas.table import air

FIRST_INSTANT = 2.0**0.5 - 1.0
"""Time from a step's start to its first instant, over that instant's weight: the method's diagonal
over 1 less it (`core/c/stroke.c`) [-]."""


@dataclass(frozen=True, kw_only=True)
class PassageDetail:
    """Air along one passage and through one pulse."""

    stage: str
    """Stage whose jacket it feeds; empty for none."""
    position: Array
    """Axial position of the channel's faces from the head end, shape (face,) [m]."""
    temperature: Array
    """Mass-mean stagnation temperature there [K]."""
    pressure_peak: Array
    """Static pressure there at the strongest phase [Pa]."""
    mach_peak: Array
    """Mach number there at the strongest phase [-]."""
    wall_temperature: Array
    """Barrel outside under the channel cells, shape (cell,) [K]."""
    shell_temperature: Array
    """Shell inside over the channel cells, shape (cell,) [K]."""
    coefficient: Array
    """Mass-mean convective coefficient in the channel cells [W/(m2 K)]."""
    time: Array
    """Time from the reversal of the valve that starts the pulse, shape (instant,) [s]."""
    port_pressure: Array
    """Pressure at the valve's exhaust [Pa]."""
    port_temperature: Array
    """Temperature there [K]."""
    flow: Array
    """Mass flow [kg/s]."""


@dataclass(frozen=True, kw_only=True)
class StageDetail:
    """A stage's cycle and wall."""

    name: str
    volume: Array
    """Gas volume over the cycle, from the reversal to stroke 1, shape (instant,) [m3]."""
    pressure: Array
    """Gas pressure [Pa]."""
    temperature: Array
    """Gas temperature [K]."""
    wall_position: Array
    """Middle of the wall nodes from the head end, shape (node,) [m]."""
    wall_inside: Array
    """Inner surface [K]."""
    wall_outside: Array
    """Outer surface [K]."""
    head_temperature: float
    """Head [K]."""
    crown_temperature: float
    """Piston crown [K]."""


@dataclass(frozen=True, kw_only=True)
class Detail:
    """Everything drawn of one machine."""

    time: Array
    """Time from the reversal to stroke 1, shape (instant,) [s]."""
    position: Array
    """Piston position [m]."""
    drive_pressure: Array
    """Drive chambers, shape (2, instant) [Pa]."""
    stages: tuple[StageDetail, ...]
    passages: tuple[PassageDetail, ...]
    pressure_budgets: tuple[PressureBudget, ...] = ()
    """What each passage's parts cost; none of what is not there."""


def read_detail(s: Solution) -> Detail:
    """Return the details of a solution."""
    one, two = s.parts
    return Detail(
        time=instant_times(s.whole["dt"]),
        position=np.concatenate([one["place"], s.machine.drive.stroke - two["place"]]),
        drive_pressure=s.whole["p"][:, :2].T.copy(),
        stages=tuple(_stage(s, i) for i in range(len(s.machine.stages))),
        passages=tuple(_passage(s, node) for node in range(len(s.numbering.nodes))),
        pressure_budgets=read_budgets(s),
    )


def instant_times(weights: Array) -> Array:
    """Return the times at which instants, two a step, were solved, from their weights [s]."""
    ends = np.cumsum(weights)
    times = ends.copy()
    times[::2] -= (1.0 - FIRST_INSTANT) * weights[::2]
    return times


def _stage(s: Solution, i: int) -> StageDetail:
    chamber, barrel, rings = s.numbering.stages[i], s.found["barrel"][i], s.rings
    stage = s.machine.stages[i]
    at_rest = np.full(rings, s.machine.ambient.temperature)
    return StageDetail(
        name=stage.name,
        volume=s.whole["volume"][:, chamber].copy(),
        pressure=s.whole["p"][:, chamber].copy(),
        temperature=s.whole["T"][:, chamber].copy(),
        wall_position=(np.arange(rings) + 0.5) * stage.barrel_length / rings,
        wall_inside=barrel["inside"][:rings].copy() if s.runs else at_rest,
        wall_outside=barrel["outside"][:rings].copy() if s.runs else at_rest,
        head_temperature=float(barrel["head"] if s.runs else at_rest[0]),
        crown_temperature=float(barrel["crown"] if s.runs else at_rest[0]),
    )


def _passage_at_rest(s: Solution, node: int) -> PassageDetail:
    """Return a passage without flow, all of it as the surroundings are."""
    ambient, g, cells = s.machine.ambient, s.record["passage"][node], s.cells
    stage = s.numbering.node_stage[node]
    none, warm = np.zeros(0), np.full(cells + 1, ambient.temperature)
    return PassageDetail(
        stage=s.machine.stages[stage].name if stage >= 0 and s.jacketed(node) else "",
        position=float(g["start"]) + np.arange(cells + 1) / cells * float(g["advance"]),
        temperature=warm,
        pressure_peak=np.full(cells + 1, ambient.pressure),
        mach_peak=np.zeros(cells + 1),
        wall_temperature=warm[:cells],
        shell_temperature=warm[:cells],
        coefficient=np.zeros(cells),
        time=none,
        port_pressure=none,
        port_temperature=none,
        flow=none,
    )


def _passage(s: Solution, node: int) -> PassageDetail:
    if not s.runs:
        return _passage_at_rest(s, node)
    g, pulses = s.record["passage"][node], s.found["pulses"][node]
    n, cells, phases = s.tube, s.cells, int(pulses["phases"])
    mass, time = pulses["mass"][:phases], pulses["time"][:phases]
    rows, weight = s.found["march"][node][:phases], mass / mass.sum()
    faces = slice(n + 1, n + cells + 2)
    strong = int(np.argmax(mass / time))
    T, p = rows["T"][strong, faces].copy(), rows["p"][strong, faces].copy()
    mach = np.zeros_like(T)
    if T.min() > 0.0:
        gas = air()
        speed = mass[strong] / time[strong] / float(g["area"]) / gas.thermo(T, p).rho
        mach = np.asarray(speed / gas.sound_speed(T, p))
    # The stroke on which a node's port exhausts comes first; with one node for both, stroke 1 does.
    order = (0, 1) if len(s.numbering.nodes) == 1 or node == 1 else (1, 0)
    pulse = {
        name: np.concatenate([s.parts[half][name] for half in order])
        for name in ("dt", "p", "T", "exhaust")
    }
    stage, volume = s.numbering.node_stage[node], s.numbering.nodes[node]
    marks = np.arange(cells + 1) / cells
    around = s.found["around"][node]
    return PassageDetail(
        stage=s.machine.stages[stage].name if stage >= 0 and s.jacketed(node) else "",
        position=float(g["start"]) + marks * float(g["advance"]),
        temperature=rows["T0"][:, faces].T @ weight,
        pressure_peak=p,
        mach_peak=mach,
        wall_temperature=around["barrel"][:cells].copy(),
        shell_temperature=around["outer"][n : n + cells].copy(),
        coefficient=rows["coefficient"][:, :cells].T @ weight,
        time=instant_times(pulse["dt"]),
        port_pressure=pulse["p"][:, volume],
        port_temperature=pulse["T"][:, volume],
        flow=pulse["exhaust"][:, node],
    )
