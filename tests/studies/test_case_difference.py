"""Two cases compared: what differs is what their files differ in, and the steps make the whole.

What each file says is read by `tomllib` alone; what each machine does, by assessing it by itself.
"""

from __future__ import annotations

import json
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from command_line import CASE, laboratory

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.steps_between import list_steps, take_steps
from jacketcalc.cli.main import main
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case
from jacketcalc.show.difference_json import make_difference_json
from jacketcalc.show.difference_text import make_difference_text
from jacketcalc.studies.case_difference import CaseDifference
from jacketcalc.studies.differ import differ

TEXT = CASE.read_text("utf-8")
OTHER = (
    TEXT.replace('pitch = "13 mm"', 'pitch = "16 mm"', 1)
    .replace('gap = "3 mm"', 'gap = "4 mm"', 1)
    .replace('temperature = "20 degC"', 'temperature = "25 degC"')
    .replace('no_jackets = "exhaust direct"', 'no_jackets = "exhaust through tube"')
)
CHANGED = {
    "judge.no_jackets", "ambient.temperature", "supply.temperature", "stage.first.jacket.pitch",
    "stage.second.jacket.gap",
}  # fmt: skip


@cache
def both() -> tuple[Case, Case]:
    return read_case_text(TEXT), read_case_text(OTHER)


@cache
def found() -> CaseDifference:
    return differ(*both())


def leaves(tree: Any, path: str = "") -> dict[str, Any]:
    """Return every value of a TOML tree by its path, stages by their names."""
    if isinstance(tree, list):
        tree = {stage["name"]: stage for stage in tree}
    if not isinstance(tree, dict):
        return {path: tree}
    every: dict[str, Any] = {}
    for key, value in tree.items():
        every |= leaves(value, f"{path}.{key}" if path else key)
    return every


def test_what_differs_in_the_files_is_what_is_listed() -> None:
    one, two = (leaves(tomllib.loads(text)) for text in (TEXT, OTHER))
    differing = {path for path in one | two if one.get(path) != two.get(path)}
    assert differing == CHANGED
    assert {e.path for e in found().entries if not e.follows} == CHANGED
    # Holes are filled in from the channel, so those of jackets that changed follow.
    assert {e.path for e in found().entries if e.follows} >= {"stage.first.jacket.outlet_bore"}


def test_all_steps_together_are_the_second_case_and_none_the_first() -> None:
    was, now = both()
    steps = list_steps(was, now)
    assert take_steps(was, steps).machine == now.machine
    assert take_steps(was, ()).machine == was.machine
    assert {step.path for step in steps} == CHANGED


def test_parts_add_up_to_the_whole_change() -> None:
    """Telescoping sums; the ends are machines that were solved by themselves."""
    ends = run([Design(machine=case.machine) for case in both()])
    first, last = (result.outcome for result in ends)
    parts = found().parts
    assert len(parts) == len(CHANGED)
    whole = last.delivered_mass_flow / first.delivered_mass_flow - 1.0
    assert sum(p.delivery for p in parts) == pytest.approx(whole, abs=1e-12)
    rise = last.hottest_discharge - first.hottest_discharge
    assert sum(p.hottest for p in parts) == pytest.approx(rise, abs=1e-9)
    gains = [found().now.change, found().was.change]
    gain = gains[0].delivered_mass_flow - gains[1].delivered_mass_flow
    assert sum(p.gain for p in parts) == pytest.approx(gain, abs=1e-9)


def test_the_machine_without_jackets_changes_the_gain_alone() -> None:
    """Where the exhaust goes without jackets is nothing to the machine with them."""
    part = next(p for p in found().parts if p.names[0].startswith("judge.no_jackets"))
    assert part.delivery == 0.0 and part.hottest == 0.0 and part.alone == 0.0
    was = laboratory()
    assert was.other is not None
    other = was.other.change.delivered_mass_flow - was.change.delivered_mass_flow
    assert part.gain == pytest.approx(other, abs=1e-9)


def test_alone_is_that_entry_changed_in_the_first_case() -> None:
    text = TEXT.replace('gap = "3 mm"', 'gap = "4 mm"', 1)
    machines = [Design(machine=case.machine) for case in (read_case_text(text), both()[0])]
    changed, plain = (r.outcome.delivered_mass_flow for r in run(machines))
    part = next(p for p in found().parts if "gap" in p.names[0])
    assert part.alone == pytest.approx(changed / plain - 1.0, abs=1e-12)


def test_entries_that_cannot_change_alone_change_together() -> None:
    """A pitch below the rib cannot be built; with a thinner rib it can."""
    text = TEXT.replace('pitch = "13 mm"', 'pitch = "2.5 mm"', 1)
    now = text.replace('rib = "3 mm"', 'rib = "0.5 mm"', 1)
    with pytest.raises(CaseError):
        read_case_text(text)
    (step,) = differ(both()[0], read_case_text(now)).walk
    assert [one.path.rpartition(".")[2] for one in step.steps] == ["pitch", "rib"]
    assert step.alone is not None


