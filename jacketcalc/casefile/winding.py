"""Winding jackets into the text of a case: their tables, and the exhaust that feeds them."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence

from jacketcalc.casefile.overrides import parse_text, with_value
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.source import CaseText
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case

PORTS = ("port_1", "port_2")
"""Tables of the exhaust."""
KEPT = ("feed", "inlet_at", "rib_joint", "tip_clearance", "roughness", "inlet_loss",
        "outlet_loss", "shell_thickness", "shell_material")  # fmt: skip
"""Entries of a drawn jacket that one wound in its place takes over."""
_COLUMN = 36
"""Column of the comments [-]."""

Entries = Mapping[str, tuple[str | int, str]]
"""Keys of a table to value and comment."""


def wind(
    case: Case, jackets: Mapping[str, Entries], goals: Sequence[str], tube: Entries, origin: str
) -> str:
    """Return the text of a case with jackets in place of those it has, fed by both ports.

    Parameters
    ----------
    case : the case
    jackets : entries of the jackets, by the names of their stages; others have none
    goals : where the exhaust of port 1 and of port 2 goes
    tube : entries of the tube that a port gets where it has none
    origin : what the new tables say of where they come from
    """
    text = case.text
    for place in range(len(case.machine.stages)):
        text = _without_jacket(text, place, case.file)
    for place, stage in enumerate(case.machine.stages):
        if stage.name not in jackets:
            continue
        own = {**jackets[stage.name], **_kept(case, stage.name)}
        text = _with_table(text, ("stage", place), "stage.jacket", own, origin, case.file)
    for port, goal in zip(PORTS, goals, strict=True):
        text = with_value(text, f"exhaust.{port}.to", goal, case.file)
        source = parse_text(text, case.file)
        if ("exhaust", port, "tube") not in source.spots.values:
            text = _with_tube(text, port, tube, case.file)
    return text


def _kept(case: Case, stage: str) -> dict[str, tuple[str | int, str]]:
    """Return what a jacket that is there states of materials, losses and joints."""
    path = f"stage.{stage}.jacket"
    return {
        key: (given.text, "as drawn")
        for given in case.given
        for key in KEPT
        if given.path == f"{path}.{key}" and not given.assumed
    }


def _headers(source: CaseText) -> list[tuple[int, Path]]:
    """Return where every header begins, with its table, from the top down."""
    found = []
    for path, spot in source.spots.values.items():
        line = source.text.rfind("\n", 0, spot.start) + 1
        if source.text[spot.start] == "[" and not source.text[line : spot.start].strip():
            found.append((spot.start, path))
    return sorted(found)


def _without_jacket(text: str, stage: int, file: str) -> str:
    """Cut a stage's jacket out of a text, where it has one."""
    source = parse_text(text, file)
    path: Path = ("stage", stage, "jacket")
    if path not in source.spots.values:
        return text
    headers = _headers(source)
    starts = [at for at, own in headers if own == path]
    if starts:
        end = _end_of_table(source, path)
        return text[: starts[0]] + text[end:].lstrip("\n")
    line = text.rfind("\n", 0, source.spots.keys[path].start) + 1
    if text[line : source.spots.keys[path].start].strip():
        raise CaseError([
            Problem(
                name="jacket-inline", message="a jacket inside a stage in braces is not rewound",
                path=source.describe_path(path), file=file,
                why="its place in the text is not one of its own",
                fix="write the stage under [[stage]] and its jacket under [stage.jacket]",
            )
        ])  # fmt: skip
    end = text.find("\n", source.spots.values[path].end)
    return text[:line] + (text[end + 1 :] if end >= 0 else "")


def _end_of_table(source: CaseText, path: Path) -> int:
    """Return where what belongs to a table ends: behind its last line and that line's comments."""
    inside = [s.end for own, s in source.spots.values.items() if own[: len(path)] == path]
    text = source.text
    end = text.find("\n", max(inside))
    if end < 0:
        return len(text)
    carried = re.compile(r"[ \t]+#[^\n]*\n").match(text, end + 1)
    while carried:
        end = carried.end() - 1
        carried = re.compile(r"[ \t]+#[^\n]*\n").match(text, end + 1)
    return end + 1


def _with_table(text: str, above: Path, head: str, entries: Entries, origin: str, file: str) -> str:
    source = parse_text(text, file)
    at = _end_of_table(source, above)
    lead = "" if text[:at].endswith("\n") else "\n"
    lines = [f"[{head}]", *(_line(key, *own) for key, own in entries.items())]
    lines += ['source = "assumed"', f"reference = {json.dumps(origin)}"]
    return text[:at] + lead + "\n" + "\n".join(lines) + "\n" + text[at:]


def _with_tube(text: str, port: str, tube: Entries, file: str) -> str:
    """Give a port a tube, on a line of its own at the beginning of its table."""
    source = parse_text(text, file)
    spot = source.spots.values[("exhaust", port)]
    said = ", ".join(f"{key} = {_typed(value)}" for key, (value, _) in tube.items())
    if text[spot.start] == "{":
        return text[: spot.start + 1] + f" tube = {{ {said} }}," + text[spot.start + 1 :]
    end = text.find("\n", spot.end)
    end = len(text) if end < 0 else end
    return text[:end] + f"\ntube = {{ {said} }}" + text[end:]


def _typed(value: str | int) -> str:
    return str(value) if isinstance(value, int) else json.dumps(value, ensure_ascii=False)


def _line(key: str, value: str | int, why: str) -> str:
    text = f"{key} = {_typed(value)}"
    return f"{text:<{_COLUMN - 2}}  # {why}" if why else text
