"""How far a number may lie from what is stated, by the kind of its source.

A tolerance or a standard uncertainty of the case comes before all of this.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from jacketcalc.inputs import Given
from jacketcalc.statistics.distributions import Distribution
from jacketcalc.statistics.factors import within_factor
from jacketcalc.statistics.limited import from_tolerance
from jacketcalc.statistics.normals import Normal

Form = Literal["half width", "share", "factor"]


class Span(NamedTuple):
    """How far a number may lie from what is stated."""

    form: Form
    size: float
    """Half width in SI, half width over the value [-], or factor with 95 % either way [-]."""
    words: str
    """Where it comes from."""


ISO_2768 = ((6e-3, 1e-4), (30e-3, 2e-4), (120e-3, 3e-4), (400e-3, 5e-4), (1.0, 8e-4), (2.0, 1.2e-3))
"""ISO 2768-1, general tolerances of class m: up to this length [m], half width [m]; from memory."""
_DRAWN = "ISO 2768-1, class m"
_MEASURED = {
    "length": Span("half width", 5e-5, "calliper; common practice, no source"),
    "temperature": Span("half width", 1.0, "thermometer; common practice, no source"),
    "pressure": Span("share", 0.01, "gauge of class 1 at full scale; EN 837-1, from memory"),
}
_CATALOGUE = {
    "conductance": Span("share", 0.10, "catalogue; common practice, no source"),
    "ratio": Span("share", 0.15, "catalogue; common practice, no source"),
    "temperature": Span("half width", 2.0, "stated; common practice, no source"),
    "pressure": Span("share", 0.02, "stated; common practice, no source"),
}
_ASSUMED = {
    "length": Span("factor", 1.15, "assumed; plausible, no source"),
    "volume": Span("factor", 1.5, "assumed; plausible, no source"),
    "temperature": Span("half width", 5.0, "assumed; plausible, no source"),
    "pressure": Span("share", 0.05, "assumed; plausible, no source"),
    "pressure difference": Span("factor", 2.0, "assumed; plausible, no source"),
    "conductance": Span("factor", 1.5, "assumed; plausible, no source"),
    "ratio": Span("factor", 1.7, "assumed; plausible, no source"),
    "number": Span("factor", 2.0, "assumed; plausible, no source"),
    "time": Span("factor", 1.5, "assumed; plausible, no source"),
    "force": Span("factor", 2.0, "assumed; plausible, no source"),
    "mass": Span("factor", 1.3, "assumed; plausible, no source"),
    "heat conductance": Span("factor", 2.0, "assumed; plausible, no source"),
    "conductivity": Span("factor", 1.2, "assumed; plausible, no source"),
}
_ROUGHNESS = Span("factor", 3.0, "assumed roughness; plausible, no source")
_PORT = Span("factor", 2.0, "assumed port; plausible, no source")
_OTHER = Span("factor", 1.3, "plausible, no source")


def find_span(given: Given, dimension: str) -> Span:
    """Return how far a number may lie, by the kind of its source.

    Parameters
    ----------
    given : the entry
    dimension : its dimension, of `jacketcalc.units`
    """
    if given.assumed or given.source == "assumed":
        if given.path.endswith("roughness"):
            return _ROUGHNESS
        if given.path.endswith("port_length"):
            return _PORT
        return _ASSUMED.get(dimension, _OTHER)
    if given.source == "measured":
        return _MEASURED.get(dimension, Span("share", 0.03, "measured; common practice"))
    if dimension == "length":
        return Span("half width", general_tolerance(float(given.value)), _DRAWN)
    return _CATALOGUE.get(dimension, Span("share", 0.10, f"{given.source}; common practice"))


def general_tolerance(length: float) -> float:
    """Return the half width of a length without a tolerance of its own [m] (ISO 2768-1, m)."""
    return next((half for most, half in ISO_2768 if length <= most), ISO_2768[-1][1])


def is_stated(given: Given) -> bool:
    """Return whether the case says itself how far a number may lie."""
    return given.standard_uncertainty > 0.0 or given.tolerance > 0.0


def spread(given: Given, dimension: str) -> tuple[Distribution, str]:
    """Return how a number is distributed, and in words where that comes from.

    Parameters
    ----------
    given : the entry, of a number that is not nought
    dimension : its dimension, of `jacketcalc.units`
    """
    value = float(given.value)
    if given.standard_uncertainty > 0.0:
        law = Normal(mean=value, standard_uncertainty=given.standard_uncertainty)
        return law, "standard uncertainty of the case"
    if given.tolerance > 0.0:
        return from_tolerance(value, given.tolerance), "tolerance of the case"
    span = find_span(given, dimension)
    if span.form == "factor":
        return within_factor(span.size, value), span.words
    half = span.size * (abs(value) if span.form == "share" else 1.0)
    return from_tolerance(value, min(half, 0.5 * abs(value))), span.words
