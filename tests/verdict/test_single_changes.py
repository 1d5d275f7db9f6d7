"""After DOES NOT PAY and CANNOT TELL: what each port costs, and the one change that gains most.

Each change is typed into the case's text and the machines are solved by themselves.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache

import pytest
from command_line import CASE, laboratory
from first_screen_reader import statements_of
from printed import near

from jacketcalc import assess, read_case
from jacketcalc.assessment.loss_words import best_change
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.cli.main import main
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.inputs import Case
from jacketcalc.report.gather import gather
from jacketcalc.report.model import Table, plain
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import make_json
from jacketcalc.studies.one_size import list_single, no_silencer, wider_tubes
from jacketcalc.studies.single_changes import with_single_changes
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.studies.way_to_pay import with_way
from jacketcalc.verification.published import Verification

TIGHT = CASE.parent / "tight_jacket.toml"


@cache
def tight() -> Assessment:
    return with_single_changes(assess(read_case(str(TIGHT))))


@cache
def unsure() -> Assessment:
    """Assess the laboratory's machine with narrower jackets, whose range holds nought."""
    case = read_case(str(CASE))
    for key, size in (("stage.first.jacket.gap", "2.2 mm"), ("stage.second.jacket.gap", "2.5 mm"),
                      ("stage.first.jacket.pitch", "12 mm")):  # fmt: skip
        case = set_value(case, key, size)
    found = assess(case)
    assert found.verdict.answer == "cannot tell"
    return with_single_changes(found, always=False)


def gain_of(case: Case) -> float:
    machines = (bare_machine(case.machine, case.judgement.no_jackets), case.machine)
    bare, jacketed = (
        r.outcome.delivered_mass_flow for r in run([Design(machine=m) for m in machines])
    )
    return jacketed / bare - 1.0


@pytest.mark.parametrize("made", [tight, unsure])
def test_each_change_is_that_of_the_case_with_it_typed(made: object) -> None:
    found = made()  # type: ignore[operator]
    drawn = gain_of(found.case)
    for one in found.tried:
        case = found.case
        for key, typed in one.entries:
            case = set_value(case, key, typed if not typed.isdigit() else int(typed))
        assert one.change == pytest.approx(gain_of(case), abs=1e-9), one.what
        assert one.gain == pytest.approx(one.change - drawn, abs=1e-9)
    gains = [one.gain for one in found.tried]
    assert gains == sorted(gains, reverse=True) and len(gains) >= 6


def test_wider_gains_and_a_larger_valve_takes_away() -> None:
    """The passage costs against the valve: the ratio of conductances orders machines."""
    by = {one.what.split(" ")[0] + " " + one.what.split(" ")[1]: one.gain for one in tight().tried}
    for part in ("tube bore", "tube length", "jacket gap", "jacket pitch", "jacket starts"):
        assert by[part] > 0.0, part
    assert by["valve C"] < 0.0


@pytest.mark.parametrize("made", [tight, unsure])
def test_the_screen_ends_with_losses_and_the_best_change(made: object) -> None:
    found = made()  # type: ignore[operator]
    text = make_text(found)
    lines = text.removesuffix("\n").split("\n")
    assert len(lines) < 30 and max(map(len, lines)) <= 80
    told = statements_of(text)
    assert list(told)[-2:] == ["LOSS", "NEXT"]
    for budget, said in zip(found.jacketed_detail.pressure_budgets,
                            re.findall(r"Port (\d), (\S+) bar: ([^%]*) %", told["LOSS"]),
                            strict=True):  # fmt: skip
        port, whole, parts = said
        assert int(port) == budget.ports[0] and budget.whole / 1e5 == near(whole)
        shares = [float(part.split()[1]) for part in parts.split(", ")]
        assert sum(shares) == 100.0
        names = [part.split()[0] for part in parts.split(", ")]
        assert names == ["fittings", "tube", "entry", "channel", "outlet"]
    best = max(found.tried, key=lambda one: one.gain)
    said = re.search(r"Best change: (.*): delivery (\S+) %, as drawn (\S+) %", told["NEXT"])
    assert said is not None and said[1] == best.what
    assert [100 * best.change, 100 * found.change.delivered_mass_flow] == [
        near(printed) for printed in said.groups()[1:]
    ]


def test_the_best_change_betters_the_machine_too() -> None:
    """Judged by air: with a larger valve the jackets save more, and the machine takes more."""
    case = set_value(read_case(str(TIGHT)), "judge.by", "specific air consumption")
    found = with_single_changes(assess(case))
    valve = next(one for one in found.tried if one.what.startswith("valve C"))
    assert found.tried[0] is valve
    old = found.jacketed.specific_air_consumption
    assert valve.jacketed.specific_air_consumption > old
    best = best_change(found)
    assert best is not None and best.jacketed.specific_air_consumption < old
    lines = make_text(found).removesuffix("\n").split("\n")
    assert len(lines) < 30 and f"Best change: {best.what}" in " ".join(lines)


def test_jackets_that_pay_are_told_so_and_nothing_is_tried() -> None:
    found = with_single_changes(laboratory(), always=False)
    assert found.tried == () and "LOSS" not in statements_of(make_text(found))


def test_nothing_gains_is_said() -> None:
    worse = tuple(replace(one, gain=-0.01) for one in tight().tried)
    told = statements_of(make_text(replace(tight(), tried=worse)))["NEXT"]
    assert f"Of {len(worse)} single changes of a part by one size none gains." in told


