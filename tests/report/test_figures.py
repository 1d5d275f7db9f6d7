"""Every figure: no words overlap, letters are large enough, words hold numbers, bytes repeat."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from figure_data import changed, clashes, front, pitchmap, short_assessment, shown_texts, tradeoff
from jacket_shapes import SHAPES
from matplotlib.figure import Figure

from jacketcalc.assessment.result import Assessment
from jacketcalc.report.figures.along import describe_along, draw_along
from jacketcalc.report.figures.energy_balance import describe_energy_balance, draw_energy_balance
from jacketcalc.report.figures.front import describe_front, draw_front
from jacketcalc.report.figures.number_labels import Shown, number, signed
from jacketcalc.report.figures.pitchmap import describe_pitchmap, draw_pitchmap
from jacketcalc.report.figures.pulse import describe_pulse, draw_pulse
from jacketcalc.report.figures.pv import describe_pv, draw_pv
from jacketcalc.report.figures.schematic import describe_schematic, draw_schematic
from jacketcalc.report.figures.section import describe_section, draw_section
from jacketcalc.report.figures.stage_part import StagePart, solved_part
from jacketcalc.report.figures.style import png_bytes, svg_bytes
from jacketcalc.report.figures.tradeoff import describe_tradeoff, draw_tradeoff
from jacketcalc.report.figures.unrolled import describe_stage, draw_stage
from jacketcalc.report.figures.wall import describe_wall, draw_wall

SI = Shown()


@pytest.fixture(scope="module")
def found() -> Assessment:
    return short_assessment("hot")


@pytest.fixture(scope="module")
def single() -> Assessment:
    return short_assessment("single")


@pytest.fixture(scope="module")
def drawn(found: Assessment, single: Assessment) -> dict[str, Figure]:
    """Every figure, drawn once."""
    more = {f"single {k}": draw for k, draw in all_figures(single).items()}
    return {k: draw() for k, draw in {**all_figures(found), **more, **STUDIES}.items()}


@pytest.fixture(scope="module")
def part(found: Assessment) -> StagePart:
    return solved_part(found, 0)


def all_figures(found: Assessment) -> dict[str, Callable[[], Figure]]:
    """Every figure of an assessment, drawn when called."""
    figures: dict[str, Callable[[], Figure]] = {
        "schematic": lambda: draw_schematic(found),
        "pv": lambda: draw_pv(found),
        "pulse": lambda: draw_pulse(found),
        "wall": lambda: draw_wall(found),
        "energy_balance": lambda: draw_energy_balance(found.jacketed, SI),
        "bare energy_balance": lambda: draw_energy_balance(found.bare, SI),
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


def test_alternative_texts_hold_the_numbers(found: Assessment, part: StagePart) -> None:
    jacket = found.jacketed.stages[0].jacket
    assert jacket is not None
    out = SI.temperature(jacket.outlet_temperature)
    charge = SI.temperature(found.jacketed.stages[0].compression_start_temperature)
    assert "32 mm" in describe_section(part)
    assert all(w in describe_stage(part) for w in ("30 mm", "4 turns", out))
    assert all(w in describe_schematic(found) for w in (charge, out, "301 bar"))
    assert f"{found.jacketed.stages[0].indicated_work:.1f} J" in describe_pv(found)
    assert f"{1000 * found.jacketed_detail.passages[0].flow.max():.1f} g/s" in describe_pulse(found)
    assert SI.temperature(found.bare.stages[1].wall_temperature.max) in describe_wall(found)
    Ma = found.jacketed_detail.passages[0].mach_peak[-1]
    assert f"{Ma:.2f}" in describe_along(found, found.jacketed_detail.passages[0].stage)
    assert f"{-found.jacketed.energy_balance['receiver']:.0f}"[:-1] in describe_energy_balance(
        found.jacketed, SI
    )
    data = tradeoff()
    assert signed(100 * float(data.change[data.best])) in describe_tradeoff(data)
    assert number(float(np.nanmax(pitchmap().seen)), 1) in describe_pitchmap(pitchmap())
    assert "4.03 kg/h" in describe_front(front())


def test_words_of_a_case_are_never_formulas(part: StagePart) -> None:
    odd = changed(part, name=r"$\frac{1}{0}$ <b>Ступень α</b>")
    assert not clashes(draw_stage(odd))
    assert r"\frac" in describe_section(odd)
