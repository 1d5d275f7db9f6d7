"""A machine without jackets is assessed as it is, and told what to do next.

What it does is compared with the machine without jackets of the same case's comparison.
"""

from __future__ import annotations

import json
from functools import cache

import pytest
from places import CASES
from unjacketed import unjacketed

from jacketcalc.assessment.as_it_is import AsItIs, assess_as_it_is
from jacketcalc.assessment.assess import assess
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.show.as_it_is_json import make_as_it_is_json
from jacketcalc.show.as_it_is_text import make_as_it_is_text

HOT = (CASES / "hot.toml").read_text("utf-8")


@cache
def found() -> AsItIs:
    return assess_as_it_is(read_case_text(unjacketed(HOT, tubes=False)))


def test_it_is_the_machine_without_jackets_of_every_comparison() -> None:
    """Exhaust direct, no tubes: `assess` of the case with jackets solves the same machine."""
    compared = assess(read_case_text(HOT))
    assert found().outcome == compared.bare
    ranged = {m.label: m.bare for m in compared.band.members}
    for label, outcome in found().members:
        assert outcome == ranged[label]
    # Without jackets their heat transfer has no say; all else of the model range has.
    assert set(ranged) - {label for label, _ in found().members} == {
        "jacket heat transfer low", "jacket heat transfer high",
    }  # fmt: skip
    kept = {check.what: check.kept_bare for check in compared.limits if check.kind == "at most"}
    assert {check.what: check.kept for check in found().limits} == kept


def test_the_screen_tells_rate_delivery_temperatures_stall_limits_and_air() -> None:
    text = make_as_it_is_text(found())
    lines = text.rstrip("\n").split("\n")
    assert len(lines) <= 29 and max(map(len, lines)) <= 80
    assert "NO JACKETS YET" in text and "jacketcalc propose" in text
    for head in ("LIMITS", "WATER", "STALL", "AIR", "INPUTS", "NEXT"):
        assert any(line.startswith(head) for line in lines), head
    own = found().outcome
    row = {line[:37].strip(): line[37:].split() for line in lines}
    assert float(row["cycle rate"][1]) == pytest.approx(own.cycle_rate, rel=1e-3)
    assert float(row["delivery"][1]) == pytest.approx(3600 * own.delivered_mass_flow, rel=1e-3)
    hot = own.stages[1].discharge_temperature - 273.15
    assert float(row["discharge temperature, second"][1]) == pytest.approx(hot, abs=0.51)


def test_the_need_of_air_is_set_against_a_compressor_where_one_is_stated() -> None:
    """The need is drive air and delivery, in litres that weigh 1.185 g (ISO 8778)."""
    text = " ".join(make_as_it_is_text(found()).split())
    own = found().outcome
    need = (own.drive_air_mass_flow + own.delivered_mass_flow) * 60 / 1.185e-3
    assert f"needs {float(f'{need:.3g}'):g} L/min (ANR) while it runs; no compressor" in text
    case = set_value(found().case, "compressor.capacity", "100 L/min")
    stated = AsItIs(**{**vars(found()), "case": case})
    assert "it will rest" in " ".join(make_as_it_is_text(stated).split())


def test_everything_is_told_on_request() -> None:
    text = make_as_it_is_text(found(), full=True)
    assert max(map(len, text.split("\n"))) <= 80
    for label in ("drive force margin", "volumetric efficiency", "wall, mean"):
        assert label in text
    for check in found().limits:
        assert check.kept or check.what in " ".join(text.split())


def test_the_json_has_units_and_a_name() -> None:
    told = json.loads(make_as_it_is_json(found()))
    assert told["format"] == "jacketcalc-as-it-is-1"
    assert told["no_jackets"]["cycle_rate"] == found().outcome.cycle_rate
    assert told["units"]["no_jackets.cycle_rate"] == "1/s"
    assert len(told["members"]) == len(found().members)
    assert [check["kept"] for check in told["limits"]] == [c.kept for c in found().limits]


def test_a_machine_that_stalls_is_told_to() -> None:
    case = set_value(read_case_text(unjacketed(HOT)), "receiver.pressure", "400 bar(a)")
    told = make_as_it_is_text(assess_as_it_is(case))
    assert told.count("STALLS") == 1 and "propose" not in told
