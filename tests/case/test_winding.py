"""Jackets are wound into the text of a case, in place of those it has; all else stays."""

from __future__ import annotations

import re
import tomllib

import pytest
from places import CASES
from unjacketed import unjacketed

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.winding import Entries, wind
from jacketcalc.errors import CaseError

SINGLE = (CASES / "single.toml").read_text("utf-8")
HOT = (CASES / "hot.toml").read_text("utf-8")
JACKET: Entries = {
    "gap": ("5 mm", "height"), "pitch": ("20 mm", ""), "starts": (2, ""), "rib": ("2 mm", ""),
    "length": ("90 mm", ""), "offset": ("12 mm", ""), "rib_joint": ("shell", ""),
    "shell_thickness": ("6 mm", ""), "shell_material": ("POM", ""),
}  # fmt: skip
TUBE: Entries = {"bore": ("10 mm", ""), "wall": ("1 mm", ""), "length": ("0.5 m", ""),
                 "material": ("PA12", "")}  # fmt: skip


def wound(text: str, goals: tuple[str, str]) -> str:
    case = read_case_text(text)
    names = [stage.name for stage in case.machine.stages]
    return wind(case, dict.fromkeys(names, JACKET), goals, TUBE, "a test")


def inline(text: str) -> str:
    """Write a jacket of its own header in braces, on a line of its stage."""
    found = re.search(r"(?ms)^\[stage\.jacket\]\n(.*?)(?=^\[)", text)
    assert found is not None
    lines = (line.partition("#")[0].strip() for line in found[1].split("\n"))
    body = ", ".join(line for line in lines if line)
    return text.replace(found[0], "").replace(
        'name = "main"\n', f'name = "main"\njacket = {{ {body} }}\n', 1
    )


@pytest.mark.parametrize(
    ("text", "shell"),
    [(SINGLE, "4 mm"), (unjacketed(SINGLE), "6 mm"), (inline(SINGLE), "4 mm")],
    ids=["header", "none", "braces"],
)
def test_a_jacket_stands_once_under_its_own_header(text: str, shell: str) -> None:
    told = wound(text, ("main", "main"))
    assert told.count("[stage.jacket]") == 1 and "jacket = {" not in told
    (stage,) = tomllib.loads(told)["stage"]
    assert (stage["jacket"]["pitch"], stage["jacket"]["starts"]) == ("20 mm", 2)
    assert stage["jacket"]["reference"] == "a test"
    # Of its own materials, where it has a jacket already.
    assert stage["jacket"]["shell_thickness"] == shell
    assert read_case_text(told).machine.exhaust_2.to == "main"


def test_each_stage_has_its_own_and_all_else_stays() -> None:
    told = wound(HOT, ("first", "second"))
    tree, before = tomllib.loads(told), tomllib.loads(HOT)
    for stage, old in zip(tree["stage"], before["stage"], strict=True):
        stage.pop("jacket"), old.pop("jacket")
        assert stage == old
    for port, goal in (("port_1", "first"), ("port_2", "second")):
        assert tree["exhaust"][port]["to"] == goal
        assert tree["exhaust"][port]["tube"] == before["exhaust"][port]["tube"]
    assert {k: v for k, v in tree.items() if k not in ("stage", "exhaust")} == {
        k: v for k, v in before.items() if k not in ("stage", "exhaust")
    }


def test_a_port_without_a_tube_gets_one() -> None:
    told = wound(unjacketed(SINGLE, tubes=False), ("main", "main"))
    for port in tomllib.loads(told)["exhaust"].values():
        assert port["tube"]["bore"] == "10 mm" and port["to"] == "main"


def test_ports_that_are_not_stated_are() -> None:
    bare = unjacketed(SINGLE)
    text = bare[: bare.index("[exhaust.port_1]")]
    told = wound(text, ("main", "main"))
    machine = read_case_text(told).machine
    assert machine.exhaust_1.to == machine.exhaust_2.to == "main"
    assert machine.exhaust_1.tube is not None and machine.exhaust_1.tube.bore == 0.010


def test_a_jacket_inside_braces_of_its_stage_is_refused() -> None:
    found = re.search(r"(?ms)^\[\[stage\]\]\n(.*?)(?=^\[exhaust|^\[receiver)", SINGLE)
    assert found is not None
    body, _, jacket = found[1].partition("[stage.jacket]")

    def listed(part: str) -> str:
        lines = (re.sub(r"\s+#.*", "", line).strip() for line in part.split("\n"))
        return ", ".join(line for line in lines if line)

    text = SINGLE.replace(found[0], "")
    whole = f"stage = [{{ {listed(body)}, jacket = {{ {listed(jacket)} }} }}]\n"
    text = text.replace("[document]", f"{whole}\n[document]", 1)
    with pytest.raises(CaseError) as caught:
        wound(text, ("main", "main"))
    assert caught.value.problems[0].name == "jacket-inline"
