"""Where the readings of a case stand."""

from __future__ import annotations

from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.read_values import Values


def reading_paths(values: Values) -> tuple[Path, ...]:
    """Return the paths of the readings, in the order of the file."""
    found = (path for path in values.tables if len(path) == 2 and path[0] == "reading")
    return tuple(sorted(found, key=lambda path: int(path[1])))
