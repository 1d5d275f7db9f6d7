"""Following a track, all instants at once, against marching through them one by one.

Two ways of solving the same equations: marching is held to closed forms, to the plain script and
to published values elsewhere, and following is held to marching here.
"""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest
from sample import MACHINE, jacketed, network_of, run

from jacketcalc.components import stroke
from jacketcalc.components.chamber_heat import Pace
from jacketcalc.components.chambers import Network
from jacketcalc.components.contents import near_contents
from jacketcalc.components.passage_curve import fit_curve
from jacketcalc.components.record import GasState, Record, StrokeWalls
from jacketcalc.components.stroke import Setting, Stroke
from jacketcalc.components.stroke_grid import Course, Resolution, instants
from jacketcalc.components.stroke_track import refined
from jacketcalc.flow.iso6358 import upstream_pressure
from jacketcalc.gas.table import air

STEPS = Resolution(settled=1e-9)
SMALL = replace(MACHINE, drive=replace(MACHINE.drive, moving_mass=1.2, friction=150.0))
MACHINES = (MACHINE, SMALL)


@pytest.fixture(autouse=True)
def _quiet() -> None:
    np.seterr(all="ignore")


def setting_of(network: Network, warmer: float = 0.0) -> Setting:
    """Open vents, walls at 320 and 400 K, a cycle of 0.9 s."""
    B, room = network.designs, np.asarray(network.machine.room.pressure)
    levels = np.geomspace(1e-5, 60e-3, 22)[:, None, None] * np.ones((1, 2, B))
    T0 = np.full((2, B), 270.0)
    curve = fit_curve(levels, np.asarray(upstream_pressure(6e-8, 0.4, levels, room, T0)), T0, room)
    held = np.array([320.0, 400.0])[None, :, None] + np.full((len(instants(STEPS)), 2, B), warmer)
    walls = StrokeWalls(drive=np.full(B, 300.0), stage=held, room=np.full(B, 293.15))
    pace = Pace(omega=np.full(B, 7.0), piston_speed=np.full(B, 0.27))
    return Setting(air=air(), curve=curve, walls=walls, pace=pace, settled=STEPS.settled)


def filled(side: Stroke, more: float = 0.0) -> GasState:
    """Contents at the reversal to stroke 1; `more` in the line and the stages [-]."""
    net = side.network
    layout, m = net.layout, net.machine
    p = np.empty((layout.count, net.designs))
    p[:] = 1.02 * np.asarray(m.room.pressure)
    p[1] = 0.95 * np.asarray(m.supply.pressure)
    p[layout.chambers[0]], p[layout.chambers[1]] = 8e5, 300e5
    p[layout.lines[1]] = 40e5
    gas = air().thermo(np.full_like(p, 300.0), p)
    mass = gas.rho * side.start_volume
    lasting = [*layout.chambers, layout.lines[1]]
    mass[lasting] *= 1.0 + more
    U = mass * (gas.h - p / gas.rho)
    return near_contents(air(), mass, U, side.start_volume)


def both(more: float, warmer: float) -> tuple[list[Record], list[GasState]]:
    """March, then march and follow once more from other contents and walls."""
    network = network_of(*MACHINES)
    side = Stroke(network, 1)
    course = side.course(network.hold, STEPS)
    first = side.run(setting_of(network), filled(side), course)
    setting, ends = setting_of(network, warmer), [filled(side, more), filled(side, more)]
    marched = side.run(setting, ends[0], course)
    followed = side.follow(setting, ends[1], course, first.track())
    assert not marched.stalled.any()
    assert marched.rough.max() == 0.0
    return [marched, followed], ends


def count_marches(patch: pytest.MonkeyPatch) -> list[int]:
    """Return a list that grows by the number of designs whenever a stroke is marched."""
    marched: list[int] = []
    march = Stroke.run

    def counted(self: Stroke, setting: Setting, state: GasState, course: Course) -> Record:
        marched.append(self.network.designs)
        return march(self, setting, state, course)

    patch.setattr(Stroke, "run", counted)
    return marched


