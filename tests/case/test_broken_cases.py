"""Shipped cases broken on purpose: each problem is told once, where it stands."""

from __future__ import annotations

import pytest
from broken import FULL, Broken, make_corpus
from case_problems import find_problems

CORPUS = make_corpus()


def test_the_corpus_is_large_and_begins_with_a_sound_case() -> None:
    assert find_problems(FULL) == []
    assert len(CORPUS) >= 150
    assert len({broken.text for broken in CORPUS}) >= 0.95 * len(CORPUS)


@pytest.mark.parametrize("broken", CORPUS, ids=lambda broken: broken.label)
def test_each_broken_case_is_explained(broken: Broken) -> None:
    problems = find_problems(broken.text)
    assert len(problems) == 1, [problem.message for problem in problems]
    assert problems[0].name in broken.names
    if broken.line:
        assert problems[0].line == broken.line
    assert problems[0].path
