"""What is asked of whole machines at random: each runs, stalls and says so, or is refused."""

from __future__ import annotations

from collections import Counter

from machine_invariants import list_faults
from random_machines import LAYOUTS, draw_machines

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.remedy import list_names
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Machine

EACH = 72
"""Machines of each layout."""


def check_layout(place: int) -> None:
    """Draw the machines of a layout, solve those accepted, and hold each to what must be."""
    texts = draw_machines(LAYOUTS[place], EACH, start=place)
    assert len(set(texts)) == EACH
    accepted = [(text, machine) for text in texts if (machine := read(text)) is not None]
    results = run([Design(machine=machine) for _, machine in accepted])
    faults = []
    for (text, machine), result in zip(accepted, results, strict=True):
        if wrong := list_faults(machine, result):
            faults.append("\n".join([*(f"# {words}" for words in wrong), text]))
    assert not faults, f"{len(faults)} of {EACH} machines:\n" + "\n\n".join(faults)
    ends = Counter("stalled" if r.outcome.stalled else "ran" for r in results)
    assert ends["ran"] >= EACH // 4, ends


def read(text: str) -> Machine | None:
    """Return the machine of a case, or None where the reader refuses it with its reasons."""
    try:
        return read_case_text(text).machine
    except CaseError as error:
        assert error.problems
        for problem in error.problems:
            assert problem.name in list_names(), text
            assert problem.path and problem.line and problem.message and problem.why, text
        return None
