"""Jackets proposed for a machine without any: makeable, as good as what else can be made, written.

The machines are those of `tests/machines` without their jackets, the shop that of
`unjacketed.MAKE`; what can be made is read from the written case by the standard library alone.
"""

from __future__ import annotations

import json
import random
import tomllib
from functools import cache
from typing import Any

import pytest
from places import CASES
from series_case import series_text
from unjacketed import unjacketed, with_make

from jacketcalc.assessment.assess import assess
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.core.resolution import COARSE
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.errors import CaseError
from jacketcalc.makeable import list_unmade
from jacketcalc.show.proposal_json import make_proposal_json
from jacketcalc.show.proposal_text import make_proposal_text
from jacketcalc.studies.first_winding import tube_bores
from jacketcalc.studies.propose import Proposal, propose

CUTTERS, TUBES = (12.0, 16.0, 20.0, 27.0), (8.0, 12.0)


@cache
def found(name: str = "single") -> Proposal:
    text = with_make(unjacketed((CASES / f"{name}.toml").read_text("utf-8")))
    return propose(read_case_text(text), quick=True, resolution=COARSE)


def mm(text: str) -> float:
    number, unit = text.split(" ")
    assert unit == "mm"
    return float(number)


def jackets(proposal: Proposal) -> list[dict[str, Any]]:
    return [stage["jacket"] for stage in tomllib.loads(proposal.best_case.text)["stage"]]


@pytest.mark.parametrize("name", ["single", "hot"])
def test_the_jackets_can_be_made(name: str) -> None:
    tree = tomllib.loads(found(name).best_case.text)
    for jacket in jackets(found(name)):
        assert min(abs(mm(jacket["pitch"]) - mm(jacket["rib"]) - w) for w in CUTTERS) < 1e-6
        for key in ("gap", "rib", "length"):
            assert (2 * mm(jacket[key])).is_integer(), key
        assert mm(jacket["rib"]) >= 2.0
        turns = mm(jacket["length"]) / (jacket["starts"] * mm(jacket["pitch"]))
        assert turns >= 2.0 - 1e-9
    for port in tree["exhaust"].values():
        assert mm(port["tube"]["bore"]) in TUBES
    assert list_unmade(found(name).best_case) == ()


def test_the_winding_stays_on_the_barrel() -> None:
    for stage, jacket in zip(found("hot").best_case.machine.stages, jackets(found("hot")),
                             strict=True):  # fmt: skip
        end = mm(jacket["offset"]) + mm(jacket["length"])
        assert end <= 1e3 * stage.barrel_length - 10.0 + 1e-6


def test_both_stages_are_fed_each_by_a_port() -> None:
    tree = tomllib.loads(found("hot").best_case.text)
    assert sorted(port["to"] for port in tree["exhaust"].values()) == ["first", "second"]
    assert len(found("hot").routes) == 2
    best, other = found("hot").routes
    less = best.trial.numbers["delivered_mass_flow"] >= other.trial.numbers["delivered_mass_flow"]
    assert not best.broken and (less or other.broken)
    single = tomllib.loads(found().best_case.text)
    assert {port["to"] for port in single["exhaust"].values()} == {"main"}


def test_no_other_makeable_jacket_of_many_delivers_more() -> None:
    """Drawn at random over what can be made, put in by plain text, solved alike."""
    proposal, chance = found(), random.Random(7)
    (jacket,) = jackets(proposal)
    text, tried = proposal.best_case.text, 0
    (best,) = run([Design(machine=proposal.best_case.machine)], resolution=COARSE)
    while tried < 40:
        rib = chance.choice((2.0, 2.5, 3.0, 4.0))
        pitch, starts = chance.choice(CUTTERS) + rib, chance.randint(1, 3)
        length = chance.choice((60.0, 80.0, mm(jacket["length"])))
        if length / (pitch * starts) < 2.0:
            continue
        case = read_case_text(text)
        try:
            for key, value in (("rib", rib), ("pitch", pitch), ("length", length),
                               ("gap", chance.randint(4, 24) / 2)):  # fmt: skip
                case = set_value(case, f"jacket.{key}", f"{value} mm")
            case = set_value(case, "jacket.starts", starts)
            case = set_value(case, "tube.bore", f"{chance.choice(TUBES)} mm")
        except CaseError:
            continue
        tried += 1
        (other,) = run([Design(machine=case.machine)], resolution=COARSE)
        assert other.outcome.delivered_mass_flow < best.outcome.delivered_mass_flow * 1.002


def test_what_it_would_bring_is_what_assess_finds_of_the_case_written() -> None:
    again = assess(read_case_text(found().best_case.text), resolution=COARSE)
    assert again.verdict.answer == found().assessment.verdict.answer
    assert again.change == found().assessment.change


def test_a_machine_that_exhausts_at_its_valve_gets_tubes() -> None:
    text = with_make(unjacketed((CASES / "single.toml").read_text("utf-8"), tubes=False))
    proposal = propose(read_case_text(text), quick=True, resolution=COARSE)
    for port in tomllib.loads(proposal.best_case.text)["exhaust"].values():
        assert mm(port["tube"]["bore"]) in TUBES and port["tube"]["length"] == "0.4 m"


