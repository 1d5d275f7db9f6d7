"""Intervals, tornado, unknowns and residuals draw the JSON of their studies.

Printed units are converted by their definitions: 1 bar = 100 kPa, 0 degC = 273.15 K, 1 h = 3600 s
(SI brochure of the BIPM). Shapes of distributions are those of scipy.stats.
"""

from __future__ import annotations

import json
import math
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from figure_data import clashes, shown_texts
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from report_sample import result_of
from scipy import stats
from uncertain_sample import (
    assessed,
    bench_json,
    rank_json,
    sampled,
    study_json,
)

from jacketcalc.report.figures.indices import describe_indices, draw_indices
from jacketcalc.report.figures.intervals import describe_intervals, draw_intervals
from jacketcalc.report.figures.residuals import (
    Residual,
    ResidualFigure,
    describe_residuals,
    draw_residuals,
)
from jacketcalc.report.figures.standalone import add_footer, label_of
from jacketcalc.report.figures.study_bench import residuals, unknowns
from jacketcalc.report.figures.study_indices import indices
from jacketcalc.report.figures.study_intervals import intervals
from jacketcalc.report.figures.study_ranking import tornado
from jacketcalc.report.figures.style import svg_bytes
from jacketcalc.report.figures.tornado import describe_tornado, draw_tornado
from jacketcalc.report.figures.unknowns import describe_unknowns, draw_unknowns
from jacketcalc.report.uncertainty_figures import bench_figures, rank_figures, uncertainty_figures
from jacketcalc.show.uncertainty_json import make_rank_json
from jacketcalc.statistics.limited import Rectangular
from jacketcalc.uncertainty.indices import VarianceShares, share_variance
from jacketcalc.uncertainty.reconcile import Reconciliation

CONVERT = {
    "delivered_mass_flow": lambda v: 3600.0 * v,
    "specific_air_consumption": lambda v: v,
    "hottest_discharge": lambda v: v - 273.15,
    "cycle_rate": lambda v: v,
    "stall_pressure": lambda v: v / 1e5,
}
"""From the JSON's SI to the unit drawn."""


def bench() -> Reconciliation:
    found = sampled().bench
    assert found is not None
    return found


@cache
def figures() -> dict[str, Figure]:
    return {
        "intervals": draw_intervals(intervals(sampled().study, assessed())),
        "tornado": draw_tornado(tornado(sampled().ranking)),
        "indices": draw_indices(indices(caused())),
        "unknowns": draw_unknowns(unknowns(bench())),
        "residuals": draw_residuals(residuals(bench())),
    }


def _inches() -> dict[str, Figure]:
    """Every figure in inch-pound units."""
    case = sampled().study.case
    case = replace(case, document=replace(case.document, units="inch-pound"))
    return {
        "intervals": draw_intervals(intervals(replace(sampled().study, case=case), assessed())),
        "tornado": draw_tornado(tornado(replace(sampled().ranking, case=case))),
        "unknowns": draw_unknowns(unknowns(replace(bench(), case=case))),
        "residuals": draw_residuals(residuals(replace(bench(), case=case))),
    }


def _spans(ax: Any) -> list[tuple[float, float, float]]:
    """Return low, middle and high of the intervals of a panel, the upper one first."""
    ends = [line.get_xdata() for line in ax.lines if len(line.get_xdata()) == 2
            and line.get_marker() == "|"]  # fmt: skip
    middles = [line.get_xdata()[0] for line in ax.lines if len(line.get_xdata()) == 1]
    return [(e[0], m, e[1]) for e, m in zip(ends, middles, strict=True)]


def test_intervals_are_those_of_the_samples() -> None:
    panels = figures()["intervals"].axes
    told = study_json()["headlines"]
    assert len(panels) == 2 * len(told) == 10
    for both, one in zip(panels[::2], told, strict=True):
        to = CONVERT[one["key"]]
        for drawn, machine in zip(_spans(both), ("no_jackets", "with_jackets"), strict=True):
            wanted = [to(one[machine][k]["value"]) for k in ("low", "median", "high")]
            assert drawn == pytest.approx(wanted, rel=1e-9), one["key"]


