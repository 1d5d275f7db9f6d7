"""The recipe of a case key: its field, its line of the schema, its line of the template.

Whatever the schema lists must reach a record, `check` and the JSON Schema. A key of the schema that
no record reads, or a word that the template does not offer, fails here under its own name.
"""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from broken import FULL

from jacketcalc.casefile.describe import field_at
from jacketcalc.casefile.fields import CaseTable, Field
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.schema import ROOT
from jacketcalc.casefile.schema_json import make_text
from jacketcalc.casefile.template import make_template
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case, Given
from jacketcalc.show.case_text import describe_case

STARTS = "stage.first.jacket.starts"
CASE = set_value(read_case_text(FULL), STARTS, 2)
"""Every entry stated, and two starts, so that galleries matter."""
JOINS = ("name", "draws_from", "compresses_on_stroke")
"""Entries that join the stages: a change of one alone is refused."""
APART = ("reading", "gas", "source")
"""Tables with tests of their own: a reading changes no machine, and a gas needs a source, which
tests/gases tries."""
ONE_START = {"stage.second.jacket.feed", "stage.second.jacket.gallery_width"}
"""Entries that say nothing of a jacket with one start."""
TRIED = [
    given for given in CASE.given
    if given.path not in ONE_START and given.path.rpartition(".")[2] not in JOINS
]  # fmt: skip


def others(field: Field, given: Given) -> Iterator[str | float]:
    """Yield other values for an entry, those most likely to be sound first."""
    if field.kind == "sizes":
        yield "7 mm, 0.5 in"
    elif isinstance(given.value, str):
        yield from (word for word in field.choices if word != given.value)
        yield from ("atmosphere", "first") if given.path.endswith(".to") else ()
        yield from ("brass",) if field.kind == "material" else ("2001-02-03", "another")
    if isinstance(given.value, str):
        return
    steps = (1.0, -1.0) if field.kind == "count" else (1e-3 * given.value, -1e-3 * given.value)
    for step in (*steps, 1e-3):
        if step and field.low <= given.value + step <= field.high:
            yield given.value + step


def reached(case: Case) -> tuple[object, ...]:
    return case.title, case.machine, case.judgement, case.make, case.document


def changes(given: Given) -> bool:
    """Return whether another value of an entry, the first that is sound, changes a record.

    Raises
    ------
    AssertionError
        When no other value is sound.
    """
    for value in others(field_at(given.path), given):
        try:
            other = set_value(CASE, given.path, value)
        except CaseError:
            continue
        return reached(other) != reached(CASE)
    raise AssertionError(f"no other value of {given.path} is sound")


@pytest.mark.parametrize("given", TRIED, ids=lambda given: given.path)
def test_every_key_reaches_a_record(given: Given) -> None:
    assert changes(given)


def walk(table: CaseTable, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Field]]:
    for field in table.fields:
        yield (*path, field.key), field
    for inner in table.tables:
        yield from walk(inner, (*path, inner.key))


def stands_apart(field: Field) -> bool:
    """Return whether an entry stands in place of another: `test_catalogue_data` reads those."""
    return bool(field.instead_of or field.belongs_to)


def test_the_entries_tried_are_all_that_the_schema_lists() -> None:
    """But for what joins the stages, which `test_casefile` reads."""
    tried = {tuple(given.path.split(".")) for given in TRIED}
    for path, field in walk(ROOT):
        if stands_apart(field) or path[0] in APART:
            continue
        here = [words for words in tried if words[0] == path[0] and words[-1] == path[-1]]
        assert bool(here) is (path[0] != "stage" or path[-1] not in JOINS), path


def test_every_key_is_shown_by_check_and_completed_by_editors() -> None:
    shown, schema = describe_case(CASE), json.loads(make_text())
    for path, field in walk(ROOT):
        here = field.key.replace("_", " ") in shown or path[0] in ("title", *APART)
        assert here or stands_apart(field), path
        node = schema
        for step in path:
            node = node.get("items", node)["properties"][step]
            node = node.get("additionalProperties") or node
        assert set(field.choices) <= set(node.get("enum", [])), path


def test_the_template_offers_every_word() -> None:
    """Beside its key, or in a comment below."""
    text = make_template()
    for path, field in walk(ROOT):
        missing = [word for word in field.choices if f'"{word}"' not in text]
        assert not missing, (path, missing)
