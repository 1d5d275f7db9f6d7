"""Setting one entry of a case by its dotted path, as parameter studies do.

The text of the case is changed, so that the changed case can be read, checked and kept like
any other.
"""

from __future__ import annotations

import json
from typing import Any, NamedTuple

from jacketcalc.casefile.fields import CaseTable, Field
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.reading import build_source
from jacketcalc.casefile.schema import ROOT, former_names, known_keys
from jacketcalc.casefile.similar import find_similar
from jacketcalc.casefile.source import CaseText, read_source
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case
from jacketcalc.units import SI_UNITS


class PathMeaning(NamedTuple):
    """What a dotted path stands for in one case."""

    field: Field
    """The entry."""
    paths: tuple[Path, ...]
    """Where it stands: one place, or one for each stage or port."""


def parse_text(text: str, file: str = "<case>") -> CaseText:
    """Read a text into a source, without checking what it says."""
    return read_source(text.encode("utf-8"), file)


def with_value(text: str, path: str, value: str | float, file: str = "<case>") -> str:
    """Return the text of a case with one entry changed.

    Parameters
    ----------
    text : str
        The case.
    path : str
        Such as `stage.first.jacket.pitch`; `jacket.pitch` means every stage's jacket and
        `tube.bore` every port's tube.
    value : str or float
        As it would be typed, such as `12 mm`; a number counts in SI.
    file : str
        Name used in problems.

    Returns
    -------
    str
        The changed text, not yet checked.

    Raises
    ------
    CaseError
        When the path stands for nothing in this case.
    """
    source = parse_text(text, file)
    target = find_target(source, path)
    typed = _type_value(target.field, value)
    edits = [_edit(source, place, typed) for place in target.paths]
    for start, end, piece in sorted(edits, reverse=True):
        text = text[:start] + piece + text[end:]
    return text


def with_origin(text: str, path: str, origin: str, reference: str, file: str = "<case>") -> str:
    """Return the text of a case with another source and reference in the tables of an entry."""
    for key, word in (("source", origin), ("reference", reference)):
        source = parse_text(text, file)
        places = {(*place[:-1], key) for place in find_target(source, path).paths}
        edits = [_edit(source, place, json.dumps(word)) for place in places]
        for start, end, piece in sorted(edits, reverse=True):
            text = text[:start] + piece + text[end:]
    return text


def set_value(case: Case, path: str, value: str | float) -> Case:
    """Return a case with one entry changed and everything checked again."""
    text = with_value(case.text, path, value, case.file)
    return build_source(parse_text(text, case.file))


def find_target(source: CaseText, path: str) -> PathMeaning:
    """Find what a dotted path stands for.

    Raises
    ------
    CaseError
        When it is nothing.
    """
    parts = path.strip().split(".")
    found: PathMeaning | None = None
    for table, places in _roots(source):
        if parts[0] in known_keys(table):
            found = _descend(table, places, parts, source)
            break
    if found is None or not found.paths:
        raise CaseError([_refuse_path(source, path)])
    return found


def _roots(source: CaseText) -> list[tuple[CaseTable, tuple[Path, ...]]]:
    """Return the tables in which a path may begin, most general first."""
    stage = next(table for table in ROOT.tables if table.key == "stage")
    exhaust = next(table for table in ROOT.tables if table.key == "exhaust")
    ports = tuple((exhaust.key, port.key) for port in exhaust.tables)
    return [(ROOT, ((),)), (stage, _stages(source)), (exhaust.tables[0], ports)]


def _stages(source: CaseText, name: str = "") -> tuple[Path, ...]:
    stages = source.tree.get("stage")
    if not isinstance(stages, list):
        return ()
    return tuple(
        ("stage", index)
        for index, stage in enumerate(stages)
        if not name or (isinstance(stage, dict) and stage.get("name") == name)
    )