def test_another_way_to_state_a_valve_is_one_step() -> None:
    """C in place of Qn: no case has neither, none both."""
    text = TEXT.replace('exhaust_path = { C = "0.9 dm3/(s bar)", b = 0.30 }',
                        'exhaust_path = { Qn = "230 L/min", b = 0.30 }')  # fmt: skip
    assert text != TEXT
    (step,) = list_steps(both()[0], read_case_text(text))
    assert (step.path, step.was, step.now) == (
        "valve.exhaust_path", "C 0.9 dm3/(s bar)", "Qn 230 L/min",
    )  # fmt: skip


def test_a_stage_that_comes_or_goes_is_one_step_with_what_it_needs() -> None:
    single = read_case_text((CASE.parent / "single_stage.toml").read_text("utf-8"))
    steps = list_steps(both()[0], single)
    assert take_steps(both()[0], steps).machine == single.machine
    assert {"stage.second", "stage.single"} <= {step.path for step in steps}


def test_another_gas_from_a_bottle_is_one_step() -> None:
    """No case has a gas without its source: they come together, with the stage that draws it."""
    text = TEXT.replace('draws_from = "supply"', 'draws_from = "source"') + (
        '\n[gas]\nname = "nitrogen"\nsource = "invented"\n'
        '\n[source]\npressure = "8 bar(g)"\ntemperature = "20 degC"\n'
        'source = "invented"\n'
    )
    now = read_case_text(text)
    steps = list_steps(both()[0], now)
    assert {step.path for step in steps} == {"gas", "source", "stage.first.draws_from"}
    assert take_steps(both()[0], steps).machine == now.machine
    found = differ(both()[0], now)
    assert sum(len(one.steps) for one in found.walk) == 3
    assert len(found.parts) == len(found.walk) > 0


def test_many_changes_are_not_walked_unasked() -> None:
    tight = read_case_text((CASE.parent / "tight_jacket.toml").read_text("utf-8"))
    many = differ(both()[0], tight)
    assert not many.walk and "--walk" in many.left_out
    text = make_difference_text(many)
    assert "No walk" in text and "PAYS" in text and "DOES NOT PAY" in text


def test_the_same_case_says_that_nothing_differs() -> None:
    text = make_difference_text(differ(both()[0], both()[0]))
    assert "No entry differs." in text and "nothing that was typed" in text


@pytest.mark.parametrize("ascii_only", [False, True])
def test_the_page_is_80_columns_and_printed_parts_add_up(ascii_only: bool) -> None:
    text = make_difference_text(found(), ascii_only=ascii_only)
    assert max(map(len, text.split("\n"))) <= 80
    if ascii_only:
        text.encode("ascii")
    steps = text.partition("STEP BY STEP")[2].split("\n")
    printed = [line.split() for line in steps if " % " in line]
    shares = [float(words[words.index("%") - 1]) for words in printed]
    assert sum(shares[:-1]) == pytest.approx(shares[-1], abs=1e-9)


def test_json_tells_both_machines_in_si() -> None:
    result = json.loads(make_difference_json(found()))
    assert result["format"] == "jacketcalc-difference-1"
    rows = {(row["key"], row["machine"]): row for row in result["headlines"]}
    row = rows["delivered_mass_flow", "with_jackets"]
    assert row["was"] == found().was.jacketed.delivered_mass_flow and row["unit"] == "kg/s"
    assert row["change"] == pytest.approx(row["now"] / row["was"] - 1.0, rel=1e-12)
    seal = rows["hottest_seal", "no_jackets"]
    assert seal["was"] == max(s.seal_temperature for s in found().was.bare.stages)
    assert result["units"]["walk[].hottest"] == "K"
    told = next(e for e in result["inputs"] if e["path"] == "stage.second.jacket.gap")
    assert (told["was"]["value"], told["now"]["typed"]) == (0.003, "4 mm")


def test_the_command_writes_and_refuses(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = tmp_path / "other.toml"
    other.write_text(OTHER, "utf-8")
    goal = str(tmp_path / "differ.json")
    assert main(["differ", str(CASE), str(other), "--no-walk", "-o", goal]) == 0
    written = json.loads(Path(goal).read_text("utf-8"))
    assert written["walk"] == [] and written["now"]["file"] == str(other)
    capsys.readouterr()
    assert main(["differ", str(CASE), str(other), "-o", goal]) == 2
    assert main(["differ", str(CASE), str(other), "-o", str(other), "--force"]) == 2
    assert "is the case itself" in capsys.readouterr().err
    assert main(["differ", "-", "-"]) == 2
    assert main(["differ", str(CASE), "no-such.toml"]) == 2
    shown = capsys.readouterr()
    assert "no-such.toml" in shown.err and not shown.out
