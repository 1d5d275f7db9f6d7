"""A case with what readings made of its unknowns, and where each number then comes from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from jacketcalc.casefile.overrides import with_origin, with_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.inputs import Case

REFERENCE = "fitted to the readings of the case by jacketcalc reconcile"


def fitted_case(
    case: Case, values: Mapping[str, float], sourced: Iterable[str], caution: str
) -> str:
    """Return the text of a case with fitted values, checked.

    Parameters
    ----------
    case : the case
    values : number of each dotted path [SI]
    sourced : those of them whose tables say where their numbers come from
    caution : what stands at its head

    Raises
    ------
    CaseError
        When a fitted value is one that no case can hold.
    """
    text = case.text
    for path, value in values.items():
        text = with_value(text, path, value, case.file)
    for path in sourced:
        text = with_origin(text, path, "measured", REFERENCE, case.file)
    head = "".join(f"# {line}\n" for line in (f"Fitted to readings; from {case.sha256}", caution))
    text = head + text
    read_case_text(text, case.file)
    return text
