"""Terms broken on purpose: the catalogue holds, what is kept of it is fresh, and tests do notice.

The whole list is remade, and every term proven, by `python -m tests.mutation.run`.
"""

from __future__ import annotations

import pytest
from mutation import fresh, prove, store
from mutation.broken import PACKAGE
from mutation.catalogue import MUTATIONS, by_name
from mutation.record import Mutation

from jacketcalc.verification.html_terms import terms_section
from jacketcalc.verification.terms import term_list

CHEAPEST = ("dean-diameter", "choking")
"""Terms whose proof costs least, one broken in Python and one in C."""
REMAKE = "run `python -m tests.mutation.run`"

each_mutation = pytest.mark.parametrize("mutation", MUTATIONS, ids=lambda m: m.name)


@each_mutation
def test_every_line_to_be_broken_stands_once(mutation: Mutation) -> None:
    for edit in mutation.edits:
        assert (PACKAGE / edit.file).read_text("utf-8").count(edit.old) == 1, edit
        assert edit.new != edit.old


def test_names_are_unique() -> None:
    names = [m.name for m in MUTATIONS]
    assert len(set(names)) == len(names) >= 80


def test_kept_list_is_the_catalogue() -> None:
    keys = ("name", "part", "term", "broken", "test", "setting")
    rows = [{key: row[key] for key in keys} for row in store.kept()["term"]]
    assert rows == [store.words(m) for m in MUTATIONS], REMAKE
    settings = {row["name"] for row in store.kept()["setting"]}
    assert settings == {m.setting for m in MUTATIONS}


@each_mutation
def test_every_term_was_proven_as_all_stands_now(mutation: Mutation) -> None:
    """Felt by the machines and noticed by its test, with these sources, this test, these edits.

    A test that is gone has no text to be stamped, and fails here.
    """
    assert fresh.kept().get(mutation.name) == fresh.stamp(mutation), REMAKE


@pytest.mark.parametrize("name", CHEAPEST)
def test_broken_term_is_noticed(name: str) -> None:
    """In a process whose package has the term broken its test fails, by its own assertion; the
    numbers are those kept, to the digits printed."""
    mutation = by_name(name)
    proof = prove.prove(mutation)
    assert proof.noticed, proof.said
    row = next(row for row in store.kept()["term"] if row["name"] == name)
    found = store.term_row(mutation, proof.verdict, prove.whole(mutation.setting))
    for number in store.NUMBERS:
        assert found[number] == pytest.approx(row[number], abs=2e-3)


def test_every_term_stands_in_the_dossier() -> None:
    listed = term_list()
    page = "\n".join(terms_section())
    assert page.count('<th scope="row">') == len(listed.terms) == len(MUTATIONS)
    groups = (*listed.mattering, *listed.tight, *listed.idle)
    assert sorted(t.name for t in groups) == sorted(m.name for m in MUTATIONS)
    gains = [abs(term.gain) for term in listed.terms]
    assert gains == sorted(gains, reverse=True)
