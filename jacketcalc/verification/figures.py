"""Findings as short text, shared by terminal and page."""

from __future__ import annotations

from jacketcalc.verification.amounts import from_si
from jacketcalc.verification.published import Finding


def found_text(finding: Finding) -> str:
    """Return what was found, in the unit that the source prints."""
    return f"{from_si(finding.found, finding.check.expected.unit):.6g}"


def expected_text(finding: Finding) -> str:
    """Return the published number or range without its unit; twelve digits show enough."""
    unit = finding.check.expected.unit
    printed = finding.check.printed.removesuffix(unit).rstrip()
    return printed if len(printed) <= 12 else f"{float(printed):.10g}"


def difference_text(finding: Finding) -> str:
    """Return found less expected, as a share of the expected."""
    return _share(finding.difference, finding, sign=True)


def tolerance_text(finding: Finding) -> str:
    """Return the tolerance as a share of the expected."""
    if finding.check.is_range:
        return "in range"
    return _share(finding.check.tolerance, finding, sign=False)


def _share(value: float, finding: Finding, *, sign: bool) -> str:
    percent = 100.0 * value / abs(finding.check.expected.value)
    if sign and abs(percent) < 1e-10:
        return "0 %"
    figure = f"{percent:+.2g}" if sign else f"{percent:.2g}"
    return f"{_plain(figure)} %"


def _plain(figure: str) -> str:
    """Write 1e+02 as 100, and leave what is small in powers of ten."""
    return f"{float(figure):+g}" if figure.startswith(("+", "-")) else f"{float(figure):g}"
