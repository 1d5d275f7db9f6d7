"""The published cases, read from one file a source."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources
from typing import Any

from jacketcalc.errors import RangeError
from jacketcalc.verification.amounts import Amount, factor_of, read_amount
from jacketcalc.verification.published import KINDS, PARTS, PublishedCheck, PublishedSource

OBTAINED = ("read", "from memory", "computed for this project")
_SOURCE_KEYS = {"citation", "where", "obtained", "kind", "remark", "same_formula", "check"}
_CHECK_KEYS = {
    "id",
    "part",
    "what",
    "quantity",
    "inputs",
    "expected",
    "range",
    "relative",
    "absolute",
    "because",
    "obtained",
    "doubtful",
    "same_formula",
    "disagrees",
}


@cache
def published_checks() -> tuple[PublishedCheck, ...]:
    """Return every published case, part by part.

    Raises
    ------
    RangeError
        When a file breaks the rules of the form; the message names the file.
    """
    checks = [check for key, data in _files() for check in read_checks(key, data)]
    names = [check.id for check in checks]
    twice = {name for name in names if names.count(name) > 1}
    if twice:
        raise RangeError(f"published cases share a name: {', '.join(sorted(twice))}")
    return tuple(sorted(checks, key=lambda check: PARTS.index(check.part)))


def _files() -> Iterator[tuple[str, dict[str, Any]]]:
    folder = resources.files("jacketcalc.verification") / "sources"
    for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if file.name.endswith(".toml"):
            yield file.name.removesuffix(".toml"), tomllib.loads(file.read_text("utf-8"))


def read_checks(key: str, data: dict[str, Any]) -> Iterator[PublishedCheck]:
    """Read the published cases of one source.

    Parameters
    ----------
    key : the source's short name
    data : its file, parsed

    Raises
    ------
    RangeError
        When the file breaks the rules of the form.
    """
    _refuse(key, set(data) - _SOURCE_KEYS, "unknown key")
    source = PublishedSource(
        key=key,
        citation=data["citation"],
        where=data["where"],
        obtained=data["obtained"],
        kind=data["kind"],
        remark=data.get("remark", ""),
    )
    _refuse(key, {data["obtained"]} - set(OBTAINED), "obtained")
    _refuse(key, {source.kind} - set(KINDS), "kind")
    for row in data["check"]:
        _refuse(key, set(row) - _CHECK_KEYS, "unknown key")
        yield _check(source, {"same_formula": data.get("same_formula", False), **row})


def _check(source: PublishedSource, row: Mapping[str, Any]) -> PublishedCheck:
    _refuse(source.key, {row["part"]} - set(PARTS), "part")
    expected, printed, tolerance, because = _goal(source.key, row)
    return PublishedCheck(
        id=row["id"],
        source=source,
        part=row["part"],
        what=row["what"],
        quantity=row["quantity"],
        inputs={name: read_amount(text) for name, text in row.get("inputs", {}).items()},
        expected=expected,
        tolerance=tolerance,
        is_range="range" in row,
        printed=printed,
        because=row.get("because", because),
        obtained=row.get("obtained", source.obtained),
        doubtful=row.get("doubtful", ""),
        same_formula=row["same_formula"],
        disagrees=row.get("disagrees", ""),
    )


def _goal(key: str, row: Mapping[str, Any]) -> tuple[Amount, str, float, str]:
    """Return expected amount, its print, the tolerance and the plain reason for it."""
    if "range" in row:
        low, high = (read_amount(text) for text in row["range"])
        middle = 0.5 * (float(low.text) + float(high.text))
        expected = Amount(text=repr(middle), unit=high.unit)
        half = 0.5 * (high.value - low.value)
        return expected, f"{low.text} to {high}", half * (1 + 1e-12), "published range"
    expected = read_amount(row["expected"])
    if "relative" in row:
        _refuse(key, set() if "because" in row else {row["id"]}, "relative without because")
        return expected, str(expected), abs(expected.value) * row["relative"], ""
    if "absolute" in row:
        _refuse(key, set() if "because" in row else {row["id"]}, "absolute without because")
        width = read_amount(row["absolute"])
        return expected, str(expected), float(width.text) * factor_of(width.unit), ""
    return expected, str(expected), expected.half_digit, "half the last digit printed"


def _refuse(key: str, wrong: set[str], what: str) -> None:
    if wrong:
        raise RangeError(f"published cases of {key}: {what} ({', '.join(sorted(wrong))})")
