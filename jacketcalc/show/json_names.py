"""Names in JSON that are not those of the records: what a reader knows a thing by."""

from __future__ import annotations

import re

NAMES = {
    "bare": "no_jackets",
    "jacketed": "with_jackets",
    "band": "model_range",
    "gas_bare": "gas_no_jackets",
    "gas_jacketed": "gas_with_jackets",
    "kept_bare": "kept_no_jackets",
}
"""Name of a record's field to its name in JSON."""
_STEP = re.compile(r"[A-Za-z_]\w*")


def json_name(name: str) -> str:
    """Return what a field of a record is called in JSON."""
    return NAMES.get(name, name)


def json_path(path: str) -> str:
    """Return where a number of the records stands in JSON; keys of maps stay as they are."""
    head, mark, key = path.partition(".energy_balance.")
    return _STEP.sub(lambda found: json_name(found[0]), head) + mark + key
