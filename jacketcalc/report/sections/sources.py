"""The sources a report leans on, numbered in the order in which it names them."""

from __future__ import annotations

from collections.abc import Iterator

from jacketcalc.assessment.range_use import used_records
from jacketcalc.gases import FLUIDS
from jacketcalc.inputs import Case
from jacketcalc.references import SOURCES, Source
from jacketcalc.report.model import Block, Paragraph
from jacketcalc.report.traced import Pen, left, right, row

_ALWAYS = (
    "lemmon-2000",
    "lemmon-jacobsen-2004",
    "convex-2003",
    "seki-1983",
    "murphy-koop-2005",
    "iapws-g11-15",
    "iso-8573-1",
    "api-618",
)
"""Sources behind properties, factors and limits rather than behind a correlation."""


def cited(case: Case) -> dict[str, int]:
    """Return the number of each source."""
    keys = [record.source for record in used_records(case)]
    keys += [FLUIDS[case.machine.gas.name].source] if case.machine.gas.name != "air" else []
    return {key: n for n, key in enumerate(dict.fromkeys((*keys, *_ALWAYS)), 1)}


def mark(case: Case, *keys: str) -> str:
    """Return the numbers of sources in brackets."""
    numbers = cited(case)
    return "[" + ", ".join(str(numbers[key]) for key in keys) + "]"


def references_section(pen: Pen) -> Iterator[Block]:
    """Yield the list of sources, with how each reached this project."""
    yield Paragraph(
        "“Read”: the source, or the named place that gives its numbers, was read for this project. "
        "“From memory”: it was not re-read. “Computed”: a computation of this project."
    )
    sources: list[tuple[int, Source]] = [(n, SOURCES[key]) for key, n in cited(pen.case).items()]
    rows = [
        row(str(n), source.citation, source.obtained.replace(" for this project", ""))
        for n, source in sources
    ]
    columns = (right("No."), left("Source", 5), left("Obtained", 1))
    yield pen.table("references", "Sources of the method", columns, rows)