@pytest.mark.parametrize(("more", "warmer"), [(0.0, 3.0), (0.01, 0.0), (-0.05, 8.0)])
def test_following_settles_where_marching_does(
    more: float, warmer: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both settle to 1e-9; all that a stroke leaves agrees to 1e-7, with nothing marched."""
    monkeypatch.setattr(stroke, "MORE_PASSES", 30)
    (marched, followed), ends = both(more, warmer)
    assert followed.rough.max() == 0.0
    assert followed.iterations < 40 < marched.iterations
    for name in ("p", "T", "dt", "flow", "exhaust", "stage_coefficient", "conductance", "mass"):
        one, two = getattr(marched, name), getattr(followed, name)
        assert np.abs(one - two).max() < 1e-7 * np.abs(one).max(), name
    for f in fields(GasState):
        assert getattr(ends[1], f.name) == pytest.approx(getattr(ends[0], f.name), rel=1e-7)


def test_what_is_followed_is_conserved() -> None:
    """Contents change by what flows, to the last digit, however well the stroke is solved."""
    network = network_of(*MACHINES)
    side = Stroke(network, 1)
    course = side.course(network.hold, STEPS)
    first = side.run(setting_of(network), filled(side), course)
    state = filled(side, 0.03)
    start = state.m.copy()
    loose = replace(setting_of(network), settled=3e-2)
    followed = side.follow(loose, state, course, first.track())
    flows = np.einsum("vp,ipb,ib->vb", side.equations.balance, followed.flow, followed.dt)
    flows[list(network.layout.nodes)] -= (followed.exhaust * followed.dt[:, None]).sum(axis=0)
    assert np.abs(state.m - start - flows).max() < 1e-14


def test_a_track_in_its_own_steps_stays_itself() -> None:
    """Reading a track where it was written changes nothing."""
    network = network_of(*MACHINES)
    side = Stroke(network, 2)
    course = side.course(network.hold, STEPS)
    track = side.run(setting_of(network), filled(side), course).track()
    same = refined(track, course, course)
    for name in ("p", "T", "flow", "w"):
        assert getattr(same, name) == pytest.approx(getattr(track, name), rel=1e-12), name


@pytest.mark.parametrize("scale", [0.12, 0.34])
def test_a_coarse_track_leads_to_what_marching_finds(scale: float) -> None:
    """From the track of a coarse grid, following settles to the numbers of the fine one, marched,
    from which the coarse grid's own are a thousand times as far."""
    network = network_of(*MACHINES)
    side, setting = Stroke(network, 1), setting_of(network)
    few = STEPS.scaled(scale)
    coarse, fine = side.course(network.hold, few), side.course(network.hold, STEPS)
    rows = setting.walls.stage[: len(instants(few))]
    thin = replace(setting, walls=replace(setting.walls, stage=rows))
    rough, marched, followed = filled(side), filled(side), filled(side)
    track = refined(side.run(thin, rough, coarse).track(), coarse, fine)
    side.run(setting, marched, fine)
    found = side.follow(setting, followed, fine, track)
    assert found.followed.all()
    assert np.abs(rough.p / marched.p - 1.0).max() > 1e-4
    for f in fields(GasState):
        assert getattr(followed, f.name) == pytest.approx(getattr(marched, f.name), rel=1e-7)


def test_a_design_that_leaves_its_track_is_marched(monkeypatch: pytest.MonkeyPatch) -> None:
    """A design whose track is no good is marched, to the very numbers that marching gives, and
    its neighbour is not touched by that."""
    network = network_of(*MACHINES)
    side = Stroke(network, 1)
    course = side.course(network.hold, STEPS)
    setting = setting_of(network)
    first = side.run(setting, filled(side), course)
    track = first.track()
    astray = replace(track, sound=np.array([True, False]))
    calls = count_marches(monkeypatch)
    alone, ends = side.follow(setting, filled(side), course, astray), filled(side)
    assert calls == [1]
    assert np.array_equal(alone.p[..., 1], first.p[..., 1])
    assert np.array_equal(alone.p[..., 0], side.follow(setting, ends, course, track).p[..., 0])


def test_an_assessment_marches_little(monkeypatch: pytest.MonkeyPatch) -> None:
    """A budget in counts: of some 20 iterations of two strokes, the first ones on the coarse grid
    are marched, which come from far off, and both openings at last; next to nothing else is."""
    marched = count_marches(monkeypatch)
    designs = [jacketed(pitch=float(pitch)) for pitch in np.linspace(0.014, 0.04, 6)]
    found = run(designs)
    assert not any(found.reasons)
    assert marched[:2] == [6, 6]
    assert sum(marched) <= (4 + 1) * 2 * 6
