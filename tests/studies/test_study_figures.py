"""Figures of studies: what is on the axes, what leaves them, what is named and what is left out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from figure_data import clashes, front, pitchmap, shown_texts, tradeoff

from jacketcalc.report.figures.front import draw_front
from jacketcalc.report.figures.number_labels import number, signed
from jacketcalc.report.figures.pitchmap import draw_pitchmap
from jacketcalc.report.figures.pitchmap_limits import HATCHES
from jacketcalc.report.figures.style import BLUE, GREEN, VERMILION
from jacketcalc.report.figures.tradeoff import Closed, describe_tradeoff, draw_tradeoff


def test_tradeoff_marks_what_leaves_the_frame() -> None:
    data = tradeoff()
    fig = draw_tradeoff(data)
    upper, lower = fig.axes
    curves = [np.asarray(line.get_ydata(), dtype=float) for line in lower.lines]
    assert any(len(y) == 16 and np.allclose(y, 100 * data.change) for y in curves)
    bottom = lower.get_ylim()[0]
    below = np.flatnonzero(100 * data.change < bottom)
    assert len(below)
    words = {t.get_text() for t in lower.texts}
    assert number(100 * float(data.change[below[0]])) in words
    assert "within 0.25 of the best" in words
    assert upper.get_xlim() == lower.get_xlim()
    assert max(100 * data.change_high) < lower.get_ylim()[1]


def test_tradeoff_explains_its_net() -> None:
    data = tradeoff()
    lower = draw_tradeoff(data).axes[1]
    assert data.cooling is not None and data.resistance is not None
    lines = {line.get_color(): line for line in lower.lines if len(line.get_xdata()) > 16}
    net, cooling, resistance = (lines[colour] for colour in (BLUE, GREEN, VERMILION))
    for line, values in ((net, data.change), (cooling, data.cooling),
                         (resistance, data.resistance)):  # fmt: skip
        x, y = (np.asarray(v, dtype=float) for v in line.get_data())
        places = [int(np.nanargmin(np.abs(x - 1e3 * p))) for p in data.pitch]
        assert y[places] == pytest.approx(100 * values, rel=1e-9)
        # Between two pitches a curve stays between their values.
        assert np.nanmax(y) <= 100 * values.max() + 1e-9
    # Grey print tells them apart: by twice the thickness, and by dashes.
    assert net.get_linewidth() >= 2 * cooling.get_linewidth()
    assert resistance.get_linestyle() == "--" and cooling.get_linestyle() == "-"
    words = {t.get_text() for t in lower.texts}
    assert {"net", "no jackets", "cooling alone"} <= words
    assert f"resistance alone, to {number(100 * float(data.resistance.min()))}" in words


def test_tradeoff_says_where_there_is_nothing() -> None:
    data = replace(tradeoff(), closed=(
        Closed(low=0.0, high=7e-3, words="cannot be built"),
        Closed(low=49e-3, high=1.0, words="the machine stalls"),
    ))  # fmt: skip
    fig = draw_tradeoff(data)
    assert {"cannot be built", "the machine stalls"} <= {t.get_text() for t in fig.axes[1].texts}
    assert not clashes(fig)
    assert "the machine stalls" in describe_tradeoff(data)


def test_tradeoff_reads_the_drawn_pitch_between_its_neighbours() -> None:
    data = tradeoff(drawn=20.0)
    wanted = float(np.interp(0.02, data.pitch, data.change))
    assert data.lines()[0].startswith(f"as drawn, 20 mm:  about {signed(100 * wanted)} ")
    assert len(tradeoff(drawn=60.0).lines()) == 1


def test_map_names_what_it_hatches_and_what_it_leaves_out() -> None:
    data = pitchmap()
    fig = draw_pitchmap(data)
    words = [t.get_text() for t in shown_texts(fig)]
    for place, limit in enumerate(data.limits):
        assert "AB"[place] in words
        assert f"{'AB'[place]}   {limit.name}" in words
    assert {"cannot be built", "drawn", "best", data.level_words, *data.remarks} <= set(words)
    hatched = [c for c in fig.axes[0].collections if getattr(c, "hatches", None)]
    assert len({c.hatches[0] for c in hatched if c.hatches[0]}) == 2
    assert len(set(HATCHES)) == len(HATCHES) >= 8


def test_contours_that_crowd_are_left_to_the_key() -> None:
    data = pitchmap()
    steep = replace(data, value=np.where(data.value < 6, 40 * (data.value - 6), data.value))
    fig = draw_pitchmap(steep)
    assert not clashes(fig)
    labels = [t.get_text() for t in fig.axes[0].texts]
    ticks = [t.get_text() for t in fig.axes[1].get_yticklabels()]
    assert len([w for w in labels if w in ticks]) < len(ticks)


def test_a_map_without_drawn_limits_or_spread_is_drawn() -> None:
    flat = replace(pitchmap(), value=np.full_like(pitchmap().value, -3.0), limits=(), gaps=(),
                   remarks=(), level=None, drawn=None, best=None)  # fmt: skip
    assert not clashes(draw_pitchmap(flat))
    losing = replace(pitchmap(), value=pitchmap().value - 20.0)
    assert not clashes(draw_pitchmap(losing))


def test_front_frames_what_matters() -> None:
    data = front()
    far = replace(data, other_flow=np.array([1e-5]), other_discharge=np.array([900.0]))
    limits = [draw_front(d).axes[0].get_xlim() for d in (data, far)]
    assert limits[0] == limits[1]
    near = replace(data, limit=500.0)
    words = {t.get_text() for t in draw_front(near).axes[0].texts}
    assert "at most 227 °C" in words and "as drawn" in words
