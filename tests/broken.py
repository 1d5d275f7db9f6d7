"""A corpus of broken cases, made by rule from a case that states every entry."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import NamedTuple

from jacketcalc.casefile.describe import field_at
from jacketcalc.casefile.fields import Field
from jacketcalc.casefile.overrides import parse_text
from jacketcalc.casefile.positions import Path, Spot
from jacketcalc.casefile.source import CaseText
from jacketcalc.casefile.template import make_template


def uncommented(template: str) -> str:
    """Return a template whose every key that is filled in is stated."""
    return "\n".join(
        line[1:] if line.startswith("#") and line[1:2].isalpha() else line
        for line in template.split("\n")
    )


FULL = uncommented(make_template())
"""A sound case in which every entry stands."""


class Broken(NamedTuple):
    """A broken case and what must be said about it."""

    label: str
    """What was done to which entry."""
    text: str
    """The broken case."""
    line: int
    """Line that was broken, 0 where it was taken out."""
    names: tuple[str, ...]
    """Kinds of problem that may be found, of which there is one."""


def _entries(source: CaseText) -> Iterator[tuple[Path, Spot, Spot]]:
    """Yield path, key and value position of every entry that is no table."""
    tables = {path[:depth] for path in source.spots.values for depth in range(len(path))}
    for path, value in source.spots.values.items():
        if path not in tables:
            yield path, source.spots.keys[path], value


def _put(spot: Spot, piece: str) -> str:
    return FULL[: spot.start] + piece + FULL[spot.end :]


def _field(source: CaseText, path: Path) -> Field | None:
    if path[-1] in ("source", "reference"):
        return None
    return field_at(source.describe_path(path))


INHERITED = ("stage.first.jacket", "stage.second.line", "stage.second.jacket")
"""Tables of FULL that have their source from the stage above where they state none."""


def make_corpus() -> list[Broken]:
    """Make every case that is wrong in one entry; the same on every run."""
    source = parse_text(FULL)
    corpus: list[Broken] = []
    for path, key, value in _entries(source):
        line = source.locate(value.start)[0]
        label = source.describe_path(path)
        field = _field(source, path)
        table, _, last = label.rpartition(".")
        if field is not None and field.required:
            text = _remove(path, key, value)
            corpus.append(Broken(f"{label} removed", text, 0, ("key-missing",)))
        elif last == "source" and table not in INHERITED:
            text = _remove(path, key, value)
            corpus.append(Broken(f"{label} removed", text, 0, ("source-missing",)))
        typed = FULL[key.start : key.end]
        corpus.append(Broken(f"{label} misspelt", _put(key, f"{typed}_q"), line, ("key-unknown",)))
        corpus.append(Broken(f"{label} as a list", _put(value, "[1, 2]"), line, ("type-wrong",)))
        if field is not None:
            corpus += _break_value(label, field, value, line)
    return corpus


def make_removals() -> list[tuple[str, str]]:
    """Take out each entry that need not stand; return its dotted path and the sound case left."""
    source = parse_text(FULL)
    found = []
    for path, key, value in _entries(source):
        label = source.describe_path(path)
        table, _, last = label.rpartition(".")
        field = _field(source, path)
        needed = field.required if field else last == "source" and table not in INHERITED
        if not needed:
            found.append((label, _remove(path, key, value)))
    return found


def _remove(path: Path, key: Spot, value: Spot) -> str:
    """Take an entry out, with its line or with the comma after it."""
    start, end = key.start, value.end
    rest = FULL[end:].lstrip(" ")
    if rest.startswith(","):
        end = FULL.index(",", end) + 1
    elif len(path) > 1 and FULL[:start].rstrip(" ").endswith(","):
        start = FULL.rindex(",", 0, start)
    return FULL[:start] + FULL[end:]


def _break_value(label: str, field: Field, value: Spot, line: int) -> list[Broken]:
    typed = FULL[value.start : value.end]
    if field.kind == "quantity":
        return _break_quantity(label, field, typed, value, line)
    if field.kind == "count":
        return [
            Broken(f"{label} zero", _put(value, "0"), line, ("value-range",)),
            Broken(f"{label} huge", _put(value, "9" * 400), line, ("value-range",)),
            Broken(f"{label} in quotes", _put(value, f'"{typed}"'), line, ("type-wrong",)),
        ]
    broken = [
        Broken(f"{label} a number", _put(value, "7"), line, ("type-wrong",)),
        Broken(f"{label} empty", _put(value, '""'), line, ("text-empty",)),
    ]
    if field.kind in ("word", "material"):
        names = ("word-unknown", "material-unknown")
        broken.append(Broken(f"{label} unknown", _put(value, '"qwxz"'), line, names))
    return broken


def _break_quantity(label: str, field: Field, typed: str, value: Spot, line: int) -> list[Broken]:
    number, _, unit = typed.strip('"').split("+-")[0].strip().partition(" ")
    tail = f" {unit}" if unit else ""
    other = "1 kg" if field.dimension != "mass" else "1 m"
    broken = [
        Broken(f"{label} wrong unit", _put(value, f'"{other}"'), line, ("unit-dimension",)),
        Broken(f"{label} unknown unit", _put(value, f'"{number} qx"'), line, ("unit-unknown",)),
        Broken(f"{label} comma", _put(value, f'"1,5{tail}"'), line, ("unit-comma",)),
        Broken(f"{label} infinite", _put(value, "inf"), line, ("number-not-finite",)),
        Broken(f"{label} nan text", _put(value, f'"nan{tail}"'), line, ("number-not-finite",)),
        Broken(f"{label} huge", _put(value, f'"1e300{tail}"'), line, ("number-huge",)),
        Broken(f"{label} absurd", _put(value, f'"1e12{tail}"'), line, ("value-range",)),
        Broken(f"{label} words", _put(value, '"about right"'), line, ("number-unreadable",)),
    ]
    if field.dimension not in ("ratio", "number"):
        broken.append(Broken(f"{label} bare", _put(value, "7"), line, ("unit-missing",)))
        broken.append(
            Broken(f"{label} no quotes", _put(value, f"{number}{tail}"), line, ("quotes-missing",))
        )
    if field.dimension == "temperature":
        broken.append(
            Broken(
                f"{label} colder than nothing", _put(value, '"-300 degC"'), line, ("value-range",)
            )
        )
    else:
        names = ("value-not-positive", "value-range")
        broken.append(Broken(f"{label} negative", _put(value, f'"-7{tail}"'), line, names))
    if field.dimension == "pressure":
        broken.append(
            Broken(f"{label} no reference", _put(value, '"7 bar"'), line, ("pressure-reference",))
        )
    return broken


def make_cuts() -> list[str]:
    """Cut the file off after every 149 characters."""
    return [FULL[:end] for end in range(1, len(FULL), 149)]


def make_scrambles() -> list[str]:
    """Change some characters of the file, with a fixed seed."""
    chance = random.Random(20)
    found = []
    for _ in range(60):
        letters = list(FULL)
        for _ in range(chance.randint(1, 6)):
            letters[chance.randrange(len(letters))] = chance.choice("[]{}=\".,#\n\\'09aé-")
        found.append("".join(letters))
    return found
