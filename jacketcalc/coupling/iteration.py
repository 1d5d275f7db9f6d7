"""One iteration of the whole machine: the physics on one page.

walls and contents -> flow curves of the passages -> both strokes -> exhaust pulses ->
their march through the passages -> wall balances -> walls and contents.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.barrel_wall import (
    BarrelGrid,
    BarrelTemperatures,
    WallLoad,
    build_grid,
    gas_side_temperature,
    solve_walls,
)
from jacketcalc.components.chamber_heat import Pace
from jacketcalc.components.chambers import Network
from jacketcalc.components.contents import near_contents, settle
from jacketcalc.components.designs import Array
from jacketcalc.components.passage_cells import CHANNEL_CELLS, Walls
from jacketcalc.components.passage_curve import Curve, fit_curve, with_exponent
from jacketcalc.components.passage_march import (
    SWEEPS_COLD,
    March,
    Profile,
    cold_profile,
    march,
    mended,
)
from jacketcalc.components.pulses import PassageHeat, Pulses, cut_pulses, passage_heat
from jacketcalc.components.record import GasState, Record, StrokeWalls, Track
from jacketcalc.components.stroke import Setting, Stroke
from jacketcalc.components.stroke_grid import Resolution, instants
from jacketcalc.components.stroke_opening import opening_peak
from jacketcalc.components.stroke_track import refined
from jacketcalc.coupling.drive_wall import drive_room_conductance, solve_drive_wall
from jacketcalc.coupling.first_guess import first_guess
from jacketcalc.coupling.surroundings import passage_room_conductance
from jacketcalc.coupling.unknowns import Unknowns
from jacketcalc.coupling.wall_loads import wall_load
from jacketcalc.flow import iso6358
from jacketcalc.gas.table import AirTable
from jacketcalc.passage_geometry import OPEN_VENT

LEVELS = 22
"""Levels of flow that make a passage's curve."""
AGAIN = (0.6, 0.73, 0.87, 1.0)
"""Places among the levels marched again with colder air, for the curve's temperature power."""
COLDER = 40.0
"""How much colder: a pulse ends some 60 K below its mean [K]."""
LOWEST_LEVEL = 3e-3
"""Lowest level, as a share of the valve's choked flow at supply pressure [-]."""
CHOKED_FACTOR = 0.0404
"""Choked mass flow x sqrt(T) / (pressure x area) of air [sqrt(K) s/m]."""


@dataclass(kw_only=True)
class Snapshot:
    """Everything one iteration found; the last one holds the results."""

    start: Unknowns
    records: tuple[Record, Record]
    """Strokes 1 and 2."""
    curve: Curve
    pulses: Pulses
    march: March
    levels: March
    heat: PassageHeat
    passage_walls: Walls
    load: WallLoad
    walls: BarrelTemperatures
    """Wall temperatures the loads lead to."""
    outer_room: Array
    """Conductance from tube wall or shell inside to the room, (cell, port node, B) [W/K]."""
    drive_room: Array
    """Conductance from the drive wall to the room, shape (B,) [W/K]."""
    drive_gas: Array
    """Heat from drive gas to its wall, shape (B,) [W]."""
    drive_friction: Array
    """Friction and impact heat of the drive, shape (B,) [W]."""


@dataclass(kw_only=True)
class LeftOver:
    """What an iteration leaves for the next to start near; results do not depend on it."""

    warm: dict[str, Profile]
    """Profiles along the passages."""
    tracks: tuple[Track, ...]
    """The way of both strokes; none before the first iteration."""
    strayed: NDArray[np.bool_]
    """A stroke left its track: it is marched from then on, shape (B,)."""
    borrowed: bool = False
    """The way is that of other steps: to leave it means nothing."""


