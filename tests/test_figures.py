"""Figures: what is on the axes, places to scale, no overlapping words, the same bytes again.

The section's distances are measured in the written SVG and compared with the case's numbers;
areas on the unrolled passage and lengths of hatching are compared with closed forms.
"""

from __future__ import annotations

import math
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from figure_data import (
    changed,
    clashes,
    front,
    pitchmap,
    short_assessment,
    shown_texts,
    tradeoff,
)
from matplotlib.figure import Figure
from numpy.typing import NDArray

from jacketcalc.assessment.result import Assessment
from jacketcalc.report.figures.along import describe_along, draw_along
from jacketcalc.report.figures.front import describe_front, draw_front
from jacketcalc.report.figures.helix import TURN, Spot, Winding
from jacketcalc.report.figures.ledger import describe_ledger, draw_ledger, split_ledger
from jacketcalc.report.figures.number_labels import Shown, number, signed
from jacketcalc.report.figures.pitchmap import describe_pitchmap, draw_pitchmap
from jacketcalc.report.figures.pulse import describe_pulse, draw_pulse
from jacketcalc.report.figures.pv import describe_pv, draw_pv
from jacketcalc.report.figures.schematic import describe_schematic, draw_schematic
from jacketcalc.report.figures.section import describe_section, draw_section, misfits
from jacketcalc.report.figures.section_view import choose_scale
from jacketcalc.report.figures.sheet import hatch_lines
from jacketcalc.report.figures.stage_part import StagePart, solved_part
from jacketcalc.report.figures.style import png_bytes, svg_bytes
from jacketcalc.report.figures.tradeoff import describe_tradeoff, draw_tradeoff
from jacketcalc.report.figures.unrolled import describe_stage, draw_stage
from jacketcalc.report.figures.wall import describe_wall, draw_wall

Points = NDArray[np.float64]
SI = Shown()


@pytest.fixture(scope="module")
def found() -> Assessment:
    return short_assessment("impact_laboratory")


@pytest.fixture(scope="module")
def single() -> Assessment:
    return short_assessment("single_stage")


@pytest.fixture(scope="module")
def drawn(found: Assessment, single: Assessment) -> dict[str, Figure]:
    """Every figure, drawn once."""
    more = {f"single {k}": draw for k, draw in all_figures(single).items()}
    return {k: draw() for k, draw in {**all_figures(found), **more, **STUDIES}.items()}


@pytest.fixture(scope="module")
def part(found: Assessment) -> StagePart:
    return solved_part(found, 0)


SHAPES: dict[str, dict[str, float | int | str]] = {
    "as drawn": {},
    "three starts": {"starts": 3, "pitch": 0.012, "offset": 0.0165},
    "two starts": {"starts": 2, "pitch": 0.02, "wound_length": 0.11, "offset": 0.03},
    "from the mount": {"inlet_at": "mount", "offset": 0.03, "wound_length": 0.1},
    "less than a turn": {"pitch": 0.1, "wound_length": 0.06, "offset": 0.06},
    "tight": {"pitch": 0.008, "land": 0.002, "gap": 0.0025, "offset": 0.01},
    "thin shell": {"shell_thickness": 0.001, "land_joint": "shell", "tip_clearance": 0.001},
}


def all_figures(found: Assessment) -> dict[str, Callable[[], Figure]]:
    """Every figure of an assessment, drawn when called."""
    figures: dict[str, Callable[[], Figure]] = {
        "schematic": lambda: draw_schematic(found),
        "pv": lambda: draw_pv(found),
        "pulse": lambda: draw_pulse(found),
        "wall": lambda: draw_wall(found),
        "ledger": lambda: draw_ledger(found.jacketed, SI),
        "bare ledger": lambda: draw_ledger(found.bare, SI),
    }
    for i, stage in enumerate(found.case.machine.stages):
        figures[f"stage {i}"] = lambda i=i: draw_stage(solved_part(found, i))  # type: ignore[misc]
        figures[f"along {i}"] = lambda n=stage.name: draw_along(found, n)  # type: ignore[misc]
    return figures


