"""Run every published case and say what was found."""

from __future__ import annotations

import math
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version

from jacketcalc import __version__
from jacketcalc.errors import RangeError
from jacketcalc.progress import CHECKING, Progress, Tally
from jacketcalc.verification.published import Finding, PublishedCheck, Verification
from jacketcalc.verification.quantities import QUANTITIES
from jacketcalc.verification.read_sources import published_checks

LIBRARIES = ("CoolProp", "ht", "fluids", "numpy", "scipy")


def find(check: PublishedCheck) -> Finding:
    """Evaluate one check.

    Raises
    ------
    RangeError
        When the registry has no such quantity.
    """
    try:
        function = QUANTITIES[check.quantity]
    except KeyError:
        raise RangeError(f"{check.id}: no quantity is called {check.quantity!r}") from None
    found = function(**{name: amount.value for name, amount in check.inputs.items()})
    difference = found - check.expected.value
    agrees = abs(difference) <= check.tolerance
    if check.is_range:
        outside = max(abs(difference) - check.tolerance, 0.0)
        difference = math.copysign(0.0 if agrees else outside, difference)
    return Finding(check=check, found=found, difference=difference, agrees=agrees)


def run_verification(
    checks: Sequence[PublishedCheck] | None = None, *, progress: Progress | None = None
) -> Verification:
    """Evaluate published cases, all of them unless some are given."""
    chosen = published_checks() if checks is None else tuple(checks)
    tally, findings = Tally(progress, len(chosen), CHECKING), []
    for check in chosen:
        tally.part(1)
        findings.append(find(check))
    return Verification(findings=tuple(findings), versions=_versions())


def _versions() -> dict[str, str]:
    found = {}
    found["jacketcalc"] = __version__
    for name in LIBRARIES:
        try:
            found[name] = version(name)
        except PackageNotFoundError:
            found[name] = "not installed as a package"
    return found
