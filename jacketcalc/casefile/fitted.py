"""A case with what readings made of its unknowns, and where each number then comes from."""

from __future__ import annotations

from collections.abc import Mapping

from jacketcalc.casefile.describe import field_at
from jacketcalc.casefile.overrides import with_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.inputs import Case
from jacketcalc.units import SI_UNITS

_HALF = {"temperature": "temperature difference", "pressure": "pressure difference"}
"""Dimension of an uncertainty, where it differs from its value's."""


def fitted_case(case: Case, values: Mapping[str, tuple[float, float]], caution: str) -> str:
    """Return the text of a case with fitted values, checked.

    Each carries the standard uncertainty that the fit leaves it, which then stands before that of
    its table's source; the table keeps its source, for its other numbers were not fitted.

    Parameters
    ----------
    case : the case
    values : number of each dotted path and its standard uncertainty [SI]
    caution : what stands at its head

    Raises
    ------
    CaseError
        When a fitted value is one that no case can hold.
    """
    text = case.text
    for path, (value, u) in values.items():
        text = with_value(text, path, _typed(path, value, u), case.file)
    head = [
        f"Fitted by jacketcalc reconcile to the readings below; the case before had SHA-256 "
        f"{case.sha256}.",
        "Remove those readings before it is fitted to others: they would count twice.",
        f"Fitted entries, each with its standard uncertainty (u): {', '.join(values)}.",
        caution,
    ]
    text = "".join(f"# {line}\n" for line in head) + text
    read_case_text(text, case.file)
    return text


def _typed(path: str, value: float, u: float) -> str:
    """Return a value with its standard uncertainty as it is typed; six digits hold any fit."""
    dimension = field_at(path).dimension
    unit = "Pa(a)" if dimension == "pressure" else SI_UNITS.get(dimension, "")
    shown = f"{value:.6g} {unit}".rstrip()
    if not 0.0 < u < abs(value):
        return shown
    return f"{shown} u {u:.2g} {SI_UNITS.get(_HALF.get(dimension, dimension), '')}".rstrip()
