"""The drawn design among the points of a study: a row, paired changes against it, a mark."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest
from figure_data import clashes, shown_texts
from study_sample import COARSE, invented, main_case

from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.overrides import set_value
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.report.figures.study_entry import draw_entry
from jacketcalc.report.figures.study_grid import pair_figure
from jacketcalc.report.figures.study_map import pitch_map
from jacketcalc.report.figures.study_pair import draw_pair
from jacketcalc.report.figures.study_points import entry_figure
from jacketcalc.report.study_figures import study_figures
from jacketcalc.show.study_json import make_study_json
from jacketcalc.show.study_text import make_study_text
from jacketcalc.studies.axes import parse_axis
from jacketcalc.studies.choice import choose_all
from jacketcalc.studies.drawn import drawn_spots, say_drawn
from jacketcalc.studies.study import run_study
from jacketcalc.studies.study_table import StudyTable

CASE = set_value(main_case(), "stage.second.jacket.pitch", "24 mm")
"""The main case, whose first jacket has a pitch of 30 mm, with another one in the second."""


def spots(case=CASE, *typed: str) -> list[tuple[str, tuple[float | None, ...]]]:  # type: ignore[no-untyped-def]
    axes = [parse_axis(case, text) for text in typed]
    return [(spot.part, spot.values) for spot in drawn_spots(case, axes)]


def test_what_is_drawn_is_found_for_any_entry() -> None:
    pitch, gap = "jacket.pitch=10mm,40mm", "jacket.gap=4mm,6mm"
    assert spots(CASE, pitch) == [("first", (0.03,)), ("second", (0.024,))]
    own = CASE.machine.stages[0].jacket
    assert own is not None
    # A stage's pitch goes with the gap of the same stage; one gap goes with both pitches.
    both = [("first", (0.03, own.gap)), ("second", (0.024, own.gap))]
    assert spots(CASE, pitch, gap) == both
    other = set_value(CASE, "stage.second.jacket.gap", "5 mm")
    assert spots(other, pitch, gap) == [both[0], ("second", (0.024, 0.005))]
    assert spots(CASE, "stage.first.jacket.pitch=10mm,40mm") == [("", (0.03,))]
    # Words have places among those compared; what was filled in is found too.
    name = CASE.machine.drive.material.name
    assert spots(CASE, f"drive.material=PTFE,{name}") == [("", (1.0,))]
    assert spots(CASE, "drive.material=PTFE,PA6") == [("", (None,))]
    assert spots(CASE, "models.mixing=0,1") == [("", (CASE.machine.models.mixing,))]
    axis = parse_axis(CASE, pitch)
    assert say_drawn(CASE, axis) == "30 mm (first), 24 mm (second)"


@cache
def solved() -> StudyTable:
    return run_study(CASE, ["jacket.pitch=20mm,28mm"], split=False, resolution=COARSE)


def test_changes_against_the_drawn_design_are_paired() -> None:
    """Both machines solved outside any study, under each member of the range by hand."""
    least = {"jacket": "low", "mixing": 0.0, "in_cylinder_factor": 0.67}
    most = {"jacket": "high", "mixing": 1.0, "in_cylinder_factor": 2.0}
    members = [
        ({}, 1.0), ({"jacket": "low"}, 1.0), ({"jacket": "high"}, 1.0), ({"mixing": 0.0}, 1.0),
        ({"mixing": 1.0}, 1.0), ({"in_cylinder_factor": 0.67}, 1.0),
        ({"in_cylinder_factor": 2.0}, 1.0), ({}, 0.7), ({}, 2.5), (least, 2.5), (most, 0.7),
    ]  # fmt: skip
    table = solved()
    assert table.members == (
        "nominal", "jacket heat transfer low", "jacket heat transfer high",
        "in-cylinder mixing none", "in-cylinder mixing full", "in-cylinder law x 0.67",
        "in-cylinder law x 2", "film outside x 0.7", "film outside x 2.5",
        "all together, least", "all together, most",
    )  # fmt: skip
    cases = [CASE, *(set_value(CASE, "jacket.pitch", text) for text in ("20 mm", "28 mm"))]
    machines = [replace(c.machine, models=replace(c.machine.models, **own),
                        ambient=replace(c.machine.ambient, film_factor=film))
                for own, film in members for c in cases]  # fmt: skip
    flows = [r.outcome.delivered_mass_flow
             for r in run([Design(machine=m) for m in machines], resolution=COARSE)]  # fmt: skip
    for place, row in enumerate(table.rows, 1):
        wanted = [flows[3 * i + place] / flows[3 * i] - 1.0 for i in range(11)]
        name = "from_drawn.delivered_mass_flow"
        # 1e-9 of the flows, whose ratios less one these are.
        assert [m[name] for m in row.members] == pytest.approx(wanted, abs=3e-9)
        assert row.spread(name) == pytest.approx((min(wanted), max(wanted)), abs=3e-9)
    # A paired range is narrower than the difference of two ranges against no jackets.
    low, high = table.rows[0].spread("from_drawn.delivered_mass_flow") or (0.0, 0.0)
    assert table.drawn is not None
    ends = [row.spread("change.delivered_mass_flow") or (0.0, 0.0)
            for row in (table.rows[0], table.drawn)]  # fmt: skip
    assert high - low < 0.5 * (ends[0][1] - ends[1][0] - (ends[0][0] - ends[1][1]))


def test_the_drawn_design_is_a_row_of_every_table() -> None:
    bare = bare_machine(CASE.machine, CASE.judgement.no_jackets)
    drawn, without = (r.outcome for r in run(
        [Design(machine=CASE.machine), Design(machine=bare)], resolution=COARSE))  # fmt: skip
    table = solved()
    text = make_study_text(table)
    assert max(map(len, text.splitlines())) <= 80
    block = text[text.index("DELIVERED AIR, and its") :].partition("\n\n")[0].splitlines()
    words = block[3].split()
    assert words[:2] == ["as", "drawn"]
    assert float(words[2]) == pytest.approx(3600 * drawn.delivered_mass_flow, abs=5.1e-4)
    change = drawn.delivered_mass_flow / without.delivered_mass_flow - 1.0
    assert float(words[3]) == pytest.approx(100 * change, abs=0.051)
    assert words[-5:] == ["0.0", "%", "0.0", "to", "0.0"]
    for title in ("MACHINE", "STAGE first", "JACKET second"):
        assert "as drawn" in text[text.index(f"\n{title}") :].split("\n\n")[0]
    assert "Drawn: 30 mm (first), 24 mm (second)." in " ".join(text.split())
    found = json.loads(make_study_json(table))["drawn"]
    assert [e["value"] for e in found["entries"]["jacket.pitch"]] == [0.03, 0.024]
    assert found["members"][0]["delivered_mass_flow"] == pytest.approx(drawn.delivered_mass_flow)


def test_words_have_no_end_of_a_range_and_a_count_has_none_at_one() -> None:
    words = invented("drive.material=brass,PTFE,PA6", number=lambda n, m: n)
    for choice in choose_all(words):
        assert (choice.verdict, choice.rising, choice.bounded) == ("best", (), ())
    text = " ".join(make_study_text(words).split())
    assert "most mass per hour PA6: " in text and "end of the range" not in text
    starts = invented("jacket.starts=1,2,3", number=lambda n, m: n)
    found = {choice.aim.name: choice.verdict for choice in choose_all(starts)}
    assert found["coolest discharge"] == "best"
    assert found["most mass per hour"] == "still rising"


ONE = {
    "size": "jacket.gap=4mm:9mm:1mm",
    "count": "jacket.starts=1,2,3",
    "words": "drive.material=brass,PTFE,stainless 17-4PH,aluminium 6061 anodised,PU seal",
    "single": "jacket.gap=7mm",
    "falling": "supply.pressure=8bar(g),7bar(g),6bar(g)",
}


@pytest.mark.parametrize("kind", ONE)
def test_any_one_entry_is_drawn_with_the_drawn_machine_marked(kind: str) -> None:
    table = invented(ONE[kind], number=lambda value, member: 0.3 + 0.001 * value + 0.01 * member)
    assert set(study_figures(table)) == {"-change.png", "-change.svg"}
    data = entry_figure(table)
    fig = draw_entry(data)
    assert not clashes(fig)
    marks = [line for line in fig.axes[1].lines if line.get_mfc() == "white"]
    assert len(marks) == len(data.drawn) > 0
    at = [float(line.get_xdata()[0]) for line in marks]
    for ax in fig.axes:
        low, high = ax.get_xlim()
        assert all(low < x < high for x in at)
    assert all(a <= b for a, b in pairwise(data.x))
    # The drawn machine of the invented table has nought for every number.
    assert all(line.get_ydata()[0] == 0.0 for line in marks)
    if kind == "words":
        # What is drawn is not among the words: it stands to the left, with its name.
        name = table.case.machine.drive.material.name
        assert data.words[0] == name and at == [-1.0]
        assert name in [t.get_text().replace("\n", " ") for t in fig.axes[0].get_xticklabels()]
    if kind == "size":
        assert at == [pytest.approx(1e3 * table.case.machine.stages[0].jacket.gap)]  # type: ignore[union-attr]


TWO = {
    "sizes": ("jacket.gap=4mm:9mm:1mm", "jacket.length=100mm,110mm"),
    "count and words": ("jacket.starts=1:3", "drive.material=brass,aluminium 6061 anodised"),
    "many": ("supply.pressure=6bar(g):8bar(g)", "drive.stroke=100mm:120mm"),
}


@pytest.mark.parametrize("kind", TWO)
def test_any_two_entries_are_a_map_with_the_drawn_machine_marked(kind: str) -> None:
    table = invented(*TWO[kind], number=lambda a, b, member: 0.03 * (a % 7) - 0.02 * b)
    assert set(study_figures(table)) == {"-map.png", "-map.svg"}
    data = pair_figure(table)
    fig = draw_pair(data)
    assert data.maps[0].value.shape == tuple(len(a.values) for a in table.axes[::-1])
    # The first entry is across: its second value at the first value of the other.
    row = next(r for r in table.rows if r.texts == (data.across[1], data.up[0]))
    change = row.numbers.get("change.delivered_mass_flow", math.nan)
    assert data.maps[0].value[0, 1] == pytest.approx(100 * change, nan_ok=True)
    every = drawn_spots(table.case, table.axes)
    assert ("outside this map" in " ".join(data.remarks)) == (len(data.drawn) < len(every))
    marks = [line for line in fig.axes[0].lines if line.get_mfc() == "white"]
    assert len(marks) == len(data.drawn)
    if kind != "many":
        assert not clashes(fig)
    assert any(t.get_text().startswith("As drawn, ") for t in shown_texts(fig))


def test_a_mark_stands_between_the_values_beside_it() -> None:
    """30 mm between 20 and 40, the second jacket's 24 mm at a fifth of the way, by hand."""
    table = invented("jacket.pitch=20mm,40mm", "jacket.starts=1,2", number=lambda *_: 0.1)
    found = pair_figure(replace(table, against=CASE)).drawn
    starts = CASE.machine.stages[0].jacket.starts - 1  # type: ignore[union-attr]
    places = (("drawn, first", pytest.approx(0.5), starts), ("drawn, second", pytest.approx(0.2),
                                                             starts))  # fmt: skip
    assert found == places
    sizes = invented("jacket.pitch=20mm,40mm", "jacket.gap=4mm,9mm", number=lambda *_: 0.1)
    data = pitch_map(replace(sizes, against=CASE))
    assert data.drawn is None
    assert [(name, at[0]) for name, at in data.drawn_parts] == [("first", 0.03), ("second", 0.024)]