def test_changes_stand_beside_their_model_range() -> None:
    panels = figures()["intervals"].axes[1::2]
    ranges = result_of(assessed())["model_range"]
    for panel, one in zip(panels, study_json()["headlines"], strict=True):
        size = 100.0 if one["change_is"] == "relative" else 1.0
        samples, model = _spans(panel)
        wanted = [size * one["change"][k]["value"] for k in ("low", "median", "high")]
        assert samples == pytest.approx(wanted, rel=1e-9, abs=1e-12)
        name = one["key"].replace("hottest_discharge", "discharge_temperature")
        if name in ranges:
            span = [size * ranges[name][k] for k in ("low", "value", "high")]
            assert model == pytest.approx(span, rel=1e-9), name


def test_a_result_without_numbers_leaves_its_place_empty() -> None:
    data = intervals(sampled().study, assessed())
    empty = replace(data.rows[1], no_jackets=None, with_jackets=None, change=None, model_range=None)
    figure = draw_intervals(replace(data, rows=(data.rows[0], empty)))
    assert not clashes(figure)
    assert not figure.axes[2].lines
    assert [t.get_text() for t in figure.axes[2].texts].count("–") == 2
    assert "no number in some samples" in describe_intervals(replace(data, rows=(empty,)))


def test_tornado_draws_both_effects_of_each_input_from_the_nominal() -> None:
    flow, gain = figures()["tornado"].axes
    told = rank_json()
    effects = told["effects"][:15]
    assert len(flow.patches) == len(gain.patches) == 2 * len(effects)
    for i, one in enumerate(effects):
        for end in (0, 1):
            bar, other = flow.patches[2 * i + end], gain.patches[2 * i + end]
            assert bar.get_width() == pytest.approx(100 * one["delivery"][end], rel=1e-9)
            moved = 100 * (one["gain"][end] - told["gain"])
            assert other.get_width() == pytest.approx(moved, rel=1e-6, abs=1e-9)
            assert abs(bar.get_y() + 0.5 * bar.get_height() - i) < 0.5
    reach = [abs(e["gain"][1] - e["gain"][0]) for e in effects]
    assert reach == sorted(reach, reverse=True)
    assert any(list(line.get_xdata()) == [0.0, 0.0] for line in gain.lines)


def test_the_answer_changes_where_the_benefit_is_gone() -> None:
    """At an effect of minus the nominal benefit; far outside the bars it is told in words."""
    data = tornado(sampled().ranking)
    gain = figures()["tornado"].axes[1]
    at = -100 * rank_json()["gain"]
    drawn = [line for line in gain.lines if line.get_xdata()[0] == pytest.approx(at)]
    assert len(drawn) == 1 and drawn[0].is_dashed()
    assert gain.get_xlim()[0] < at < gain.get_xlim()[1]
    far = draw_tornado(replace(data, nominal=1e3))
    words = " ".join(t.get_text() for t in shown_texts(far))
    assert "−1000.0 %: outside" in words
    assert all(abs(x) < 500 for ax in far.axes for x in ax.get_xlim())


def test_low_and_high_end_are_told_apart_without_colour() -> None:
    """By hatching, by place, and by a grey that differs (CIE luminance, from memory)."""
    bars = figures()["tornado"].axes[0].patches
    low, high = bars[0], bars[1]
    assert low.get_hatch() and not high.get_hatch()
    assert low.get_y() + low.get_height() <= high.get_y() + 1e-9

    def grey(bar: Any) -> float:
        return float(np.dot(to_rgb(bar.get_facecolor()), (0.2126, 0.7152, 0.0722)))

    assert grey(low) - grey(high) > 0.3


def test_an_end_at_which_a_machine_stalls_has_words_and_no_bar() -> None:
    ranking = sampled().ranking
    first = ranking.effects[0]
    assert first.delivery is not None and first.gain is not None
    stalled = replace(first, delivery=(-1.0, first.delivery[1]), gain=(-1.0, first.gain[1]))
    data = tornado(replace(ranking, effects=(stalled, *ranking.effects[1:3])))
    figure = draw_tornado(data)
    assert len(figure.axes[0].patches) == len(figure.axes[1].patches) == 5
    assert any("(stalls)" in t.get_text() for t in shown_texts(figure))
    assert not clashes(figure) and "a machine stalls and" in describe_tornado(data)
    failed = replace(first, delivery=None, gain=None)
    assert len(tornado(replace(ranking, effects=(failed,))).moved) == 0


def test_tornado_shows_fifteen_inputs_at_most_and_says_how_many_it_leaves_out() -> None:
    data = tornado(sampled().ranking)
    count = len(rank_json()["effects"])
    assert len(data.moved) == 15 and data.left_out == count - 15
    assert f"{count - 15} smaller effects are not shown" in describe_tornado(data)


