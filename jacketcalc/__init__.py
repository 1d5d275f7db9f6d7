"""Does routing the cold drive exhaust of a pressure booster through jackets pay?

>>> from jacketcalc import assess, read_case
>>> print(assess(read_case("case.toml")).verdict.sentence)  # doctest: +SKIP
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jacketcalc.assessment.assess import assess
    from jacketcalc.casefile.reading import read_case

__version__ = "0.1.0"
__all__ = ["__version__", "assess", "read_case"]

_HOMES = {
    "assess": "jacketcalc.assessment.assess",
    "read_case": "jacketcalc.casefile.reading",
}
"""Modules of the names above, imported when first asked for."""


def __getattr__(name: str) -> Any:
    """Import a public name when it is first used, so that `import jacketcalc` costs nothing."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(_HOMES[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
