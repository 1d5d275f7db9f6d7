"""The verification for a terminal, 80 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from jacketcalc.verification.figures import (
    difference_text,
    expected_text,
    found_text,
    tolerance_text,
)
from jacketcalc.verification.published import (
    CAUTION,
    NOT_MEASURED,
    PARTS,
    Finding,
    PublishedSource,
    Verification,
)
from jacketcalc.verification.terms import term_list

WIDTH = 80
"""Columns of the text [-]."""
_ROW = "    {:>12} {:>13} {:>10} {:>10}   {}"


def verification_text(report: Verification) -> str:
    """Return every finding, part by part, then the sources and the count."""
    return "\n".join(_lines(report)) + "\n"


def _lines(report: Verification) -> Iterator[str]:
    yield "Published cases"
    yield from textwrap.wrap(NOT_MEASURED, WIDTH)
    yield ""
    versions = ", ".join(f"{name} {number}" for name, number in report.versions.items())
    yield from textwrap.wrap(versions, WIDTH)
    yield ""
    yield _ROW.format("found", "expected", "difference", "tolerance", "")
    for part in PARTS:
        findings = report.of_part(part)
        if not findings:
            continue
        yield ""
        yield f"{part.upper()} ({len(findings)})"
        for finding in findings:
            yield from _finding(finding)
    yield ""
    yield "SOURCES"
    for source in report.sources:
        yield from _source(source)
    yield ""
    listed = term_list()
    words = (
        f"Which terms matter: {len(listed.terms)} were broken one by one; {len(listed.mattering)} "
        f"move the main case, {len(listed.tight)} more a tight jacket. The page lists them "
        "(--html)."
    )
    yield from textwrap.wrap(words, WIDTH)
    yield ""
    yield from textwrap.wrap(CAUTION, WIDTH)
    yield ""
    yield from textwrap.wrap(report.count, WIDTH)


def _finding(finding: Finding) -> Iterator[str]:
    check = finding.check
    unit = f" [{check.expected.unit}]" if check.expected.unit else ""
    head = f"{check.what}{unit}, {check.source.key}"
    if check.obtained != check.source.obtained:
        head += f" ({check.obtained})"
    yield from textwrap.wrap(head, WIDTH, initial_indent="  ", subsequent_indent="    ")
    yield _ROW.format(
        found_text(finding),
        expected_text(finding),
        difference_text(finding),
        tolerance_text(finding),
        finding.state,
    )
    for label, words in (("Doubtful", check.doubtful), ("Disagrees", check.disagrees)):
        if words:
            yield from textwrap.wrap(
                f"{label}: {words}", WIDTH, initial_indent="    ", subsequent_indent="    "
            )


def _source(source: PublishedSource) -> Iterator[str]:
    words = f"{source.key} ({source.obtained}, {source.kind}): {source.citation}. {source.where}."
    if source.remark:
        words += f" {source.remark}"
    yield from textwrap.wrap(words, WIDTH, initial_indent="  ", subsequent_indent="    ")
