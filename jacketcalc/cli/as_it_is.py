"""`jacketcalc assess` of a machine that has no jackets yet."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from jacketcalc.assessment.as_it_is import AsItIs, assess_as_it_is
from jacketcalc.cli.fail_on import Failure, count_broken
from jacketcalc.cli.output import Target, say
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import Settings
from jacketcalc.cli.terminal import shows_ascii_only, shows_color
from jacketcalc.inputs import Case


def run_as_it_is(
    case: Case,
    target: Target,
    asked: Sequence[Failure],
    settings: Settings,
    *,
    full: bool,
    as_json: bool,
) -> int:
    """Solve the machine, write what was found, and return the exit status that was asked for."""
    with ProgressLine(sys.stderr) as progress:
        found = assess_as_it_is(case, progress=progress)
    _write(found, target, settings, full=full, as_json=as_json)
    broken = 0 if found.outcome.stalled else sum(not check.kept for check in found.limits)
    limits = next((failure for failure in asked if failure.word == "limits"), None)
    if limits is None or not broken:
        return 0
    say(f"exit status {limits.status}: {count_broken(broken)} (--fail-on limits)")
    return limits.status


def _write(found: AsItIs, target: Target, settings: Settings, *, full: bool, as_json: bool) -> None:
    if as_json or target.path.endswith(".json"):
        from jacketcalc.show.as_it_is_json import make_as_it_is_json

        target.write(make_as_it_is_json(found))
        return
    from jacketcalc.show.as_it_is_text import make_as_it_is_text

    color = target.is_stdout and shows_color(sys.stdout, settings)
    ascii_only = target.is_stdout and shows_ascii_only(sys.stdout)
    full = full or not target.is_stdout
    target.write(make_as_it_is_text(found, full=full, color=color, ascii_only=ascii_only))
