"""An entry of a case as text: its value with unit and tolerance, and where it comes from."""

from __future__ import annotations

from jacketcalc.casefile.changed_entries import ChangedEntry, dimension_of, source_of
from jacketcalc.inputs import Given
from jacketcalc.unit_display import System, format_quantity

ABSENT = "-"
"""Stands where a case has no such entry."""
_HALF = {"temperature": "temperature difference", "pressure": "pressure difference"}


def say_entry(given: Given, system: System) -> str:
    """Return the value of an entry, with its tolerance where one is stated."""
    if isinstance(given.value, str):
        return given.value
    dimension = dimension_of(given)
    digits = 4 if given.assumed or given.derived else 6
    shown = format_quantity(given.value, dimension, system, digits)
    for mark, size in (("+-", given.tolerance), ("u", given.standard_uncertainty)):
        if size:
            half = format_quantity(size, _HALF.get(dimension, dimension), system, 3)
            return f"{shown} {mark} {half}"
    return shown


def say_changed(entry: ChangedEntry, system: System) -> str:
    """Return an entry as it was and as it is, with the sources where they differ."""
    both = (entry.was, entry.now)
    told = [ABSENT if given is None else say_entry(given, system) for given in both]
    if entry.sourced:
        told = [
            f"{text} ({source_of(given)})" if given is not None and source_of(given) else text
            for text, given in zip(told, both, strict=True)
        ]
    return " -> ".join(told)
