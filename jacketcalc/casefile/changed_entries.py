"""What differs between two cases, entry by entry: for revision tables and comparisons."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.casefile.describe import field_at
from jacketcalc.inputs import Case, Given

_TITLE_BLOCK = "document."
"""Entries that a title block shows."""


@dataclass(frozen=True, kw_only=True)
class ChangedEntry:
    """One entry that two cases have not alike."""

    path: str
    """Dotted key path."""
    was: Given | None
    """Entry of the first case, None where it has none."""
    now: Given | None
    """Entry of the second case, None where it has none."""

    @property
    def follows(self) -> bool:
        """Whether the program filled it in, so that it follows from other entries."""
        return all(given is None or given.assumed for given in (self.was, self.now))

    @property
    def sourced(self) -> bool:
        """Whether both cases have it, and say that it comes from elsewhere."""
        if self.was is None or self.now is None:
            return False
        return source_of(self.was) != source_of(self.now)


def list_changed(was: Case, now: Case) -> tuple[ChangedEntry, ...]:
    """Return the entries that differ, the title and the title block apart.

    Parameters
    ----------
    was, now : the first case and the second
    """
    old, new = _entries(was), _entries(now)
    every = (
        ChangedEntry(path=path, was=old.get(path), now=new.get(path))
        for path in dict.fromkeys((*new, *old))
    )
    return tuple(entry for entry in every if not _same(entry.was, entry.now))


def source_of(given: Given) -> str:
    """Return where an entry comes from, in a word or two."""
    return "filled in" if given.assumed else given.source


def dimension_of(given: Given) -> str:
    """Return the dimension that an entry is shown in: shares that were typed in percent so."""
    dimension = field_at(given.path).dimension or "number"
    return "percent" if dimension == "ratio" and "%" in given.text else dimension


def _entries(case: Case) -> dict[str, Given]:
    return {
        g.path: g for g in case.given if g.path != "title" and not g.path.startswith(_TITLE_BLOCK)
    }


def _same(was: Given | None, now: Given | None) -> bool:
    if was is None or now is None:
        return was is now
    both = ((g.value, g.tolerance, g.standard_uncertainty, source_of(g)) for g in (was, now))
    return next(both) == next(both)