STUDIES: dict[str, Callable[[], Figure]] = {
    "tradeoff": lambda: draw_tradeoff(tradeoff()),
    "no gain": lambda: draw_tradeoff(tradeoff(loss=25.0, drawn=24.0, still_rising=True)),
    "pitchmap": lambda: draw_pitchmap(pitchmap()),
    "front": lambda: draw_front(front()),
}


def outlines(svg: bytes) -> dict[str, Points]:
    """Return the corners of every named outline of an SVG, in millimetres, y upwards."""
    found: dict[str, Points] = {}
    named = r'<g id="([a-z]+-?[a-z0-9-]*)">\s*<path d="([^"]+)"'
    for name, path in re.findall(named, svg.decode()):
        pairs = re.findall(r"[ML] ?(-?[0-9.]+) (-?[0-9.]+)", path)
        found[name] = np.array(pairs, dtype=float) * [25.4 / 72, -25.4 / 72]
    return found


@pytest.mark.parametrize("shape", SHAPES)
def test_section_is_to_scale(part: StagePart, shape: str) -> None:
    drawn = changed(part, **SHAPES[shape])
    stage, jacket = drawn.stage, drawn.stage.jacket
    assert jacket is not None
    scale = choose_scale(drawn, unrolled=True)
    at = {k: v / scale for k, v in outlines(svg_bytes(draw_stage(drawn))).items()}

    def low(name: str) -> Points:
        return np.asarray(at[name].min(axis=0))

    def high(name: str) -> Points:
        return np.asarray(at[name].max(axis=0))

    close = {"abs": 0.01}
    bore = low("barrel-upper")[1] - high("barrel-lower")[1]
    outside = high("barrel-upper")[1] - low("barrel-lower")[1]
    assert bore == pytest.approx(1000 * stage.bore, **close)
    assert outside == pytest.approx(1000 * (stage.bore + 2 * stage.wall_thickness), **close)
    length = np.ptp(at["barrel-upper"][:, 0])
    assert length == pytest.approx(1000 * stage.barrel_length, **close)
    shell = next(k for k in at if k.startswith("shell-upper"))
    assert np.ptp(at[shell][:, 1]) == pytest.approx(1000 * jacket.shell_thickness, **close)
    gap = low(shell)[1] - high("barrel-upper")[1]
    assert gap == pytest.approx(1000 * jacket.gap, **close)
    wound = np.ptp(at["dimension-wound"][:, 0])
    assert wound == pytest.approx(1000 * jacket.wound_length, **close)


@pytest.mark.parametrize("shape", SHAPES)
def test_lands_stand_half_a_lead_on_at_the_lower_side(part: StagePart, shape: str) -> None:
    drawn = changed(part, **SHAPES[shape])
    jacket = drawn.stage.jacket
    assert jacket is not None
    scale = choose_scale(drawn, unrolled=True)
    at = outlines(svg_bytes(draw_stage(drawn)))
    head = at["barrel-upper"][:, 0].min()
    start = 1000 * (jacket.offset if jacket.inlet_at == "head" else
                    jacket.offset + jacket.wound_length)  # fmt: skip
    way = 1 if jacket.inlet_at == "head" else -1
    pitch, lead = 1000 * jacket.pitch, 1000 * jacket.pitch * jacket.starts
    seen = 0
    for side, shift in (("upper", 0.0), ("lower", way * lead / 2)):
        for name, corners in at.items():
            x = (corners[:, 0] - head) / scale
            if not name.startswith(f"land-{side}") or np.ptp(x) < 999 * jacket.land:
                continue
            seen += 1
            steps = ((x.min() + x.max()) / 2 - start - shift) / pitch - 0.5
            assert abs(steps - round(steps)) * pitch < 0.01
            height = np.ptp(corners[:, 1]) / scale
            assert height == pytest.approx(1000 * (jacket.gap - jacket.tip_clearance), abs=0.01)
    assert seen >= 1


def area(outline: list[Spot]) -> float:
    x, y = np.array(outline).T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2


