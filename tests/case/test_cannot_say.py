"""What a case cannot say is one table, and what it tells to write in its place can be written."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from broken import FULL
from case_problems import find_problems

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.remedy import list_names
from jacketcalc.casefile.schema import ROOT
from jacketcalc.casefile.unsayable import NAME, load_wishes, tell_wishes
from jacketcalc.cli.group import COMMANDS
from jacketcalc.cli.main import main
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.geometry import piston_areas


def keys() -> dict[str, set[str]]:
    """Return the keys of every table of a case, by the header it stands under."""
    found: dict[str, set[str]] = {}

    def visit(table: object, above: str) -> None:
        header = f"{above}{table.key}"  # type: ignore[attr-defined]
        found[header] = {field.key for field in table.fields}  # type: ignore[attr-defined]
        for inner in table.tables:  # type: ignore[attr-defined]
            visit(inner, f"{header}.")

    for table in ROOT.tables:
        visit(table, "")
    return found


def test_it_is_printed_and_found(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["remedy", NAME]) == 0
    shown = capsys.readouterr().out
    assert shown == tell_wishes() and max(map(len, shown.split("\n"))) <= 80
    assert shown.isascii()
    words = " ".join(shown.split())
    for asked in ("double-acting stage", "three stages", "two drive cylinders", "spring return",
                  "pilot valves", "oxygen"):  # fmt: skip
        assert asked in words
    assert main(["remedy"]) == 0
    assert capsys.readouterr().out.split()[-1] == NAME


def test_tables_keys_and_commands_that_it_names_are_there() -> None:
    tables, named = keys(), 0
    for wish in load_wishes():
        for header in re.findall(r"\[\[?([a-z_.]+)\]", wish.say):
            assert header in tables, (wish.what, header)
        for key, header in re.findall(r"(\w+) (?:= \d )?(?:in|of) \[([a-z_.]+)\]", wish.say):
            assert key in tables[header], (wish.what, key)
            named += 1
        for command in re.findall(r"`jacketcalc ([a-z -]+)`", wish.say):
            name, *rest = command.split()
            assert name in COMMANDS and set(rest) <= set(list_names())
    assert named >= 4


def test_two_stages_from_the_supply_stand_for_a_double_acting_one() -> None:
    """Both sides of one piston, d of the rod taken from one of them: as the table says."""
    start, end = FULL.rindex("[[stage]]"), FULL.index("[receiver]")
    line = re.compile(r"(?s)\[stage\.line\].*?(?=\n\[)")
    other = line.sub("", FULL[start:end]).replace('draws_from = "first"', 'draws_from = "supply"')
    assert find_problems(FULL[:start] + other + FULL[end:]) == []


def test_a_thick_rod_stands_for_a_spring() -> None:
    """Force of the ring by hand, against what a spring of 3 kN asks; it runs and delivers."""
    machine = read_case_text(FULL.replace("300 bar(g)", "60 bar(g)")).machine
    gauge = machine.supply.pressure - machine.ambient.pressure
    spring = 3000.0
    rod = (machine.drive.bore**2 - 4 / 3.14159265 * spring / gauge) ** 0.5
    drive = replace(machine.drive, rod_2=rod, cylinders=1)
    assert piston_areas(drive)[1] * gauge == pytest.approx(spring, rel=1e-6)
    stage = machine.stages[0]
    first = replace(stage, compresses_on=1)
    exhausts = {f"exhaust_{i}": replace(machine.exhaust_1, to="atmosphere") for i in (1, 2)}
    single = replace(machine, stages=(first,), drive=drive, receiver_pressure=20e5, **exhausts)
    outcome = run([Design(machine=single)])[0].outcome
    assert outcome.delivers
