"""A case of version 0.1 is told every key and word that is another one now, all at once.

The cases are those that version 0.1 shipped, kept as they were in `tests/earlier`: what was renamed
is found in them by the standard library's reader of TOML, and not in the schema.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from broken import FULL, uncommented
from case_problems import find_problems
from places import CASES, TESTS

from jacketcalc.casefile.overrides import find_target, parse_text
from jacketcalc.casefile.reading import read_case, read_case_text
from jacketcalc.errors import CaseError, Problem

NAMES = ("impact_laboratory", "tight_jacket", "template")
OLD = {name: (TESTS / "earlier" / f"{name}.toml").read_text("utf-8") for name in NAMES}
EVERY = uncommented(OLD["template"])
"""A case of version 0.1 in which every entry stands."""

KEYS = {
    "bare": "no_jackets", "conductance": "C", "critical_ratio": "b", "dead_time": "switching_time",
    "dwell": "pause", "entry_loss": "inlet_loss", "fill": "supply_path", "land": "rib",
    "land_joint": "rib_joint", "mount_conductance": "flange_conductance",
    "opening_pressure_difference": "cracking_pressure", "room": "ambient",
    "stirring": "mixing", "tank": "receiver",
    "vent": "exhaust_path", "vent_bore": "outlet_bore", "vent_loss": "outlet_loss",
    "wound_length": "length",
}  # fmt: skip
"""Keys of version 0.1 and what they are called now, written down by hand."""
MOVED = {"smallest_land": "smallest_rib", "size_step": "step"}
"""Keys of [judge] in version 0.1 and what they are called in [make] now, written down by hand."""
WORDS = {
    ("by", "delivered flow"): "delivery",
    ("by", "drive air"): "specific air consumption",
    ("by", "temperature"): "discharge temperature",
    ("bare", "straight"): "exhaust direct",
    ("bare", "through tube"): "exhaust through tube",
    ("land_joint", "cylinder"): "barrel",
    ("inlet_at", "mount"): "flange",
}
"""Words of version 0.1, each behind its key of then, and what they are now; by hand."""


def keys(node: Any) -> Iterator[str]:
    """Yield every key of a tree, but no name of a material."""
    if isinstance(node, list):
        for inner in node:
            yield from keys(inner)
    elif isinstance(node, dict):
        for key, inner in node.items():
            yield key
            yield from keys(list(inner.values()) if key == "materials" else inner)


def expected(text: str) -> set[tuple[str, int, int, str]]:
    """Kind, line, column and word of today of whatever in a text is another one now."""
    found = set()
    for number, line in enumerate(text.split("\n"), 1):
        for key, now in KEYS.items() if line[:1] != "#" else ():
            for at in re.finditer(rf"(?:^|[{{,] |^\[){key}(?= =|\])", line):
                found.add(("key-renamed", number, at.end() - len(key) + 1, now))
        for key, now in MOVED.items():
            if line.startswith(f"{key} ="):
                found.add(("key-moved", number, 1, now))
        for (key, word), now in WORDS.items():
            if line.startswith(f'{key} = "{word}"'):
                found.add(("word-renamed", number, len(f'{key} = "') + 1, now))
    return found


def renamed(problem: Problem) -> str:
    """Return the key or word that a fix says to write."""
    if moved := re.fullmatch(
        r'write "(\w+)" into a table \[make\] with a source, and leave it out here', problem.fix
    ):
        return moved[1]
    told = re.fullmatch(r'write "([^"]+)"(?: for "[^"]+")?', problem.fix)
    assert told is not None, problem
    return told[1]


def mend(text: str, problems: list[Problem]) -> str:
    """Do what each fix says, at the place it points to."""
    lines = text.split("\n")
    made: list[str] = []
    for p in sorted(problems, key=lambda p: (p.line, p.column), reverse=True):
        line, start = lines[p.line - 1], p.column - 1
        if p.name == "key-moved":
            made.append(renamed(p) + line[p.width :])
            lines[p.line - 1] = ""
            continue
        lines[p.line - 1] = line[:start] + renamed(p) + line[start + p.width :]
    table = ["[make]", *made, 'source = "assumed"'] if made else []
    return "\n".join([*lines, *table])


NEW = {
    "film_factor", "film_factor_low", "film_factor_high", "in_cylinder_factor", "jacket_factor",
    "port_bore", "port_length", "compressor", "capacity", "make", "step", "least_turns",
    "cutter_widths", "tube_bores", "cylinders",
    "when_short", "from", "diameter",
    "surface", "wall_mass", "cooled_by", "bath_temperature", "density", "specific_heat",
}  # fmt: skip
"""Keys of today that version 0.1 did not have."""


def test_the_list_is_what_the_two_templates_differ_by() -> None:
    then, now = set(keys(tomllib.loads(EVERY))), set(keys(tomllib.loads(FULL)))
    assert then - now == set(KEYS) | set(MOVED)
    assert now - then == (set(KEYS.values()) | set(MOVED.values()) | NEW) - then
    # `length` was a key before: that of a tube.
    assert set(KEYS.values()) & then == {"length"}


@pytest.mark.parametrize("text", [*OLD.values(), EVERY], ids=[*OLD, "template, every entry"])
def test_all_that_was_renamed_is_told_at_once(text: str) -> None:
    problems = find_problems(text)
    assert {(p.name, p.line, p.column, renamed(p)) for p in problems} == expected(text)
    assert len(problems) == len(expected(text)) > 25
    for problem in problems:
        assert f'"{renamed(problem)}"' in problem.message
        assert ("version 0.2" in problem.message) is (problem.name != "key-moved")


@pytest.mark.parametrize(("name", "now"), [("impact_laboratory", "hot"), ("tight_jacket", "tight")])
def test_mended_as_told_it_is_the_machine_it_was(name: str, now: str) -> None:
    """The tests' machines are the ones of version 0.1, whose stages had other names."""
    text = mend(OLD[name], find_problems(OLD[name]))
    case = read_case_text(text.replace('"medium"', '"first"').replace('"high"', '"second"'))
    today = read_case(str(CASES / f"{now}.toml"))
    assert case.machine == today.machine and case.judgement == today.judgement


