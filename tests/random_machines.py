"""Whole machines at random, written as case files, for hypothesis to draw.

A layout says what is joined to what; everything else about a machine comes from one byte
string. Ranges go from the smallest machine somebody might make to the largest, with leaner and
fatter passages than anybody would: some cannot be and are refused, some stall.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import get_args

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from random_draws import Draws
from random_stages import Sizes, write_stage

from jacketcalc.inputs import Closure

BYTES = 240
"""Bytes of a machine: more than any layout reads [-]."""


@dataclass(frozen=True)
class Layout:
    """What is joined to what."""

    strokes: tuple[int, ...]
    """Stroke on which each stage compresses."""
    goals: tuple[int, int]
    """Stage that each port feeds, from 0; -1 is the atmosphere."""
    cylinder: str = "gas spring"
    """In-cylinder heat model."""
    parallel: bool = False
    """Both stages draw from the supply."""

    @property
    def label(self) -> str:
        """Short name for a test's id."""
        joined = "".join(map(str, self.strokes)) + ("p" if self.parallel else "")
        goals = ["amh"[goal + 1] for goal in self.goals]
        return f"{joined}-{''.join(goals)}-{self.cylinder.replace(' ', '')}"


LAYOUTS = (
    Layout((2, 1), (1, 0)),
    Layout((2, 1), (0, 0), "adair"),
    Layout((1, 2), (1, -1), "annand"),
    Layout((1, 1), (-1, 0)),
    Layout((2, 1), (0, 1), parallel=True),
    Layout((1,), (0, -1)),
    Layout((2,), (-1, -1)),
)
"""One and two stages, in series and side by side, on either stroke; jackets fed by either port,
by both or by none."""


def draw_machines(layout: Layout, count: int, start: int) -> list[str]:
    """Let hypothesis draw machines of one layout; return their case files.

    Nothing is checked while drawing, so there is nothing to shrink: machines are solved side
    by side afterwards, on all cores.

    Parameters
    ----------
    layout : what is joined to what
    count : machines wanted
    start : seed; the same machines come with the same one
    """
    texts: list[str] = []

    @seed(start)
    @settings(
        max_examples=count,
        deadline=None,
        database=None,
        phases=(Phase.generate,),
        suppress_health_check=(HealthCheck.too_slow,),
    )
    @given(st.binary(min_size=BYTES, max_size=BYTES))
    def collect(data: bytes) -> None:
        texts.append(write_machine(layout, data))

    collect()
    return texts


def write_machine(layout: Layout, data: bytes) -> str:
    """Return the case file of a machine."""
    d = Draws(data)
    d.ambient = d.between(0.7e5, 1.013e5, 1.1e5)
    supply = d.between(1.5e5, 8e5, 16e5)
    bore = d.between(0.03, 0.1, 0.3)
    stroke = bore * d.between(0.4, 1.2, 3.0)
    sizes = _size_stages(d, layout, bore, stroke)
    lines = ['title = "random machine"', *_surroundings(d, supply), *_valve(d, bore)]
    lines += _drive(d, layout, sizes, supply)
    names = ("first", "second")
    for place, number in enumerate(layout.strokes):
        before = names[0] if place and not layout.parallel else "supply"
        fed = place in layout.goals or d.chance(0.5)
        lines += write_stage(d, sizes, place, names[place], before, number, fed)
    lines += _receiver(d, layout, sizes, supply)
    for port, goal in zip((1, 2), layout.goals, strict=True):
        lines += _port(d, port, "atmosphere" if goal < 0 else names[goal], bore)
    closure = d.pick("nominal", *(word for word in get_args(Closure) if word != "nominal"))
    lines += ["[models]", f'jacket = "{closure}"', f'cylinder = "{layout.cylinder}"']
    lines.append(f"mixing = {d.spell(d.between(0.0, 0.25, 1.0), 'ratio')}")
    own = d.between(0.1, 0.3, 300.0)
    lines += ["[materials.own]", f"conductivity = {d.spell(own, 'conductivity')}"]
    return "\n".join([*lines, 'source = "invented"', ""])


def _size_stages(d: Draws, layout: Layout, bore: float, stroke: float) -> Sizes:
    first = bore * d.between(0.1, 0.32, 0.8)
    second = first * d.between(0.25, 0.44, 1.0)
    if layout.parallel:
        second = first * d.between(0.5, 1.0, 1.3)
    together = layout.strokes in ((1, 1), (2, 2)) and not layout.parallel
    stages = (first, second)[: len(layout.strokes)]
    return Sizes(bore=bore, stroke=stroke, stages=stages, together=together)


