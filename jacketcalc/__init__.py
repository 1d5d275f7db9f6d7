"""Does routing the cold drive exhaust of a pressure booster through jackets pay?

One machine, its pitches, any of its numbers, and any list of machines:

>>> from jacketcalc import assess, compare_pitches, read_case, run_study, set_value, sweep
>>> case = read_case("case.toml")  # doctest: +SKIP
>>> print(assess(case).verdict.sentence)  # doctest: +SKIP
>>> table = compare_pitches(case, "8 mm", "48 mm")  # doctest: +SKIP
>>> table = run_study(case, ["jacket.gap=2mm:8mm"])  # doctest: +SKIP
>>> cases = [set_value(case, "drive.stroke", f"{s} mm") for s in (90, 110)]  # doctest: +SKIP
>>> results = sweep(cases)  # doctest: +SKIP
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jacketcalc.assessment.as_it_is import assess_as_it_is
    from jacketcalc.assessment.assess import assess
    from jacketcalc.casefile.overrides import set_value
    from jacketcalc.casefile.reading import read_case
    from jacketcalc.designs import OwnLaws
    from jacketcalc.studies.differ import differ
    from jacketcalc.studies.limits import Limits
    from jacketcalc.studies.propose import propose
    from jacketcalc.studies.rivals import solve_rivals
    from jacketcalc.studies.study import compare_pitches, run_study
    from jacketcalc.studies.sweep import sweep

__version__ = "0.2.0"
__all__ = [
    "Limits",
    "OwnLaws",
    "__version__",
    "assess",
    "assess_as_it_is",
    "compare_pitches",
    "differ",
    "propose",
    "read_case",
    "run_study",
    "set_value",
    "solve_rivals",
    "sweep",
]

_HOMES = {
    "Limits": "jacketcalc.studies.limits",
    "OwnLaws": "jacketcalc.designs",
    "assess": "jacketcalc.assessment.assess",
    "assess_as_it_is": "jacketcalc.assessment.as_it_is",
    "compare_pitches": "jacketcalc.studies.study",
    "differ": "jacketcalc.studies.differ",
    "propose": "jacketcalc.studies.propose",
    "read_case": "jacketcalc.casefile.reading",
    "run_study": "jacketcalc.studies.study",
    "set_value": "jacketcalc.casefile.overrides",
    "solve_rivals": "jacketcalc.studies.rivals",
    "sweep": "jacketcalc.studies.sweep",
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