@pytest.mark.parametrize("shape", SHAPES)
def test_unrolled_areas_add_up(part: StagePart, shape: str) -> None:
    """Path area is width x wound angle; channels, corners and lands fill the chamber."""
    jacket = changed(part, **SHAPES[shape]).stage.jacket
    assert jacket is not None
    winding = Winding(jacket)
    end = TURN * winding.turns
    path = [p for k in range(jacket.starts) for p in winding.strip(k, *winding.wound)]
    flowing = sum(area(p) for p in path)
    assert flowing == pytest.approx(jacket.starts * winding.width * end, rel=1e-9)
    dead = sum(area(p) for k in range(jacket.starts) for p in winding.dead_corners(k))
    width = winding.chamber.end - winding.chamber.start
    angles = (np.arange(4000) + 0.5) * TURN / 4000
    lands = sum(sum(s.end - s.start for s in winding.lands(float(a))) for a in angles)
    lands *= TURN / 4000
    assert flowing + dead + lands == pytest.approx(width * TURN, rel=2e-4)


def test_hatching_is_as_dense_as_its_spacing() -> None:
    square = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)]
    for slope in (1, -1):
        lines = hatch_lines(square, slope, 0.5)
        length = sum(math.dist(a, b) for a, b in lines)
        assert length * 0.5 == pytest.approx(1200.0, rel=0.01)


def test_a_wrong_number_shows(part: StagePart) -> None:
    assert not misfits(replace(changed(part, offset=0.0165), rod=0.5 * part.stage.bore))
    early = changed(part, offset=0.0, pitch=0.030, land=0.003)
    assert "jacket 16.5 past the head end" in misfits(early)
    thick = replace(part, rod=1.5 * part.stage.bore)
    assert any("thicker than the bore" in words for words in misfits(thick))
    assert "thicker than the bore" in describe_section(thick)
    late = changed(part, offset=part.stage.barrel_length - 0.05)
    assert any("past the mount end" in words for words in misfits(late))


def test_no_words_overlap(drawn: dict[str, Figure]) -> None:
    wrong = {name: clash for name, fig in drawn.items() if (clash := clashes(fig))}
    assert not wrong


def test_no_words_overlap_in_odd_shapes(part: StagePart) -> None:
    wrong = {}
    parts = {name: changed(part, **shape) for name, shape in SHAPES.items()}
    parts["no jacket"] = replace(changed(part, jacket=None), passage=None)
    parts["inches"] = replace(part, shown=Shown("inch-pound"))
    parts["not solved"] = replace(part, outcome=None, detail=None, passage=None)
    for name, shape in parts.items():
        if clash := clashes(draw_stage(shape)):
            wrong[name] = clash
    assert not clashes(draw_section(part))
    assert not wrong


def test_schematic_of_odd_machines(found: Assessment) -> None:
    machine = found.case.machine
    one, two = machine.exhaust_1, machine.exhaust_2
    low, high = machine.stages
    named = replace(low, name="<b>a stage $x$ of a very long name")
    odd = (
        replace(machine, exhaust_1=replace(one, to=low.name), exhaust_2=replace(two, to=high.name)),
        replace(machine, stages=(replace(low, compresses_on=1), high)),
        replace(machine, exhaust_1=replace(one, to="atmosphere", tube=None)),
        replace(machine, stages=(named, high), exhaust_2=replace(two, to=named.name)),
    )
    for other in odd:
        assert not clashes(draw_schematic(replace(found, case=replace(found.case, machine=other))))
    inches = replace(found.case, document=replace(found.case.document, units="inch-pound"))
    fig = draw_schematic(replace(found, case=inches))
    assert not clashes(fig)
    words = " ".join(t.get_text() for t in shown_texts(fig))
    assert "psi" in words
    assert "bar" not in words


def test_letters_are_large_enough(drawn: dict[str, Figure]) -> None:
    figures = drawn.values()
    small = [t for fig in figures for t in shown_texts(fig) if t.get_fontsize() < 7.0]
    assert not small
    assert {round(fig.get_size_inches()[0] * 25.4) for fig in figures} <= {90, 120, 180}