def test_priors_have_the_shape_of_their_distribution() -> None:
    """Against scipy.stats: log-normal within a factor, normal, rectangular, log-rectangular."""
    known = {one.name: one for one in unknowns(bench())}
    u = stats.norm.ppf(0.975)
    wanted = {
        "valve C": stats.lognorm(math.log(1.25) / u),
        "supply sag": stats.norm(1.0, 0.08),
        "switching time": stats.lognorm(math.log(2.5) / u),
        "in-cylinder mixing": stats.uniform(0.0, 1.0),
        "film factor": stats.loguniform(0.7, 2.5),
    }
    for name, law in wanted.items():
        one = known[name]
        # The ends of the grid are one-sided differences.
        inner = slice(2, -2)
        assert one.prior[inner] == pytest.approx(law.pdf(one.value[inner]), rel=2e-3), name
        assert one.before == pytest.approx(law.ppf([0.025, 0.5, 0.975]), rel=1e-3), name


def test_posteriors_are_the_intervals_of_the_joint_fit() -> None:
    """The area between the JSON's ends is 95 %."""
    told = {one["name"]: one for one in bench_json()["joint"]["values"]}
    data = unknowns(bench())
    assert [one.name for one in data] == list(told)
    for one in data:
        ends = [told[one.name][k] for k in ("low", "value", "high")]
        assert one.after == pytest.approx(ends, rel=1e-12)
        steps = 0.5 * (one.posterior[1:] + one.posterior[:-1]) * np.diff(one.value)
        area = np.concatenate([[0.0], np.cumsum(steps)])
        low, _, high = np.interp(ends, one.value, area)
        assert high - low == pytest.approx(0.95, abs=0.015), one.name


def test_unknowns_draw_their_densities_and_what_the_case_states() -> None:
    panels, machine = figures()["unknowns"].axes, sampled().study.case.machine
    for panel, one in zip(panels, unknowns(bench()), strict=True):
        curves = [line.get_ydata() for line in panel.lines if len(line.get_ydata()) > 2]
        assert len(curves) == 2
        assert np.array_equal(curves[0], one.prior) and np.array_equal(curves[1], one.posterior)
    values = {one.name: one.nominal for one in unknowns(bench())}
    assert values["in-cylinder mixing"] == machine.models.mixing
    assert values["valve C"] == 1.0


def test_a_posterior_that_is_the_prior_draws_the_prior() -> None:
    """A reading that says nothing changes nothing: z = 0 +- 1 is the prior itself."""
    found = bench()
    one = next(u for u in found.joint.unknowns if isinstance(u.prior, Rectangular))
    place = found.joint.unknowns.index(one)
    same = replace(found.joint.values[place], low=one.value(-1.959964), value=one.value(0.0),
                   high=one.value(1.959964))  # fmt: skip
    values = [same if i == place else v for i, v in enumerate(found.joint.values)]
    joint = replace(found.joint, values=tuple(values), posterior=None)
    data = unknowns(replace(found, joint=joint))[place]
    assert data.posterior == pytest.approx(data.prior, rel=1e-4)


def test_residuals_are_the_json_s_and_the_lines_stand_at_two() -> None:
    panel = figures()["residuals"].axes[0]
    squares = [line.get_xdata()[0] for line in panel.lines if line.get_marker() == "s"]
    assert squares == pytest.approx([one["residual"] for one in bench_json()["readings"]])
    circles = [line.get_xdata()[0] for line in panel.lines if line.get_marker() == "o"]
    for drawn, told, one in zip(circles, bench_json()["readings"], bench().compared, strict=True):
        left = (told["value"] - told["fitted"]) / one.joint_uncertainty
        assert drawn == pytest.approx(left)
    dashed = {line.get_xdata()[0] for line in panel.lines if line.get_linestyle() == "--"}
    assert dashed == {-2.0, 2.0}


def test_of_many_readings_the_farthest_are_shown() -> None:
    one = bench().compared[0]
    far = replace(one, predicted=one.reading.value - 5.0 * one.joint_uncertainty)
    many = replace(bench(), compared=(*[one] * 3, far, *[replace(one) for _ in range(40)]))
    data = residuals(many)
    assert len(data.rows) <= 30 and data.left_out == 44 - len(data.rows)
    assert max(row.nominal for row in data.rows) == pytest.approx(5.0)
    assert f"{data.left_out} readings nearer" in describe_residuals(data)


