"""Terms broken on purpose: the catalogue holds, the kept list is its, and tests do notice.

The whole list is remade, and every term proven, by `python -m tests.mutation.run`.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache

import numpy as np
import pytest
from mutation import effect, machines, prove, store
from mutation.catalogue import MUTATIONS, by_name
from mutation.record import Mutation, Setting, applied
from numpy.typing import NDArray

from jacketcalc.verification.html_terms import terms_section
from jacketcalc.verification.terms import term_list

CHEAPEST = ("dean-diameter", "one-wall", "stirring")
"""Terms whose proof costs least: a test of one formula."""


@cache
def whole(setting: Setting) -> NDArray[np.float64]:
    return effect.once_round(machines.jacketed(machines.main_case().machine, setting))


@pytest.mark.parametrize("mutation", MUTATIONS, ids=lambda m: m.name)
def test_mutation_takes_hold(mutation: Mutation) -> None:
    """Its target exists, and one round of the machine ends elsewhere."""
    before = whole(mutation.setting)
    with applied(mutation):
        after = effect.once_round(machines.jacketed(machines.main_case().machine, mutation.setting))
    assert np.all(np.isfinite(before)) and np.all(np.isfinite(after))
    assert np.any(np.abs(after - before) > 1e-9 * np.abs(before))


def test_nothing_stays_broken() -> None:
    again = effect.once_round(machines.main_case().machine)
    assert np.array_equal(again, whole("as stated"))


def test_names_are_unique() -> None:
    names = [m.name for m in MUTATIONS]
    assert len(set(names)) == len(names) >= 60


def test_kept_list_is_the_catalogue() -> None:
    keys = ("name", "part", "term", "broken", "test", "setting")
    rows = [{key: row[key] for key in keys} for row in store.kept()["term"]]
    assert rows == [store.words(m) for m in MUTATIONS], "run `python -m tests.mutation.run`"
    settings = {row["name"] for row in store.kept()["setting"]}
    assert settings == {m.setting for m in MUTATIONS}


def functions(file: str) -> Iterator[str]:
    for node in ast.parse((prove.TESTS / file).read_text("utf-8")).body:
        if isinstance(node, ast.FunctionDef):
            yield node.name


@pytest.mark.parametrize("mutation", MUTATIONS, ids=lambda m: m.name)
def test_named_test_exists(mutation: Mutation) -> None:
    file, name = mutation.test.split("::")
    assert name.split("[")[0] in set(functions(file))


@pytest.mark.parametrize("name", CHEAPEST)
def test_broken_term_is_noticed(name: str) -> None:
    """Run its test in a process where the term is broken: it fails, by its own assertion."""
    assert prove.unnoticed(by_name(name)) == ""


def test_kept_numbers_are_fresh() -> None:
    """Solved again without the lands' heat: what is kept for the main case plus the change.

    Numerics may move headline numbers by 0.3 %, which the list need not follow; a gain is the
    quotient of two of them.
    """
    case = next(row for row in store.kept()["setting"] if row["name"] == "as stated")
    mutation = by_name("land-fin")
    row = next(row for row in store.kept()["term"] if row["name"] == mutation.name)
    with applied(mutation):
        found = effect.verdict(machines.trio("as stated"))
    assert 100.0 * found.gain == pytest.approx(case["gain"] + row["gain"], abs=0.3)
    assert 100.0 * found.tight == pytest.approx(case["tight"] + row["tight"], abs=0.3)
    assert found.discharge == pytest.approx(case["discharge"] + row["discharge"], rel=3e-3)
    assert found.flow == pytest.approx(case["flow"] * (1.0 + 0.01 * row["flow"]), rel=3e-3)
    # The change itself is far beyond what the list need not follow.
    assert abs(row["gain"]) > 1.0


def test_every_term_stands_in_the_dossier() -> None:
    listed = term_list()
    page = "\n".join(terms_section())
    assert page.count('<th scope="row">') == len(listed.terms) == len(MUTATIONS)
    groups = (*listed.mattering, *listed.tight, *listed.idle)
    assert sorted(t.name for t in groups) == sorted(m.name for m in MUTATIONS)
    gains = [abs(term.gain) for term in listed.terms]
    assert gains == sorted(gains, reverse=True)