def _descend(
    table: CaseTable, places: tuple[Path, ...], parts: list[str], source: CaseText
) -> PathMeaning | None:
    """Follow the parts from a table; a stage's name after `stage` picks that stage."""
    head, rest = parts[0], parts[1:]
    field = next((field for field in table.fields if field.key == head), None)
    if field is not None:
        there = tuple((*place, head) for place in places if _may_hold(source, place))
        return None if rest else PathMeaning(field, there)
    inner = next((inner for inner in table.tables if inner.key == head), None)
    if inner is None or not rest:
        return None
    if inner.key == "stage":
        named = _stages(source, rest[0])
        return _descend(inner, named or _stages(source), rest[1:] if named else rest, source)
    below: tuple[Path, ...] = tuple((*place, head) for place in places)
    if inner.named:
        below, rest = tuple((*place, rest[0]) for place in below), rest[1:]
    return _descend(inner, below, rest, source) if rest else None


def _may_hold(source: CaseText, place: Path) -> bool:
    """Return whether a table is there, or would be filled in where it is not."""
    table: CaseTable = ROOT
    node: Any = source.tree
    for step in place:
        if isinstance(step, str) and not table.named:
            table = next(inner for inner in table.tables if inner.key == step)
        node = _child(node, step)
        if node is None and table.presence != "filled":
            return False
    return True


def _child(node: Any, step: str | int) -> Any:
    if isinstance(node, dict):
        return node.get(step)
    if isinstance(node, list) and isinstance(step, int) and step < len(node):
        return node[step]
    return None


def _refuse_path(source: CaseText, path: str) -> Problem:
    tables = {path for spot in source.spots.values for path in (spot[:-1], spot[:-2])}
    entries = [spot for spot in source.spots.values if spot not in tables]
    former = former_names()
    now = ".".join(former.get(part, part) for part in path.split("."))
    known = (source.describe_path(spot) for spot in entries)
    similar = now if now != path else find_similar(path, known)
    is_table = path in {source.describe_path(table) for table in tables}
    return Problem(
        name="path-unknown",
        message=f'"{path}" is {"a table" if is_table else "not an entry"} of this case',
        path=path,
        file=source.file,
        why="a path names one entry, such as stage.first.jacket.pitch; jacket.pitch stands "
        "for every jacket, tube.bore for every port's tube",
        fix=f'the nearest is "{similar}"' if similar else "name an entry as in the case",
    )


def _type_value(field: Field, value: str | float) -> str:
    """Return a value as TOML."""
    if field.kind == "count":
        whole = float(value) if _is_number(value) else None
        if whole is not None and whole == int(whole):
            return str(int(whole))
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    unit = SI_UNITS.get(field.dimension, "")
    number = repr(float(value))
    if field.dimension == "pressure":
        return f'"{number} Pa(a)"'
    return f'"{number} {unit}"' if unit else number


def _is_number(value: str | float) -> bool:
    try:
        return abs(float(value)) < 1e15
    except ValueError:
        return False


def _edit(source: CaseText, place: Path, typed: str) -> tuple[int, int, str]:
    """Return start, end and replacement that set one entry in the text."""
    if place in source.spots.values:
        spot = source.spots.values[place]
        return spot.start, spot.end, typed
    table, key = place[:-1], place[-1]
    if not table:
        return 0, 0, f"{key} = {typed}\n"
    if table in source.spots.values:
        return _insert(source, table, f"{key} = {typed}")
    above = table[:-1]
    if above and any(isinstance(step, int) for step in above):
        return _insert(source, above, f"{table[-1]} = {{ {key} = {typed} }}")
    end = len(source.text)
    lead = "" if source.text.endswith("\n") else "\n"
    header = ".".join(str(step) for step in table)
    return end, end, f'{lead}\n[{header}]\n{key} = {typed}\nsource = "assumed"\n'


def _insert(source: CaseText, table: Path, entry: str) -> tuple[int, int, str]:
    """Return the edit that puts an entry at the beginning of a table that is there."""
    spot = source.spots.values[table]
    if source.text[spot.start] == "{":
        empty = not source.text[spot.start + 1 : spot.end - 1].strip()
        return spot.start + 1, spot.start + 1, f" {entry}" + ("" if empty else ",")
    line_end = source.text.find("\n", spot.end)
    end = len(source.text) if line_end < 0 else line_end
    return end, end, f"\n{entry}"