class Iteration:
    """The map whose fixed point is the running machine.

    Parameters
    ----------
    network : stacked designs
    air : property table
    resolution : steps of a stroke
    """

    def __init__(self, network: Network, air: AirTable, resolution: Resolution) -> None:
        self.network, self.air, self.resolution = network, air, resolution
        self.strokes = (Stroke(network, 1), Stroke(network, 2))
        self.grid: BarrelGrid = build_grid(network, instants(resolution))
        self.levels = self._levels()
        self.left_over = LeftOver(warm={}, tracks=(), strayed=np.zeros(network.designs, dtype=bool))

    def _levels(self) -> Array:
        """Flow levels of the curves, shape (level, node, B) [kg/s]."""
        net, g = self.network, self.network.resisting
        p = np.asarray(net.machine.supply.pressure)
        valve = net.C[1] * iso6358.REFERENCE_DENSITY * p
        narrow = np.minimum(np.minimum(g.tube_area, g.area), g.vent_area)
        real = (narrow < 0.1) & (g.obstructs > 0) & (net.resistance > 0)
        nozzle = CHOKED_FACTOR * narrow / np.sqrt(250.0)
        # No port stands above the supply: a narrow passage is not asked for the valve's flow.
        valve = np.minimum(valve, np.where(real, 1.5 * p * nozzle, valve))
        choked = 5 * net.machine.room.pressure * nozzle
        top = np.maximum(1.5 * valve, np.where(real, choked, 0.0))
        share = np.linspace(0.0, 1.0, LEVELS)[:, None, None]
        return np.asarray(LOWEST_LEVEL * valve * (top / (LOWEST_LEVEL * valve)) ** share)

    def start(self) -> Unknowns:
        """Return the guess to start from."""
        return first_guess(self.network, self.air, self.strokes[0].start_volume)

    def near(self, left: LeftOver, resolution: Resolution, u: Unknowns) -> LeftOver:
        """Return what an iteration in other steps left over, for the first one from `u` here."""
        rest = self.network.hold + u.wait[0]
        tracks = tuple(
            refined(track, side.course(rest, resolution), side.course(rest, self.resolution))
            for side, track in zip(self.strokes, left.tracks, strict=True)
        )
        strayed = np.zeros(self.network.designs, dtype=bool)
        return LeftOver(warm=left.warm, tracks=tracks, strayed=strayed, borrowed=True)

    def __call__(self, u: Unknowns, guess: GasState) -> tuple[Unknowns, Snapshot]:
        """Go once round; `guess` holds pressures and temperatures near the start, replaced."""
        net, air = self.network, self.air
        m = net.machine
        room_T, room_p = np.asarray(m.room.temperature), np.asarray(m.room.pressure)
        walls = _walls_of(u)
        around = self._passage_walls(u)
        levels, curve = self._curve(u, around, room_p)
        records = self._strokes(u, guess, walls, curve)
        pulses = self._pulses(records)
        marched = self._march("pulse", pulses.flow, pulses.T0, around, room_p)
        heat = passage_heat(air, net.passages, pulses, marched, around)
        load = wall_load(air, net, self.grid, u, records, pulses.period, heat)
        found = solve_walls(self.grid, load)
        outer_room = passage_room_conductance(air, net, u.outer)
        outer = (heat.outer_pull + outer_room * room_T) / np.maximum(heat.outer + outer_room, 1e-12)
        outer = np.where(heat.outer > 0.0, outer, room_T)
        drive_room = drive_room_conductance(net, air, u.drive_wall[0])
        drive = solve_drive_wall(net, self.grid, records, found, pulses.period, drive_room)
        new = Unknowns(
            m=guess.m,
            U=guess.U,
            inside=found.inside,
            outside=found.outside,
            head=found.head,
            crown=found.crown,
            drive_wall=drive.temperature[None],
            outer=outer,
            port_temperature=(pulses.mass * pulses.T0).sum(axis=0) / pulses.mass.sum(axis=0),
            period=pulses.period[None],
            wait=self._wait(u, pulses.period),
        )
        snapshot = Snapshot(
            start=u, records=records, curve=curve, pulses=pulses, march=marched, levels=levels,
            heat=heat, passage_walls=around, load=load, walls=found, outer_room=outer_room,
            drive_room=drive_room, drive_gas=drive.gas, drive_friction=drive.friction,
        )  # fmt: skip
        return new, snapshot

    def flow_curves(self, u: Unknowns) -> Curve:
        """Return the passages' flow curves at given walls."""
        room = np.asarray(self.network.machine.room.pressure)
        return self._curve(u, self._passage_walls(u), room)[1]

    def opening(self, u: Unknowns, reversal: GasState, seconds: Array) -> Array:
        """Highest pressure of each node while the pistons pick up speed, (node, B) [Pa].

        Parameters
        ----------
        u : what a converged iteration started from
        reversal : contents at the reversal to stroke 2
        seconds : time at each place of the travel of both strokes, shape (2, place, B) [s]
        """
        curve, walls = self.flow_curves(u), _walls_of(u)
        first = near_contents(self.air, u.m, u.U, self.strokes[0].start_volume)
        peaks = [
            opening_peak(
                side, self._setting(u, walls, side.number, curve), state, self.resolution, passed
            )
            for side, state, passed in zip(self.strokes, (first, reversal), seconds, strict=True)
        ]
        return np.maximum(*peaks)

    def _pace(self, u: Unknowns) -> Pace:
        stroke = np.asarray(self.network.machine.drive.stroke)
        return Pace(omega=2 * np.pi / u.period[0], piston_speed=2 * stroke / u.period[0])

    def _setting(
        self, u: Unknowns, walls: BarrelTemperatures, stroke: int, curve: Curve
    ) -> Setting:
        """What a stroke goes on between."""
        seen = StrokeWalls(
            drive=u.drive_wall[0],
            stage=gas_side_temperature(self.grid, walls, stroke),
            room=np.asarray(self.network.machine.room.temperature),
        )
        return Setting(
            air=self.air, curve=curve, walls=seen, pace=self._pace(u),
            settled=self.resolution.settled,
        )  # fmt: skip

    def _passage_walls(self, u: Unknowns) -> Walls:
        net, grid = self.network, self.grid
        nodes = len(net.layout.nodes)
        barrel = np.empty((CHANNEL_CELLS, nodes, net.designs))
        barrel[:] = np.asarray(net.machine.room.temperature)
        for node, stage in enumerate(net.layout.node_stage):
            if stage >= 0:
                placed = grid.placement[:, :, node]
                lying = placed.sum(axis=0)
                under = np.einsum("ncb,nb->cb", placed, u.outside[:, stage])
                on = lying > 0.5
                barrel[:, node] = np.where(on, under / np.where(on, lying, 1.0), barrel[:, node])
        return Walls(barrel=barrel, outer=u.outer, heat=net.heat * net.passages.present)

    def _curve(self, u: Unknowns, around: Walls, room_p: Array) -> tuple[March, Curve]:
        net, g = self.network, self.network.resisting
        again = self.levels[[round(place * (LEVELS - 1)) for place in AGAIN]]
        colder = u.port_temperature - COLDER
        T0 = np.broadcast_to(u.port_temperature, self.levels.shape)
        both = np.concatenate([T0, np.broadcast_to(colder, again.shape)])
        rows = np.concatenate([self.levels, again])
        levels = self._march("level", rows, both, around, room_p)
        found, found_again = np.split(levels.port_pressure, [LEVELS])
        wide = iso6358.upstream_pressure(
            OPEN_VENT.sonic, OPEN_VENT.critical_ratio, self.levels, room_p, T0
        )
        resists = (net.resistance * g.obstructs) > 0.5
        pressure = np.where(resists, found, wide)
        factor = net.conductance_factor
        curve = fit_curve(self.levels * factor, pressure, u.port_temperature, room_p)
        warmed = with_exponent(curve, again * factor, found_again, colder)
        power = np.where(resists, warmed.exponent, curve.exponent)
        return levels, replace(curve, exponent=power)

    def _march(self, name: str, flow: Array, T0: Array, around: Walls, room_p: Array) -> March:
        start, sweeps = self.left_over.warm.get(name), 1
        if start is None or start.T0.shape[1:] != flow.shape:
            start, sweeps = cold_profile(flow.shape, T0, room_p * 1.2), SWEEPS_COLD
        else:
            start = mended(start, T0, room_p * 1.2)
        passages = self.network.resisting if name == "level" else self.network.passages
        found = march(
            self.air, passages, self.network.closures, flow, T0, around, room_p,
            start, sweeps,
        )  # fmt: skip
        self.left_over.warm[name] = found.profile
        return found

    def _strokes(
        self,
        u: Unknowns,
        guess: GasState,
        walls: BarrelTemperatures,
        curve: Curve,
    ) -> tuple[Record, Record]:
        net = self.network
        near = GasState(m=u.m, U=u.U, p=guess.p, T=guess.T)
        near = settle(self.air, near, self.strokes[0].start_volume)
        guess.m, guess.U, guess.p, guess.T = near.m, near.U, near.p, near.T
        rest = net.hold + u.wait[0]
        left, found = self.left_over, []
        for side, track in zip(self.strokes, left.tracks or (None, None), strict=True):
            setting = self._setting(u, walls, side.number, curve)
            course = side.course(rest, self.resolution)
            if track is None:
                found.append(side.run(setting, guess, course))
            else:
                found.append(side.follow(setting, guess, course, track))
                if not left.borrowed:
                    left.strayed = left.strayed | (track.sound & ~found[-1].followed)
        left.tracks, left.borrowed = tuple(record.track() for record in found), False
        for track in left.tracks:
            track.sound[left.strayed] = False
        return found[0], found[1]

    def _pulses(self, records: tuple[Record, Record]) -> Pulses:
        """Cut each node's exhaust, starting with the stroke on which its port vents."""
        layout = self.network.layout
        one, two = records
        rows: list[list[Array]] = [[], [], []]
        for i, node in enumerate(layout.nodes):
            first, then = (two, one) if node == layout.ports[0] else (one, two)
            if layout.ports[0] == layout.ports[1]:
                first, then = one, two
            for row, parts in zip(
                rows,
                (
                    (first.exhaust[:, i], then.exhaust[:, i]),
                    (first.T[:, node], then.T[:, node]),
                    (first.dt, then.dt),
                ),
                strict=True,
            ):
                row.append(np.concatenate(parts))
        flow, T, dt = (np.stack(row, axis=1) for row in rows)
        return cut_pulses(flow, T, dt, 2 if len(layout.nodes) == 1 else 1)

    def _wait(self, u: Unknowns, period: Array) -> Array:
        """Extra rest that brings the cycle to its imposed rate; none where it is free."""
        imposed = self.network.imposed_rate
        free = period - 2 * u.wait[0]
        wanted = 0.5 * (1.0 / np.where(np.isnan(imposed), 1.0, imposed) - free)
        return np.where(np.isnan(imposed), 0.0, np.maximum(wanted, 0.0))[None]


def _walls_of(u: Unknowns) -> BarrelTemperatures:
    """Walls as the unknowns have them; the middle is found, not assumed."""
    return BarrelTemperatures(
        inside=u.inside, middle=u.inside, outside=u.outside, head=u.head, crown=u.crown
    )
