"""Sizes that no machine can have are refused with the relation; what is hardly meant is noted.

Each limit is worked out by hand beside its case: geometry, equilibrium of forces, or the nozzle
that passes 1 dm3/(s bar), 5.02 mm2 after ISO 6358-1 (computed: C rho0 sqrt(R T0) over the choked
flow function of air).
"""

from __future__ import annotations

import math
import re

import pytest
from broken import FULL
from case_problems import find_problems

from jacketcalc.casefile.describe import list_notes
from jacketcalc.casefile.reading import read_case_text

# Medium stage: bore 32 mm, stroke 120 mm, clearance 6 mm, piston 38.4 mm.
PISTON = math.pi / 4 * 32.0**2
"""Area of the first stage's piston [mm2]."""
FORCE = 7e5 * math.pi / 4 * 0.100**2
"""Force of the drive at 7 bar gauge [N]."""

JUST = {
    "barrel-short": ("barrel_length", "mm", 120.0 + 6.0 + 38.4, 1),
    "rod-thin": ("rod_1", "mm", math.sqrt(FORCE / (3e9 * math.pi / 4)) * 1e3, 1),
    "valve-wide": ("inlet = { conductance", "dm3/(s bar)", PISTON / 5.020, -1),
    "rest-long": ("cycle_rate", "1/s", 1.0 / (2 * 0.030), -1),
    "spring-strong": ("cracking_pressure", "bar", 7.0 + 1.01325, -1),
}
"""Kind of problem to the entry, its unit, the limit, and on which side of it a case is sound."""


@pytest.mark.parametrize("name", JUST)
def test_the_impossible_is_refused_just_beyond_its_limit(name: str) -> None:
    key, unit, limit, side = JUST[name]
    for share, sound in ((1.0 + 2e-3 * side, True), (1.0 - 2e-3 * side, False)):
        typed = f'{key} = "{limit * share:.6g} {unit}"'
        text = re.sub(rf'(?m)({re.escape(key)}) = "[^"]*"', lambda _, t=typed: t, FULL, count=1)
        assert text != FULL
        assert [problem.name for problem in find_problems(text)] == ([] if sound else [name])


@pytest.mark.parametrize(
    ("typed", "name", "relation"),
    [
        ('barrel_length = "150 mm"', "barrel-short", "stroke 120 mm, clearance 6 mm and"),
        ('rod_2 = "0.000012 mm"', "rod-thin", "5498 N on it"),
        ('gap = "0.8 mm"\nroughness = "0.4 mm"', "roughness-size", "0.8 mm, leave nothing of it"),
        ('temperature = "20 degC +- 1e29 K"', "tolerance-wrong", "counted from absolute zero"),
        ('pause = "60 s"', "rest-long", "twice a cycle: 120.1 s"),
    ],
)
def test_a_refusal_states_the_relation(typed: str, name: str, relation: str) -> None:
    key = typed.split(" =")[0]
    text = FULL
    if "\n" in typed:
        text = text.replace('\nroughness = "3 um"', "", 1)
    text = re.sub(rf"(?m)^{key} = .*$", typed.replace("\\", ""), text, count=1)
    problems = find_problems(text)
    assert [problem.name for problem in problems] == [name]
    assert relation in problems[0].why


def test_a_tube_rougher_than_its_bore_is_refused() -> None:
    """Grains of 1 mm on both sides of a bore of 0.5 mm."""
    text = FULL.replace('tube = { bore = "12 mm",', 'tube = { roughness = "1 mm", bore = "0.5 mm",')
    found = [problem for problem in find_problems(text) if problem.name == "roughness-size"]
    assert len(found) == 1 and "2 mm" in found[0].why


def test_a_outlet_wider_than_the_machine_is_refused() -> None:
    text = FULL.replace('outlet_bore = "20.11 mm"', 'outlet_bore = "500 mm"')
    assert [problem.name for problem in find_problems(text)] == ["hole-fit"]


