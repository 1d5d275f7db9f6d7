"""Exit statuses for scripts that ask: which answers of `assess` count as a failure."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import click

from jacketcalc.cli.output import CommandError

if TYPE_CHECKING:
    from jacketcalc.assessment.result import Assessment


class Failure(NamedTuple):
    """What a script can ask to fail on."""

    word: str
    """The word that asks for it."""
    status: int
    """Exit status [-]."""
    find: Callable[[Assessment], str]
    """Returns what is wrong in words, empty where nothing is."""


def _limits(assessment: Assessment) -> str:
    """Count the broken limits; of a machine that stalls none is judged."""
    if assessment.jacketed.stalled:
        return ""
    broken = sum(not check.kept for check in assessment.limits)
    if not broken:
        return ""
    return f"{count_broken(broken)} with jackets"


def count_broken(broken: int) -> str:
    """Say how many limits are broken."""
    return f"{broken} limit{' is' if broken == 1 else 's are'} broken"


def _loss(assessment: Assessment) -> str:
    return "the answer is DOES NOT PAY" if assessment.verdict.answer == "does not pay" else ""


def _cannot_tell(assessment: Assessment) -> str:
    return "the answer is CANNOT TELL" if assessment.verdict.answer == "cannot tell" else ""


FAILURES = (
    Failure("limits", 10, _limits),
    Failure("loss", 11, _loss),
    Failure("cannot-tell", 12, _cannot_tell),
)
"""In the order in which they count: the first that applies gives the status."""


def read_words(_: click.Context, __: click.Parameter, typed: Sequence[str]) -> tuple[Failure, ...]:
    """Read what was asked for: words with commas between them, the option given as often as wished.

    Raises
    ------
    CommandError
        When a word is none of them.
    """
    words = [word.strip() for text in typed for word in text.split(",")]
    known = [failure.word for failure in FAILURES]
    for word in words:
        if word not in known:
            raise CommandError(f'--fail-on takes {", ".join(known)}; it cannot take "{word}"')
    return tuple(failure for failure in FAILURES if failure.word in words)


def find_failure(assessment: Assessment, asked: Sequence[Failure]) -> tuple[int, str]:
    """Return the exit status that was asked for, and why; 0 and nothing where all is well."""
    for failure in asked:
        if words := failure.find(assessment):
            status = failure.status
            return status, f"exit status {status}: {words} (--fail-on {failure.word})"
    return 0, ""