def test_no_words_overlap_and_letters_are_large_enough() -> None:
    odd = {
        "wild": draw_residuals(ResidualFigure(rows=tuple(
            Residual(name="wall temperature, a stage of a very long name, flange, with jackets",
                     nominal=v, fitted=-v / 3) for v in (-48.0, 2.5, 12.0)))),
        "negative": draw_tornado(replace(tornado(sampled().ranking), nominal=-3.0)),
    }  # fmt: skip
    for name, figure in {**figures(), **odd}.items():
        assert not clashes(figure), name
        assert min(t.get_fontsize() for t in shown_texts(figure)) >= 7.0, name
        assert round(figure.get_size_inches()[0] * 25.4) == 180, name
    for name, figure in _inches().items():
        assert not clashes(figure), name
    words = " ".join(t.get_text() for t in shown_texts(_inches()["intervals"]))
    assert "psi" in words and " bar" not in words and "°F" in words


@cache
def caused() -> VarianceShares:
    """Return what causes the spread, of few samples."""
    return share_variance(sampled().ranking, samples=128, totals=3)


def test_indices_draw_both_shares_of_both_outputs_with_their_errors() -> None:
    told = json.loads(make_rank_json(sampled().ranking, caused()))["indices"]
    rows = [one for one in told["inputs"] if one["benefit"]["total"] is not None]
    flow, gain = draw_indices(indices(caused())).axes
    for panel, output in ((flow, "delivery"), (gain, "benefit")):
        wanted = [one[output][kind] for one in rows for kind in ("first", "total")]
        wanted.append(told["others_together"][output]["total"])
        drawn = [bar.get_width() for bar in panel.patches]  # type: ignore[attr-defined]
        assert drawn == pytest.approx([100 * share["value"] for share in wanted])
        errors = [line.get_xdata() for line in panel.lines if line.get_marker() == "|"]
        ends = [np.subtract(*line[::-1]) / 2.0 for line in errors]
        assert ends == pytest.approx([100 * share["sampling_error"] for share in wanted])
    names = [text.get_text() for text in flow.texts]
    for one in rows:
        assert one["paths"][0][:20] in " ".join(names)
    words = describe_indices(indices(caused()))
    assert f"the {len(told['others_together']['paths'])} others together" in words
    assert f"{100 * rows[0]['benefit']['first']['value']:.1f}" in words


def test_files_bear_footer_and_words_and_repeat_their_bytes() -> None:
    made = {
        **uncertainty_figures(sampled().study, assessed()),
        **rank_figures(sampled().ranking, caused()),
        **bench_figures(bench()),
    }
    names = ("-intervals", "-tornado", "-indices", "-unknowns", "-residuals")
    assert list(made) == [f"{name}.{form}" for name in names for form in ("png", "svg")]
    sha = sampled().study.case.sha256[:12]
    for name, make in made.items():
        data = make()
        assert data == make(), name
        if name.endswith(".svg"):
            text = data.decode()
            assert sha in text and "air can kill" in text and "<text" not in text
    svg = made["-intervals.svg"]().decode()
    assert "128 pairs" in svg and "seed 1" in svg and "model range of" in svg
    for name, figure in _again().items():
        add_footer(figure, label_of(sampled().study.case, "a range", "what it shows"))
        assert not clashes(figure), name


def _again() -> dict[str, Figure]:
    figures.cache_clear()
    drawn = figures()
    figures.cache_clear()
    return drawn


def test_the_same_figure_has_the_same_bytes() -> None:
    for name, figure in _again().items():
        assert svg_bytes(figure) == svg_bytes(_again()[name]), name


def test_alternative_texts_hold_the_numbers() -> None:
    one = study_json()["headlines"][0]
    median = f"{3600 * one['with_jackets']['median']['value']:.3f}"
    assert median in describe_intervals(intervals(sampled().study, assessed()))
    effect = 100 * (rank_json()["effects"][0]["gain"][1] - rank_json()["gain"])
    assert f"+{effect:.2f}" in describe_tornado(tornado(sampled().ranking))
    value = bench_json()["joint"]["values"][0]
    assert f"after {value['value']:.2f}" in describe_unknowns(unknowns(bench()))
    residual = bench_json()["readings"][1]["residual"]
    assert f"{residual:+.1f}".replace("-", "−") in describe_residuals(residuals(bench()))