def test_the_full_page_and_json_have_all_of_it() -> None:
    found = tight()
    page = make_text(found, full=True)
    assert "WHERE THE EXHAUST LOSES ITS PRESSURE" in page and "ONE PART BY ONE SIZE" in page
    assert max(map(len, page.split("\n"))) <= 80
    result = json.loads(make_json(found))
    whole = sum(part["loss"] for part in result["pressure_budget"][0]["parts"])
    assert whole == pytest.approx(result["pressure_budget"][0]["whole"], rel=1e-12)
    assert result["units"]["pressure_budget[].parts[].loss"] == "Pa"
    assert [one["what"] for one in result["single_changes"]] == [one.what for one in found.tried]


def test_the_report_has_both_tables() -> None:
    report = gather(make_dossier(tight()), Verification(findings=()))
    tables = {b.name: b for s in report.sections for b in s.blocks if isinstance(b, Table)}
    rows = tables["pressure budget"].rows
    for part in (rows[:6], rows[6:]):
        printed = [row.cells[2].number or 0.0 for row in part]
        assert sum(printed[:-1]) == pytest.approx(printed[-1], abs=1e-9)
    assert plain(tables["single changes"].rows[1].cells[0].text) == tight().tried[0].what


@cache
def led() -> Assessment:
    return with_way(tight())


def test_the_way_leads_to_jackets_that_pay_and_is_typed_as_told() -> None:
    """Its last step, typed into the text, pays as told; none before it does."""
    way = led().way
    assert way and way[-1].change > 0.0 and all(one.change <= 0.0 for one in way[:-1])
    assert [one.gain > 0.0 for one in way] == [True] * len(way)
    case = led().case
    for key, typed in way[-1].entries:
        case = set_value(case, key, typed if not typed.isdigit() else int(typed))
    assert way[-1].change == pytest.approx(gain_of(case), abs=1e-9)
    before = led().change.delivered_mass_flow
    assert before + sum(one.gain for one in way) == pytest.approx(way[-1].change, abs=1e-12)
    assert way[0].what == led().tried[0].what


def test_the_way_is_told_on_the_full_page_in_json_and_report() -> None:
    page = make_text(led(), full=True)
    told = page.partition("WHAT WOULD MAKE THEM PAY")[2].split("\n\n")[0]
    assert all(one.what in " ".join(told.split()) for one in led().way)
    assert max(map(len, page.split("\n"))) <= 80
    result = json.loads(make_json(led()))
    assert [one["what"] for one in result["way_to_pay"]] == [one.what for one in led().way]
    report = gather(make_dossier(led()), Verification(findings=()))
    tables = {b.name: b for s in report.sections for b in s.blocks if isinstance(b, Table)}
    assert len(tables["way to pay"].rows) == len(led().way) + 1


def test_jackets_that_pay_need_no_way() -> None:
    assert with_way(with_single_changes(laboratory())).way == ()


def test_sizes_are_the_next_that_are_sold() -> None:
    """12 mm outside, 9 mm bore: 14 mm is next. In inches: 3/8, then 1/2 (common practice)."""
    measure = wider_tubes(read_case(str(CASE)))
    assert measure is not None
    assert {typed for _, typed in measure.entries} == {"11 mm"}
    text = CASE.read_text("utf-8").replace("[document]", '[document]\nunits = "inch-pound"')
    text = re.sub(r'bore = "9 mm", wall = "1.5 mm"', 'bore = "0.25 in", wall = "0.0625 in"', text)
    measure = wider_tubes(read_case_text(text))
    assert measure is not None
    assert {typed for _, typed in measure.entries} == {"0.375 in"}


def test_what_the_shop_can_make_is_kept_to() -> None:
    """Cutters 10 and 12 mm beside a rib of 3 mm make pitches of 13 and 15 mm; tubes of 10 mm."""
    text = CASE.read_text("utf-8") + (
        '\n[make]\nstep = "0.5 mm"\ncutter_widths = "10 mm, 12 mm"\n'
        'tube_bores = "9 mm, 10 mm"\nleast_turns = 8\nsource = "invented"\n')  # fmt: skip
    case = read_case_text(text)
    told = {m.name: dict(m.entries) for m in list_single(case)}
    assert set(told["wider tubes"].values()) == {"10 mm"}
    assert told["larger pitch"]["stage.first.jacket.pitch"] == "15 mm"
    # Two starts have half the turns: 6 and 7 of the 8 that are asked for.
    names = {one.what.rpartition(" to ")[0] for one in with_single_changes(assess(case)).tried}
    assert "tube bore 9" in names and "jacket starts 1" not in names


def test_a_silencer_can_be_left_out() -> None:
    text = CASE.read_text("utf-8").replace(
        '[exhaust.port_2]\nto = "first"',
        '[exhaust.port_2]\nto = "first"\nsilencer = { C = "1 dm3/(s bar)" }')  # fmt: skip
    case = read_case_text(text)
    measure = no_silencer(case)
    assert measure is not None and measure.entries == (("exhaust.port_2.silencer", ""),)
    assert "no silencer" in {m.name for m in list_single(case)}
    found = with_single_changes(assess(case))
    assert next(t for t in found.tried if t.what == "no silencer").gain > 0.0


def test_the_command_ends_with_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["assess", str(TIGHT)]) == 0
    shown = capsys.readouterr().out
    assert "LOSS" in shown and "Best change: " in shown.split("NEXT")[1]