def test_a_temperature_and_a_pressure_keep_above_nothing_with_their_tolerance() -> None:
    for typed, sound in [
        ('"20 degC +- 293 K"', True),
        ('"20 degC +- 294 K"', False),
    ]:
        text = FULL.replace('temperature = "20 degC"', f"temperature = {typed}", 1)
        assert (find_problems(text) == []) is sound
    assert find_problems(FULL.replace('"7 bar(g)"', '"7 bar(g) +- 9 bar"'))


ALIKE = ["High", "HIGH", "h\u0456gh", "hig\u04bb", "hlgh", "h1gh", "\uff48igh"]


@pytest.mark.parametrize("name", ALIKE)
def test_names_that_look_alike_are_refused(name: str) -> None:
    """Unicode's table of confusable characters (UTS 39) has each pair of letters; from memory."""
    text = FULL.replace('name = "first"', f'name = "{name}"').replace('"first"', f'"{name}"')
    found = [problem for problem in find_problems(text) if problem.name == "name-taken"]
    assert len(found) == 1 and "taken for one another" in found[0].message


def test_names_that_differ_are_kept() -> None:
    for name in ("higher", "low", "nieder", "\u0432\u044b\u0441\u043e\u043a\u0430\u044f", "\u9ad8"):
        text = FULL.replace('"first"', f'"{name}"')
        assert not [p for p in find_problems(text) if p.name == "name-taken"], name
    reserved = FULL.replace('name = "first"', 'name = "Receiver"').replace('"first"', '"Receiver"')
    assert "name-taken" in {problem.name for problem in find_problems(reserved)}
    alike = FULL.replace("materials.my_steel", "materials.pom").replace("my_steel", "pom")
    assert [problem.name for problem in find_problems(alike)] == ["name-taken"]


@pytest.mark.parametrize("piece", ["\\u001b[31m", "\\n", "x" * 300, "\\u202e"])
def test_a_reference_that_cannot_be_shown_is_refused(piece: str) -> None:
    text = FULL.replace("optional: log sheet 12", f"log sheet {piece}")
    assert [problem.name for problem in find_problems(text)] == ["text-unusable"]


NOTED = {
    "wide for its value: 100 mm +- 40 mm": ('bore = "100 mm +- 0.1', 'bore = "100 mm +- 40'),
    "wide for its value: 20 degC +- 30 K": ('= "20 degC"', '= "20 degC +- 30 K"'),
    "40% of the supply's gauge pressure": ('"0.05 bar"', '"2.8 bar"'),
    "6% of its hydraulic diameter": ('roughness = "3 um"', 'roughness = "960 um"'),
    # 7 bar on 100 mm over a rod of 4 mm: 7e5 * 25^2 = 437.5 MPa.
    "stress of 438 MPa": ('rod_1 = "12 mm"', 'rod_1 = "4 mm"'),
}
"""What the note says to what was typed and its replacement."""


@pytest.mark.parametrize("said", NOTED)
def test_the_improbable_is_noted(said: str) -> None:
    assert not any(said in note for note in list_notes(read_case_text(FULL)))
    notes = list_notes(read_case_text(FULL.replace(*NOTED[said], 1)))
    assert len([note for note in notes if said in note]) == 1


def test_a_second_stage_wider_than_the_first_is_noted() -> None:
    text = FULL.replace('bore = "32 mm"', 'bore = "13 mm"', 1)
    text = re.sub(r"(?m)^(inlet|delivery|barrel_length|outlet_bore|gap) = .*\n", "", text, count=3)
    text = text.replace('rod_1 = "12 mm"', 'rod_1 = "9 mm"').replace('rod_2 = "12', 'rod_2 = "9')
    text = text.replace('outlet_bore = "20.11 mm"\n', "")
    notes = list_notes(read_case_text(text))
    assert [note for note in notes if "14 mm after 13 mm" in note]
