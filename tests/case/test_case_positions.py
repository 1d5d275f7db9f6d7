"""Every value of a case is found at its line and column, however the TOML is written."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from broken import FULL
from places import FILES

from jacketcalc.casefile.positions import find_spots


@pytest.mark.parametrize("path", [*FILES, None], ids=lambda path: path.stem if path else "full")
def test_every_value_is_found_where_it_stands(path: Path | None) -> None:
    text = path.read_text("utf-8") if path else FULL
    assert_spots_match(text)


def test_positions_in_awkward_toml() -> None:
    assert_spots_match(
        'a."b.c".d = 1 # x = 2\n"quo\\"ted" = [1, "x ] y", { z = \'#\' }, [2, 3]]\n'
        't = \'\'\'\nline \' " = 3\n\'\'\'\nu = """one \\" two"""\n[ tab . le ]\nk=true\n'
        "[[ar]]\nx = 1.5\n[ar.in]\ny = 1979-05-27\n[[ar]]\nx = { p = { q = 1 }, r.s = 2 }\n"
        "[ar.in]\ny = 0x1F\n"
    )


def assert_spots_match(text: str) -> None:
    """Read each value again from the place the scanner gives, with the standard reader."""
    tree = tomllib.loads(text)
    spots = find_spots(text)
    leaves = dict(walk_leaves(tree))
    assert leaves.keys() <= spots.values.keys()
    for path, value in leaves.items():
        spot = spots.values[path]
        assert tomllib.loads(f"x = {text[spot.start : spot.end]}")["x"] == value
    for path, spot in spots.keys.items():
        if isinstance(path[-1], str):
            assert tomllib.loads(f"{text[spot.start : spot.end]} = 0") == {path[-1]: 0}


def walk_leaves(node: Any, path: tuple[Any, ...] = ()) -> list[tuple[tuple[Any, ...], Any]]:
    if isinstance(node, dict):
        return [leaf for key, item in node.items() for leaf in walk_leaves(item, (*path, key))]
    if isinstance(node, list):
        return [
            leaf for index, item in enumerate(node) for leaf in walk_leaves(item, (*path, index))
        ]
    return [(path, node)]
