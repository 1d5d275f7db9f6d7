"""The nearest known word to one that is not known."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def find_similar(typed: str, known: Iterable[str]) -> str:
    """Return the known word most like the typed one, empty when none is like it."""
    lowered = {word.lower().replace("-", "_"): word for word in known}
    plain = typed.lower().replace("-", "_").replace(" ", "_")
    if plain in lowered:
        return lowered[plain]
    found = get_close_matches(plain, lowered, n=1, cutoff=0.7)
    return lowered[found[0]] if found else ""


def join_words(words: Iterable[str]) -> str:
    """Return words in quotes, joined by commas and a last `or`."""
    quoted = [f'"{word}"' for word in words]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} or {quoted[-1]}"