def test_same_bytes_again_and_self_contained(found: Assessment, drawn: dict[str, Figure]) -> None:
    for name, draw in {**all_figures(found), **STUDIES}.items():
        first = svg_bytes(drawn[name])
        assert first == svg_bytes(draw()), name
        text = first.decode()
        assert "<text" not in text, name
        assert "<dc:date>" not in text, name
        assert not re.search(r'href="(?!#)', text), name
    assert png_bytes(draw_pv(found), 60) == png_bytes(draw_pv(found), 60)


def test_drawing_leaves_the_global_state_alone() -> None:
    code = (
        "import sys, jacketcalc.report.figures.unrolled, jacketcalc.report.figures.pitchmap;"
        "sys.exit('matplotlib.pyplot' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_pv_shows_both_machines(found: Assessment) -> None:
    for ax, bare, jacketed in zip(
        draw_pv(found).axes, found.bare_detail.stages, found.jacketed_detail.stages, strict=True
    ):
        for line, stage in zip(ax.lines, (bare, jacketed), strict=True):
            assert np.allclose(line.get_ydata()[:-1], stage.pressure / 1e5)
            assert np.allclose(line.get_xdata()[:-1], stage.volume * 1e6)
            assert line.get_ydata()[-1] == line.get_ydata()[0]
        assert ax.lines[1].get_linewidth() > ax.lines[0].get_linewidth()
        assert {t.get_text() for t in ax.texts} == {"bare", "jacketed"}


def test_along_and_wall_show_the_fields(found: Assessment) -> None:
    passage = found.jacketed_detail.passages[0]
    top, middle, low = draw_along(found, passage.stage).axes
    assert np.allclose(top.lines[0].get_ydata(), passage.temperature - 273.15)
    assert np.allclose(top.lines[1].get_ydata(), passage.wall_temperature - 273.15)
    assert np.allclose(middle.lines[0].get_ydata(), passage.pressure_peak / 1e5)
    assert np.allclose(low.lines[0].get_ydata(), passage.mach_peak)
    ax = draw_wall(found).axes[0]
    assert np.allclose(ax.lines[1].get_ydata(),
                       found.jacketed_detail.stages[0].wall_inside - 273.15)  # fmt: skip


def test_ledger_closes_as_printed(found: Assessment, single: Assessment) -> None:
    for outcome in (found.jacketed, found.bare, single.jacketed):
        into, out, total = split_ledger(outcome, SI)
        printed = float(total.split()[0])
        for side in (into, out):
            assert sum(float(s.printed) for s in side) == pytest.approx(printed, abs=1e-9)
            for stream in side:
                assert float(stream.printed) == pytest.approx(stream.watts, abs=0.11)


def test_alternative_texts_hold_the_numbers(found: Assessment, part: StagePart) -> None:
    jacket = found.jacketed.stages[0].jacket
    assert jacket is not None
    out = SI.temperature(jacket.outlet_temperature)
    charge = SI.temperature(found.jacketed.stages[0].charge_temperature)
    assert "32 mm" in describe_section(part)
    assert all(w in describe_stage(part) for w in ("30 mm", "4 turns", out))
    assert all(w in describe_schematic(found) for w in (charge, out, "301 bar"))
    assert f"{found.jacketed.stages[0].compression_work:.1f} J" in describe_pv(found)
    assert f"{1000 * found.jacketed_detail.passages[0].flow.max():.1f} g/s" in describe_pulse(found)
    assert SI.temperature(found.bare.stages[1].wall_temperature.max) in describe_wall(found)
    Ma = found.jacketed_detail.passages[0].mach_peak[-1]
    assert f"{Ma:.2f}" in describe_along(found, found.jacketed_detail.passages[0].stage)
    assert f"{-found.jacketed.ledger['receiver']:.0f}"[:-1] in describe_ledger(found.jacketed, SI)
    data = tradeoff()
    assert signed(100 * float(data.change[data.best])) in describe_tradeoff(data)
    assert number(float(np.nanmax(pitchmap().seen)), 1) in describe_pitchmap(pitchmap())
    assert "4.03 kg/h" in describe_front(front())


def test_words_of_a_case_are_never_formulas(part: StagePart) -> None:
    odd = changed(part, name=r"$\frac{1}{0}$ <b>Ступень α</b>")
    assert not clashes(draw_stage(odd))
    assert r"\frac" in describe_section(odd)