def test_without_a_shelf_tubes_are_usual_ones_up_to_wide_enough() -> None:
    """A throat of 4 dm3/(s bar) is 20.1 mm2 (ISO 6358): four times that is 10.1 mm of bore."""
    free = read_case_text(unjacketed((CASES / "single.toml").read_text("utf-8"), tubes=False))
    assert [round(1e3 * bore, 6) for bore in tube_bores(free)] == [5.5, 7, 9, 11]
    # A drawn tube of 12 mm is wide enough already.
    drawn = read_case_text(unjacketed((CASES / "single.toml").read_text("utf-8")))
    assert [round(1e3 * bore, 6) for bore in tube_bores(drawn)] == [12]


def test_inches_are_proposed_in_inches() -> None:
    text = with_make(unjacketed((CASES / "single.toml").read_text("utf-8")), "")
    text = text.replace('revision = "A"', 'revision = "A"\nunits = "inch-pound"')
    (jacket,) = jackets(propose(read_case_text(text), quick=True, resolution=COARSE))
    for key in ("gap", "pitch", "rib", "length"):
        number, unit = jacket[key].split(" ")
        # Steps of a sixty-fourth of an inch; the rib of a quick start is a whole 1/8 in then.
        assert unit == "in" and (64 * float(number)).is_integer(), (key, jacket[key])


def test_a_quick_proposal_solves_few_machines() -> None:
    """Some 15 ms each in coarse steps on one core: 450 are 4 s on two."""
    assert found("hot").tried <= 450 and found().tried <= 250


def test_a_drawn_jacket_is_wound_anew_of_its_own_materials() -> None:
    text = with_make((CASES / "single.toml").read_text("utf-8"))
    text = text.replace('shell_thickness = "4 mm"', 'shell_thickness = "5 mm"\noutlet_loss = 0.8')
    proposal = propose(read_case_text(text), quick=True, resolution=COARSE)
    (jacket,) = jackets(proposal)
    assert jacket["rib_joint"] == "barrel" and jacket["shell_thickness"] == "5 mm"
    assert jacket["outlet_loss"] == "0.8" or jacket["outlet_loss"] == 0.8
    assert "outlet_bore" not in jacket
    assert proposal.best_case.text.count("[stage.jacket]") == 1


def test_jackets_that_do_not_pay_are_said_plainly_not_to() -> None:
    """A thin tube alone on the shelf throttles the exhaust more than any cooling gives."""
    make = '[make]\ntube_bores = "3 mm"\nsource = "invented"\n\n'
    text = with_make(unjacketed((CASES / "single.toml").read_text("utf-8")), make)
    proposal = propose(read_case_text(text), quick=True, resolution=COARSE)
    told = make_proposal_text(proposal)
    assert proposal.assessment.verdict.answer == "does not pay"
    assert "NO JACKETS THAT PAY WERE FOUND; these come nearest" in told
    assert "DOES NOT PAY" in told and "\nWHY " in told and "resistance" in told


def test_the_text_keeps_to_the_page_and_names_the_jackets() -> None:
    text = make_proposal_text(found("hot"))
    assert max(map(len, text.split("\n"))) <= 80
    for name, jacket in zip(("first", "second"), jackets(found("hot")), strict=True):
        line = next(one for one in text.split("\n") if one.startswith(f"  {name} "))
        assert f"pitch {jacket['pitch']}, gap {jacket['gap']}, rib {jacket['rib']}" in line
    assert "Ports exchanged:" in text and "propose CASE -o propose.toml" in text


def test_the_json_holds_the_case_and_the_assessment() -> None:
    told = json.loads(make_proposal_json(found()))
    assert told["format"] == "jacketcalc-propose-1"
    assert told["proposed_case"]["text"] == found().best_case.text
    (jacket,) = jackets(found())
    assert told["jackets"][0]["pitch"] == pytest.approx(1e-3 * mm(jacket["pitch"]))
    assert told["assessment"]["verdict"]["answer"] == told["answer"]


def test_comments_and_tables_around_a_winding_stay() -> None:
    """What the case said before it still says, line by line, but the exhaust's goals."""
    before = with_make(unjacketed((CASES / "hot.toml").read_text("utf-8")))
    lines = found("hot").best_case.text.split("\n")
    for line in before.split("\n"):
        if not line.startswith(("to =", "tube =")):
            assert line in lines, line


def test_of_three_stages_two_have_a_jacket_each_fed_by_a_port() -> None:
    proposal = propose(read_case_text(unjacketed(series_text(3))), quick=True, resolution=COARSE)
    tree = tomllib.loads(proposal.best_case.text)
    jacketed = [stage["name"] for stage in tree["stage"] if "jacket" in stage]
    assert len(jacketed) == 2 and len(proposal.routes) == 6
    assert sorted(port["to"] for port in tree["exhaust"].values()) == sorted(jacketed)
    text = make_proposal_text(proposal)
    assert text.count("none: there are two ports") == 1
    assert "Ports exchanged" in text or "Next best" in text
