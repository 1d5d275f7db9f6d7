"""Sets the one-line formulas of the correlations' records as print has them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from jacketcalc.report.model import Piece, Raised, Symbol, Text

_NAMED = {
    "Dh": Symbol("D", "h"),
    "Dc": Symbol("D", "c"),
    "Tb": Symbol("T", "b"),
    "Tw": Symbol("T", "w"),
    "T0": Symbol("T", "0"),
    "T1": Symbol("T", "1"),
    "p1": Symbol("p", "1"),
    "p2": Symbol("p", "2"),
    "k1": Symbol("k", "1"),
    "rho0": Symbol("ρ", "0"),
    "rho": Symbol("ρ"),
    "mu": Symbol("μ"),
    "dT": Symbol("ΔT"),
    "dp": Symbol("Δp"),
    **{name: Symbol(name) for name in ("Nu", "Re", "De", "Pr", "Pe", "Ra")},
}
_TOKEN = re.compile(
    r"\^(?P<power>\([^()]*\)|-?[\d.]+|[a-z]\b)|(?P<word>[A-Za-z]+\d?(?:_[a-z])?)|(?P<minus>-)"
)


def set_formula(text: str) -> Text:
    """Return a formula with symbols, indices and powers set."""
    return tuple(_pieces(text))


def _pieces(text: str) -> Iterator[Piece]:
    done = 0
    for found in _TOKEN.finditer(text):
        if found.start() > done:
            yield text[done : found.start()]
        done = found.end()
        if found["power"]:
            yield Raised(found["power"].strip("()").replace("-", "−"))
        elif found["minus"]:
            yield "−"
        else:
            yield from _word(found["word"])
    if done < len(text):
        yield text[done:]


def _word(word: str) -> Iterator[Piece]:
    letter, _, index = word.partition("_")
    if word in _NAMED:
        yield _NAMED[word]
    elif index or len(word) == 1:
        yield Symbol(letter, index)
    elif word == "mL":
        yield Symbol("m")
        yield Symbol("L")
    else:
        yield word