MENDED = mend(EVERY, find_problems(EVERY))


def test_the_mended_template_holds_what_the_one_of_today_holds() -> None:
    text = MENDED.replace('"medium"', '"first"').replace('"high"', '"second"')
    today = "\n".join(line for line in FULL.split("\n") if line.partition(" ")[0] not in NEW)
    today = today.replace('volume = "50 L"\n', "")
    today = re.sub(r"(?ms)^\[compressor\].*?(?=^\[)", "", today)
    today = re.sub(r', port_bore = "[^"]+", port_length = "[^"]+"', "", today)
    line = today.index("[stage.line]")
    today = today[:line] + re.sub(r"(?m)^(bore|length) = .*\n", "", today[line:], count=2)
    assert read_case_text(text).machine == read_case_text(today).machine


@pytest.mark.parametrize(("key", "now"), [*MOVED.items(), ("smallest_rib", "smallest_rib")])
def test_a_key_that_moved_is_told_its_table(key: str, now: str) -> None:
    (told,) = find_problems(FULL.replace("[judge]", f'[judge]\n{key} = "1 mm"', 1))
    assert (told.name, told.label) == ("key-moved", f"now make.{now}")
    assert told.fix == f"leave it out: make.{now} is here too"


@pytest.mark.parametrize("key", KEYS)
def test_one_former_key_alone_is_one_problem(key: str) -> None:
    problems = find_problems(EVERY)
    first = next(p for p in problems if p.name == "key-renamed" and f'"{key}"' in p.message)
    text = mend(EVERY, [p for p in problems if p is not first])
    (told,) = find_problems(text)
    assert (told.name, renamed(told)) == ("key-renamed", KEYS[key])
    assert told.fix == f'write "{KEYS[key]}" for "{key}"'


@pytest.mark.parametrize(("key", "word"), WORDS)
def test_one_former_word_alone_is_one_problem(key: str, word: str) -> None:
    now = KEYS.get(key, key)
    text = re.sub(rf'(?m)^{now} = "[^"]*"', f'{now} = "{word}"', MENDED, count=1)
    assert text != MENDED
    (told,) = find_problems(text)
    assert (told.name, renamed(told)) == ("word-renamed", WORDS[key, word])
    assert find_problems(mend(text, [told])) == []


def test_a_former_key_beside_the_one_of_today_is_left_out() -> None:
    text = FULL.replace('switching_time = "30 ms"', 'switching_time = "30 ms"\ndead_time = "9 ms"')
    (told,) = find_problems(text)
    assert told.name == "key-renamed"
    assert told.fix == 'leave it out: "switching_time" is here too'


def test_a_value_behind_a_former_key_is_read_too() -> None:
    text = EVERY.replace('dead_time = "30 ms"', 'dead_time = "30 kg"')
    other = [p for p in find_problems(text) if not p.name.endswith(("-renamed", "-moved"))]
    assert [(p.name, p.text.split(" =")[0]) for p in other] == [("unit-dimension", "dead_time")]


def test_gauge_pressures_count_from_the_pressure_of_a_former_table() -> None:
    """1 bar above 0.4 bar is 1.4 bar, and a supply has 1.5 bar at least."""
    text = EVERY.replace('"1.01325 bar(a)"', '"0.4 bar(a)"').replace('"7 bar(g)"', '"1 bar(g)"')
    tell = ("-renamed", "-moved")
    other = [(p.name, p.line) for p in find_problems(text) if not p.name.endswith(tell)]
    mended = find_problems(mend(text, find_problems(EVERY)))
    assert ("value-range", text[: text.index('"1 bar(g)"')].count("\n") + 1) in other
    assert other == [(p.name, p.line) for p in mended if p.name == "value-range"]


@pytest.mark.parametrize(
    ("path", "now"),
    [
        ("tank.pressure", "receiver.pressure"),
        ("jacket.land", "jacket.rib"),
        ("valve.fill.conductance", "valve.supply_path.C"),
        ("stage.second.jacket.wound_length", "stage.second.jacket.length"),
    ],
)
def test_a_path_of_version_0_1_is_refused_with_the_one_of_today(path: str, now: str) -> None:
    source = parse_text(FULL)
    with pytest.raises(CaseError) as caught:
        find_target(source, path)
    assert caught.value.problems[0].fix == f'the nearest is "{now}"'
    assert find_target(source, now).paths