def _surroundings(d: Draws, supply: float) -> list[str]:
    warm = d.between(263.15, 293.15, 323.15)
    air = d.between(273.15, 293.15, 333.15)
    lines = [
        "[ambient]",
        f"temperature = {d.spell(warm, 'temperature')}",
        f'pressure = "{d.ambient:.7g} Pa(a)"',
        'source = "invented"',
        "[supply]",
        f"pressure = {d.spell(supply, 'pressure')}",
        f"temperature = {d.spell(air, 'temperature')}",
        f"pressure_dew_point = {d.spell(air - d.between(0.0, 17.0, 70.0), 'temperature')}",
        'source = "invented"',
    ]
    if d.chance(0.2):
        lines.append(f"line = {_conductance(d, d.between(1e-8, 1e-7, 1e-6))}")
    return lines


def _conductance(d: Draws, sonic: float) -> str:
    ratio = d.between(0.0, 0.3, 0.55)
    return f"{{ C = {d.spell(sonic, 'conductance')}, b = {d.spell(ratio, 'ratio')} }}"


def _valve(d: Draws, bore: float) -> list[str]:
    fill = (bore / 0.1) ** 2 * d.between(2e-9, 3.5e-8, 4e-7)
    lines = [
        "[valve]",
        f"supply_path = {_conductance(d, fill)}",
        f"exhaust_path = {_conductance(d, fill * d.between(0.3, 1.0, 3.0))}",
        f"switching_time = {d.spell(dead := d.between(0.0, 0.03, 0.3), 'time')}",
        'source = "invented"',
    ]
    pause = 0.0
    if d.chance(0.3):
        lines.append(f"pause = {d.spell(pause := d.between(0.0, 0.1, 1.0), 'time')}")
    if d.chance(0.2):
        rate = min(d.between(0.03, 0.5, 5.0), 0.9 / (2.0 * (dead + pause) + 1e-9))
        lines.append(f"cycle_rate = {d.spell(rate, 'rate')}")
    return lines


def _drive(d: Draws, layout: Layout, sizes: Sizes, supply: float) -> list[str]:
    area = pi / 4 * sizes.bore**2
    swept, force = area * sizes.stroke, (supply - d.ambient) * area
    lines = [
        "[drive]",
        f"bore = {d.spell(sizes.bore, 'length')}",
        f"stroke = {d.spell(sizes.stroke, 'length')}",
    ]
    for rod in (1, 2):
        served = [
            bore
            for bore, number in zip(sizes.stages, layout.strokes, strict=True)
            if number == 3 - rod
        ]
        widest = min(served) if served else 0.3 * sizes.bore
        rod_share = 0.0 if not served and d.chance(0.5) else d.between(0.2, 0.5, 1.02)
        lines.append(f"rod_{rod} = {d.spell(rod_share * widest, 'length')}")
    for chamber in (1, 2):
        dead = swept * d.between(0.005, 0.04, 0.5)
        lines.append(f"dead_volume_{chamber} = {d.spell(dead, 'volume')}")
    mass = swept * d.between(500.0, 3000.0, 20000.0)
    lines += [
        f"moving_mass = {d.spell(mass, 'mass')}",
        f"wall_thickness = {d.spell(d.between(0.001, 0.004, 0.02), 'length')}",
        f'material = "{d.pick("aluminium 6061", "carbon steel", "brass")}"',
        'source = "invented"',
    ]
    if d.chance(0.7):
        lines.append(f"friction = {d.spell(force * d.between(0.0, 0.02, 0.15), 'force')}")
    if d.chance(0.7):
        lines.append(f"friction_share = {d.spell(d.between(0.0, 0.05, 0.2), 'ratio')}")
    return lines


def _receiver(d: Draws, layout: Layout, sizes: Sizes, supply: float) -> list[str]:
    """Put the receiver anywhere from little above the supply to well beyond stall."""
    last = sum(b**2 for b in sizes.stages) if layout.parallel else sizes.stages[-1] ** 2
    most = d.ambient + (supply - d.ambient) * sizes.bore**2 / last
    pressure = min(most * d.between(0.1, 0.6, 1.1), d.between(100e5, 350e5, 410e5))
    if not d.chance(0.1):
        pressure = max(pressure, 1.1 * supply)
    return ["[receiver]", f"pressure = {d.spell(pressure, 'pressure')}", 'source = "invented"']


def _port(d: Draws, port: int, goal: str, bore: float) -> list[str]:
    lines = [f"[exhaust.port_{port}]", f'to = "{goal}"', 'source = "invented"']
    if not d.chance(0.3):
        lines.append(
            f"tube = {{ bore = {d.spell(bore * d.between(0.03, 0.12, 0.3), 'length')}, "
            f"wall = {d.spell(d.between(0.0005, 0.002, 0.005), 'length')}, "
            f"length = {d.spell(d.between(0.03, 0.4, 6.0), 'length')}, "
            f"fitting_loss = {d.spell(d.between(0.0, 1.5, 10.0), 'number')}, "
            f'material = "{d.pick("PA12", "PU", "carbon steel", "brass")}" }}'
        )
    if d.chance(0.3):
        sonic = (bore / 0.1) ** 2 * d.between(1e-8, 1e-7, 1e-6)
        lines.append(f"silencer = {_conductance(d, sonic)}")
    return lines
