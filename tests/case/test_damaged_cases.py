"""Cases cut off or changed at random are read as they stand, or refused where they are wrong.

What a text holds is taken from the standard library's reader of TOML.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from broken import FULL, make_cuts, make_scrambles
from case_problems import find_problems

from jacketcalc.casefile.reading import read_case_text

TOP = ("title", "ambient", "supply", "valve", "drive", "stage", "receiver")
"""What a case cannot do without, from the template: its uncommented tables."""
NEEDED = {
    "judge": "source",
    "make": "source",
    "ambient": "temperature source",
    "supply": "pressure temperature source",
    "compressor": "source",
    "valve": "supply_path exhaust_path switching_time source",
    "drive": "bore stroke rod_1 rod_2 dead_volume_1 dead_volume_2 moving_mass wall_thickness "
    "material source",
    "stage": "name draws_from compresses_on_stroke bore clearance wall_thickness material "
    "seal_material source",
    "stage.jacket": "gap pitch rib length rib_joint shell_thickness shell_material",
    "stage.line": "volume",
    "receiver": "pressure source",
    "exhaust.port_1": "source",
    "exhaust.port_2": "source",
    "materials.my_steel": "conductivity source",
}
"""What a table cannot do without, from the template: its uncommented entries."""


def _last_table(text: str) -> tuple[str, set[str]]:
    """Return the last table's name and the keys below its head."""
    lines = text.split("\n")
    heads = [place for place, line in enumerate(lines) if line[:1] == "["]
    if not heads:
        return "", set()
    below = [line.split("=")[0].strip() for line in lines[heads[-1] + 1 :] if "=" in line]
    return lines[heads[-1]].split("#")[0].strip(" []"), {key for key in below if key[:1] != "#"}


@pytest.mark.parametrize("text", make_cuts(), ids=len)
def test_a_file_cut_off_lacks_what_stood_behind_the_cut(text: str) -> None:
    """Every table and entry behind the cut is asked for once, and the torn line is told."""
    problems, line = find_problems(text), text.count("\n") + 1
    whole, torn = text, ""
    try:
        tree = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        whole, _, torn = text.rpartition("\n")
        tree = tomllib.loads(whole)
        told = [found.name for found in problems if found.line == line]
        # `0.` is no number of TOML, and may be a text without its quotes.
        assert sum(name in ("toml-syntax", "quotes-missing") for name in told) == 1
        assert len(told) == 1 or torn.startswith("[")
        if torn.startswith("["):
            # It may be read as the head that was meant, whose table is then empty.
            lost = {"material-unknown", "table-missing"}  # what a head that is lost leads to above
            assert all(p.line in (0, line) or p.name in lost for p in problems)
            return
    table, keys = _last_table(text)
    # A torn line without a sign of equality may have held any key: none is asked for then.
    asked = not torn or "=" in torn
    missing = set(TOP) - set(tree)
    if torn and not tree:
        missing = missing - {"title"} if asked else set()
    assert {found.path for found in problems if found.line == 0} == missing
    keys.add(torn.partition("=")[0].strip())
    expected = {key for key in NEEDED.get(table, "").split() if asked and key not in keys}
    last_stage = tree.get("stage", [{}])[-1]
    if last_stage.get("draws_from") == "first" and "line" not in last_stage and asked:
        expected.add("draws_from")
    if last_stage.get("material") == "my_steel" and "materials" not in tree:
        expected.add("material")
    found = [p for p in problems if p.line > 0 and p.name not in ("toml-syntax", "quotes-missing")]
    last = text.rpartition("\n")[2].partition("#")[0].rstrip()
    if not torn and last not in [line.partition("#")[0].rstrip() for line in FULL.split("\n")]:
        # A number cut short is another number, which may be refused.
        cut = last.partition("=")[0].strip()
        found = [p for p in found if (p.line, p.path.split(".")[-1]) != (line, cut)]
    said = ["source" if p.name == "source-missing" else p.path.split(".")[-1] for p in found]
    assert sorted(said) == sorted(expected)


def _leaves(node: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Yield dotted path and value of every entry, stages by their name."""
    if isinstance(node, dict):
        for key, value in node.items():
            yield from _leaves(value, f"{path}.{key}" if path else key)
    elif isinstance(node, list) and path == "stage":
        for place, stage in enumerate(node):
            yield from _leaves(stage, f"stage.{stage.get('name') or place + 1}")
    else:
        yield path, node


SYNTAX = {"toml-syntax", "quotes-missing", "key-duplicate"}
FOLLOWS = {"key-missing", "table-missing", "source-missing", "material-unknown", "word-unknown"}
"""What a change elsewhere can lead to: a key, table or material that is no longer there."""


@pytest.mark.parametrize("text", make_scrambles())
def test_a_changed_file_is_read_as_it_stands_or_refused_where_it_changed(text: str) -> None:
    problems = find_problems(text)
    before, after = FULL.split("\n"), text.split("\n")
    try:
        tree = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        assert SYNTAX & {found.name for found in problems}
    else:
        assert not SYNTAX & {found.name for found in problems}
        if not problems:
            assert_read_as_it_stands(text, tree)
    if len(before) == len(after):
        changed = {
            n for n, pair in enumerate(zip(before, after, strict=True), 1) if len({*pair}) > 1
        }
        # Below a head that is lost, keys stand in the table above, strange or twice.
        lost = any(before[n - 1].startswith("[") for n in changed)
        follows = FOLLOWS | {"key-unknown", "key-duplicate"} if lost else FOLLOWS
        for found in problems:
            assert found.line in changed or found.name in follows, found


def assert_read_as_it_stands(text: str, tree: dict[str, Any]) -> None:
    """Every entry that the standard reader sees is in the list of what was given, as typed."""
    typed = {k: v for k, v in _leaves(tree) if not k.endswith((".source", ".reference"))}
    given = {entry.path: entry for entry in read_case_text(text).given if not entry.assumed}
    assert set(given) == set(typed)
    for path, value in typed.items():
        assert given[path].text == str(value)
