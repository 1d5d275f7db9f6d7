"""The nearest known word to one that is not known."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches

_CYRILLIC = (
    "\u0430\u0435\u043e\u0441\u0440\u0445\u0443\u0456\u043a\u043c"
    "\u043d\u0442\u0432\u0455\u0458\u0501\u04bb\u051b\u051d"
)
_GREEK = "\u03b1\u03b2\u03b5\u03b7\u03b9\u03ba\u03bd\u03bf\u03c1\u03c4\u03c5\u03c7\u03c9"
_ALIKE = str.maketrans(
    f"{_CYRILLIC}{_GREEK}01i",
    "aeocpxylkmhtbsjdhqwabenlkvoptuxwoll",
)
"""Small letters of other alphabets, and digits, to the Latin letter they look like."""


def find_similar(typed: str, known: Iterable[str]) -> str:
    """Return the known word most like the typed one, empty when none is like it."""
    lowered = {word.lower().replace("-", "_"): word for word in known}
    plain = typed.lower().replace("-", "_").replace(" ", "_")
    if plain in lowered:
        return lowered[plain]
    found = get_close_matches(plain, lowered, n=1, cutoff=0.7)
    letter = plain.partition("_")[0]
    if not found and len(letter) == 1 and letter in lowered:
        return lowered[letter]  # C or b of ISO 6358-1 with an index of the user's own: C_1
    return lowered[found[0]] if found else ""


def join_words(words: Iterable[str]) -> str:
    """Return words in quotes, joined by commas and a last `or`."""
    quoted = [f'"{word}"' for word in words]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} or {quoted[-1]}"


def look_of(name: str) -> str:
    """Return what a name looks like: without case, and with letters alike made one."""
    return unicodedata.normalize("NFKC", name).casefold().translate(_ALIKE)
