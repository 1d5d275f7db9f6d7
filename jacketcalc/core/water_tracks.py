"""Hands over what air meets along its whole path: chambers, exhaust, walls, stages, line, receiver.

Where stages draw from a source, their gas is taken dry and what it meets is left out. A valve's own
metal, and what leaks past seals, is not followed.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.solution import Solution
from jacketcalc.core.traces import passage_parts, port_track, stage_track
from jacketcalc.findings.passage_water import FLOWING, PassagePart
from jacketcalc.findings.stage_water import coldest_bared, moment_of
from jacketcalc.findings.water_path import WaterTrack, WaterTracks
from jacketcalc.flow_data import throat_area
from jacketcalc.geometry import circle_diameter

GAS, CAPACITY = 287.05, 1005.0
"""Gas constant and specific heat of the exhaust, an ideal gas at an outlet [J/(kg K)]."""
GAMMA = 1.4
"""Ratio of its specific heats [-]."""


def read_tracks(s: Solution) -> WaterTracks | None:
    """Return the tracks of a machine that runs, None of one that does not."""
    if not s.runs:
        return None
    m = s.machine
    supplied = [i for i, one in enumerate(m.stages) if one.draws_from == "supply"]
    moist = [i for i, one in enumerate(m.stages) if m.feed(one) is m.supply]
    tracks = [*_drive(s)]
    for node in range(len(s.numbering.nodes)):
        tracks += _exhaust(s, node)
    for i in moist:
        tracks += [*_line(s, i), *_stage(s, i)]
    tracks += [_receiver(s)] if moist else []
    return WaterTracks(
        tracks=tuple(tracks),
        period=s.period,
        drive_air=s.carried(0) / s.period,
        stage_air=sum(s.carried(2 + 2 * i) for i in supplied) / s.period,
    )


def _drive(s: Solution) -> Iterator[WaterTrack]:
    """Yield air and wall of both chambers; all air of a cycle passes at any instant at most."""
    time = np.cumsum(s.whole["dt"])
    first = len(s.parts[0]["dt"])
    fed = s.carried(0) * s.record["drive_area"] / float(s.record["drive_area"].sum())
    wall = float(s.found["start"]["drive_wall"])
    for chamber in (0, 1):
        p = s.whole["p"][:, chamber]
        feeding = (np.arange(p.size) < first) == (chamber == 0)
        words = tuple("as it is fed" if one else "as it empties" for one in feeding)
        for name, T in (("air", s.whole["T"][:, chamber]), ("wall", np.full_like(p, wall))):
            yield WaterTrack(
                name=f"{name} of drive chamber {chamber + 1}", part="drive",
                temperature=T[None, :], pressure=p[None, :], passed=_spread(fed[chamber], p),
                moments=words, time=time, stays=True,
            )  # fmt: skip


def _spread(mass: float, like: Array) -> Array:
    return np.full(like.size, mass / like.size)


def _exhaust(s: Solution, node: int) -> Iterator[WaterTrack]:
    """Yield the air at the valve, then tube, channel and outlet."""
    port = port_track(s, node)
    flows = port.flow > FLOWING * port.flow.max()
    area = throat_area(s.machine.valve.exhaust_path.sonic)
    yield WaterTrack(
        name=f"air at the valve, {port.place}", part="exhaust air",
        temperature=port.temperature[flows][None, :], pressure=port.pressure[flows][None, :],
        passed=(port.flow * s.whole["dt"])[flows],
        moments=("as it leaves",) * int(flows.sum()),
        time=np.cumsum(s.whole["dt"])[flows], along=np.zeros(1), area=area,
        span=np.array([circle_diameter(area)]),
    )  # fmt: skip
    g, pulses, way = s.record["passage"][node], s.found["pulses"][node], 0.0
    phases = int(pulses["phases"])
    if not phases:
        return
    for part in passage_parts(s, node):
        tube = part.origin == "its port"
        length = float(g["tube_length"] if tube else g["length"])
        area = float(g["tube_area"] if tube else g["area"])
        yield from _passage(s, node, part, way, length, area)
        way += length
    exhausts = (s.machine.exhaust_1, s.machine.exhaust_2)
    if s.jacketed(node) and exhausts[min(node, 1)].silencer is None:
        yield _outlet(s, node, way)


def _passage(
    s: Solution, node: int, part: PassagePart, way: float, length: float, area: float
) -> Iterator[WaterTrack]:
    """Yield the air of a tube or a channel, then each of its walls, cell by cell."""
    pulses = s.found["pulses"][node]
    cells, phases = part.air.shape[0] - 1, part.air.shape[1]
    mass, time = pulses["mass"][:phases], np.cumsum(pulses["time"][:phases])
    words = tuple(f"phase {k + 1} of {phases} of a pulse" for k in range(phases))
    face = way + np.arange(cells + 1) / cells * length
    ends = np.full(cells + 1, length / cells)
    ends[[0, -1]] *= 0.5
    yield WaterTrack(
        name=f"air in the {part.place}", part="exhaust air", temperature=part.air,
        pressure=part.pressure, passed=mass, moments=words, time=time, distance=part.distance,
        origin=part.origin, along=face, area=area, span=ends,
    )  # fmt: skip
    middle = 0.5 * (part.distance[:-1] + part.distance[1:])
    pressure = 0.5 * (part.pressure[:-1] + part.pressure[1:])
    for name, surface in part.walls.items():
        yield WaterTrack(
            name=f"{name} of the {part.place}", part="passage wall",
            temperature=np.repeat(surface[:, None], phases, axis=1), pressure=pressure,
            passed=mass, moments=words, time=time, distance=middle, origin=part.origin,
            along=0.5 * (face[:-1] + face[1:]), area=area, span=np.full(cells, length / cells),
        )  # fmt: skip


def _outlet(s: Solution, node: int, way: float) -> WaterTrack:
    """Return the air in the outlet holes, where it is fastest."""
    g, pulses = s.record["passage"][node], s.found["pulses"][node]
    phases = int(pulses["phases"])
    mass, time = pulses["mass"][:phases], pulses["time"][:phases]
    T0 = s.found["march"][node]["T0"][:phases, s.tube + s.cells + 1]
    stage = s.machine.stages[s.numbering.node_stage[node]]
    assert stage.jacket is not None
    T, p = outlet_state(mass / time / float(g["outlet_area"]), T0, s.machine.ambient.pressure)
    return WaterTrack(
        name=f"air in the outlet of stage {stage.name}", part="exhaust air", temperature=T[None, :],
        pressure=p[None, :], passed=mass,
        moments=tuple(f"phase {k + 1} of {phases} of a pulse" for k in range(phases)),
        time=np.cumsum(time), along=np.array([way]), area=float(g["outlet_area"]),
        span=np.array([stage.jacket.shell_thickness]),
    )  # fmt: skip


def outlet_state(flux: Array, T0: Array, ambient: float) -> tuple[Array, Array]:
    """Return static temperature [K] and pressure [Pa] in a hole that opens into the surroundings.

    Parameters
    ----------
    flux : mass flow over area [kg/(s m2)]
    T0 : stagnation temperature [K]
    ambient : pressure of the surroundings, kept in the hole unless the flow chokes [Pa]
    """
    lowest = T0 * 2.0 / (GAMMA + 1.0)
    choking = flux * GAS * lowest / np.sqrt(GAMMA * GAS * lowest)
    p = np.maximum(ambient, choking)
    a = (flux * GAS / p) ** 2 / (2.0 * CAPACITY)
    return np.maximum(2.0 * T0 / (1.0 + np.sqrt(1.0 + 4.0 * a * T0)), lowest), p


def _line(s: Solution, i: int) -> Iterator[WaterTrack]:
    """Yield the wall of the line before a stage, or its air where its wall is not followed."""
    volume, stage = s.numbering.lines[i], s.machine.stages[i]
    if volume < 0:
        return
    walled = float(s.record["stage"][i]["line_length"]) > 0.0
    p = s.whole["p"][:, volume]
    T = np.full_like(p, float(s.found["line_wall"][i])) if walled else s.whole["T"][:, volume]
    time = np.cumsum(s.whole["dt"])
    yield WaterTrack(
        name=f"{'wall' if walled else 'air'} of the line to stage {stage.name}", part="line",
        temperature=T[None, :], pressure=p[None, :], passed=_spread(s.carried(2 + 2 * i), p),
        moments=_shares(time), time=time, stays=True,
    )  # fmt: skip


def _shares(time: Array) -> tuple[str, ...]:
    return tuple(f"{100.0 * t / time[-1]:.0f} % into the cycle" for t in time)


def _stage(s: Solution, i: int) -> Iterator[WaterTrack]:
    """Yield head, crown and the coldest bared ring of a stage at every instant."""
    track = stage_track(s, i)
    p, time = track.pressure[None, :], np.cumsum(s.whole["dt"])
    words = tuple(moment_of(track.bared, k) for k in range(track.bared.size))
    place, coldest = coldest_bared(track)
    surfaces = (
        ("head", np.full_like(p, track.head), np.zeros(0)),
        ("crown", np.full_like(p, track.crown), np.zeros(0)),
        ("barrel", coldest[None, :], place[None, :]),
    )
    for name, T, distance in surfaces:
        yield WaterTrack(
            name=f"{name} of stage {track.name}", part="stage", temperature=T, pressure=p,
            passed=_spread(s.carried(2 + 2 * i), p[0]), moments=words, time=time, stays=True,
            distance=distance, origin="the head end",
        )  # fmt: skip


def _receiver(s: Solution) -> WaterTrack:
    """Return the receiver's air when it has cooled to the surroundings."""
    m = s.machine
    final = [i for i, after in enumerate(s.numbering.after) if after < 0]
    return WaterTrack(
        name="receiver", part="receiver",
        temperature=np.array([[m.ambient.temperature]]),
        pressure=np.array([[m.receiver_pressure]]),
        passed=np.array([sum(s.carried(3 + 2 * i) for i in final)]),
        moments=("cooled to its surroundings",), time=np.array([s.period]), stays=True,
    )  # fmt: skip
