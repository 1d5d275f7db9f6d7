"""The numbers of the first screen are the computed ones, and JSON has the same in its order."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable
from dataclasses import replace
from typing import get_args

import pytest
from changed import in_units, judged_by
from first_screen_reader import answer_of, statements_of, table_of
from printed import near
from report_sample import CASES, found

from jacketcalc.assessment.summary import count_inputs
from jacketcalc.casefile.reading import read_case, read_case_text
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.core.outcome import Outcome
from jacketcalc.inputs import Currency
from jacketcalc.show.first_statements import say_inputs
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import make_json


@pytest.mark.parametrize("by", get_args(Currency))
@pytest.mark.parametrize("units", ["SI", "inch-pound"])
def test_each_currency_stands_once_with_the_range_of_the_members(by: Currency, units: str) -> None:
    """Ends are worked out member by member; 1 K is 1.8 R by definition."""
    whole = in_units(judged_by(found("hot"), by), units)
    text = make_text(whole)
    told = answer_of(text)
    assert next(iter(told)) == by and sorted(told) == sorted(get_args(Currency))
    assert all(text.split("\n\n")[1].count(name) == 1 for name in told)
    kelvin = 1.8 if units == "inch-pound" else 1.0
    wanted = {
        "delivery": (100.0, spans(lambda o: o.delivered_mass_flow)),
        "specific air consumption": (100.0, spans(lambda o: o.specific_air_consumption)),
        "discharge temperature": (kelvin, spans(hottest, apart=True)),
    }
    for name, (size, ends) in wanted.items():
        row = told[name]
        for printed, value in zip((row.low, row.change, row.high), ends, strict=True):
            assert size * value == near(printed), name


def hottest(outcome: Outcome) -> float:
    return max(stage.discharge_temperature for stage in outcome.stages)


def spans(read: Callable[[Outcome], float], *, apart: bool = False) -> tuple[float, float, float]:
    """Return lowest, nominal and highest change over the members of the main case."""
    pairs = [(read(m.jacketed), read(m.bare)) for m in found("hot").band.members]
    assert len(pairs) == 11
    each = [new - old if apart else new / old - 1.0 for new, old in pairs]
    return min(each), each[0], max(each)


UNITS = {
    "SI": {
        # ISO 8778: air at 20 degC, 1 bar and 65 % humidity (ANR) has 1.185 kg/m3.
        "delivery / kg/h": lambda o: 3600 * o.delivered_mass_flow,
        "delivery (ANR) / L/min": lambda o: 60e3 * o.delivered_mass_flow / 1.185,
        "specific air consumption / kg/kg": lambda o: o.specific_air_consumption,
        "hottest discharge / °C": lambda o: hottest(o) - 273.15,
        "cycle rate / 1/s": lambda o: o.cycle_rate,
    },
    "inch-pound": {
        # International pound and foot: 0.45359237 kg and 0.3048 m (NIST SP 811, appendix B).
        "delivery / lb/h": lambda o: 3600 * o.delivered_mass_flow / 0.45359237,
        "delivery (ANR) / ft³/min": lambda o: 60 * o.delivered_mass_flow / 1.185 / 0.3048**3,
        "specific air consumption / lb/lb": lambda o: o.specific_air_consumption,
        "hottest discharge / °F": lambda o: 1.8 * hottest(o) - 459.67,
        "cycle rate / 1/s": lambda o: o.cycle_rate,
    },
}


@pytest.mark.parametrize("units", UNITS)
def test_the_table_holds_the_computed_values_and_the_range_of_the_members(units: str) -> None:
    whole = in_units(found("hot"), units)
    rows = table_of(make_text(whole))
    assert list(rows) == list(UNITS[units])
    for label, read in UNITS[units].items():
        row = rows[label]
        for printed, outcome in zip(row.values, (whole.bare, whole.jacketed), strict=True):
            assert read(outcome) == near(printed), label
            assert len(printed.replace(".", "").lstrip("0")) >= 3
        apart = label.startswith("hottest")
        assert row.unit == ({"SI": "K", "inch-pound": "R"}[units] if apart else "%")
        for printed, value in zip((row.low, row.change, row.high), spans(read, apart=apart),
                                  strict=True):  # fmt: skip
            assert (value if apart else 100 * value) == near(printed), label


@pytest.mark.parametrize("name", ["hot", "single", "tight"])
def test_the_reasons_add_up_as_printed(name: str) -> None:
    whole = found(name)
    told = statements_of(make_text(whole))["WHY"]
    parts = re.match(
        r"Delivery (\S+) %: cooling (\S+) %, resistance (\S+) %, together (\S+) %\. ", told
    )
    assert parts is not None
    delivery, cooling, resistance, both = map(float, parts.groups())
    assert round(cooling + resistance + both, 6) == delivery
    assert whole.split.cooling_alone is not None and whole.split.resistance_alone is not None
    assert 100 * whole.split.cooling_alone.delivered_mass_flow == near(parts[2])
    assert 100 * whole.split.resistance_alone.delivered_mass_flow == near(parts[3])
    assert 100 * whole.change.delivered_mass_flow == near(parts[1])
    ratio = re.search(r"C of the passage is (\S+) times the valve's", told)
    assert ratio is not None and whole.conductance.ratio == near(ratio[1])


SINGLE = (CASES / "single.toml").read_text("utf-8")


def typed(table: object) -> int:
    """Count the entries of a case as TOML reads them, but for where they come from."""
    if isinstance(table, dict):
        return sum(typed(item) for key, item in table.items() if key != "source")
    return sum(map(typed, table)) if isinstance(table, list) else 1


def test_inputs_are_counted() -> None:
    """By hand in the single stage's case.

    Assumed by its own word: by, no_jackets and discharge_limit of [judge], both of [ambient].
    Filled in: 3 films of [ambient], 1 valve, 2 drive, 5 stage, 2 for each of its two
    valves, 7 jacket, 2 for each tube, 5 models.
    """
    tree = tomllib.loads(SINGLE)
    entries = typed(tree) - 1 - len(tree["document"])  # the title is none
    filled = 3 + 1 + 2 + 5 + 2 * 2 + 7 + 2 * 2 + 5
    assert (entries, filled) == (56, 31)
    counted = count_inputs(read_case(str(CASES / "single.toml")))
    assert (counted.count, counted.assumed, counted.filled_in) == (entries + 31, 5 + 31, 31)
    assert not counted.dew_point_assumed
    told = statements_of(make_text(found("single")))["INPUTS"]
    assert told == "36 of 87 assumed (31 filled in by the program)."


def test_an_assumed_dew_point_is_told() -> None:
    line = 'pressure_dew_point = "3 degC"\n'
    assert SINGLE.count(line) == 1
    silent = count_inputs(read_case_text(SINGLE.replace(line, "")))
    assert (silent.count, silent.assumed, silent.filled_in) == (87, 37, 32)
    # The line of water says which it is: see tests/command/test_cli_water.py.
    assert silent.dew_point_assumed
    assert say_inputs(silent) == "37 of 87 assumed (32 filled in by the program)."
    own = SINGLE.replace(f'{line}source = "invented"', f'{line}source = "assumed"')
    guessed = count_inputs(read_case_text(own))
    assert (guessed.assumed, guessed.filled_in, guessed.dew_point_assumed) == (36 + 3, 31, True)
    assert say_inputs(replace(silent, assumed=0, filled_in=0, dew_point_assumed=False)) == (
        "0 of 87 assumed."
    )


def test_json_holds_the_numbers_of_the_screen_in_its_order() -> None:
    for by in get_args(Currency):
        whole = judged_by(found("hot"), by)
        text, kept = make_text(whole), json.loads(make_json(whole))
        assert kept["caution"] == CAUTION_BRIEF
        assert kept["verdict"]["headline"] == text.split("\n\n")[1].partition(":")[0]
        told = answer_of(text)
        assert [gain["currency"] for gain in kept["gains"]] == list(told)
        assert [gain["judged"] for gain in kept["gains"]] == [True, False, False]
        for gain in kept["gains"]:
            size = 1 if gain["unit"] == "K" else 100
            row = told[gain["currency"]]
            for end, printed in (("low", row.low), ("value", row.change), ("high", row.high)):
                assert size * gain["change"][end] == near(printed)
        rows = table_of(text)
        assert [row["label"] for row in kept["first_table"]] == [
            label.partition(" / ")[0] for label in rows
        ]
        for row, read in zip(kept["first_table"], rows.values(), strict=True):
            size = 1 if row["change_unit"] == "K" else 100
            for end, printed in (("low", read.low), ("value", read.change), ("high", read.high)):
                assert size * row["change"][end] == near(printed)
        counts = [kept["limits"][name] for name in ("mended", "newly_broken", "broken_in_both")]
        assert statements_of(text)["LIMITS"].startswith(
            "{} mended, {} newly broken, {} broken in both".format(*map(len, counts))
        )
        water = "; ".join(kept["water"]).replace("deg", "°")
        assert statements_of(text)["WATER"].lower() == f"{water}.".lower()
        assert statements_of(text)["INPUTS"].startswith(
            f"{kept['inputs']['assumed']} of {kept['inputs']['count']} assumed"
        )
        places = [statements_of(text)["NEXT"].find(step["why"]) for step in kept["next"]]
        shown = [place for place in places if place >= 0]  # a full screen has room for the first
        assert shown[0] == 0 and shown == sorted(shown) == places[: len(shown)]
