"""The verification as one JSON object; each row in the unit that its source prints."""

from __future__ import annotations

import json
from collections import Counter
from typing import Any

from jacketcalc import __version__
from jacketcalc.verification.amounts import factor_of, from_si
from jacketcalc.verification.published import (
    CAUTION,
    NOT_MEASURED,
    Finding,
    PublishedSource,
    Verification,
)

FORMAT = "jacketcalc-verification-1"
"""Name and version of the format; fields are added under this name, never changed."""
NO_UNIT = "-"
"""What stands for no unit."""


def verification_json(report: Verification) -> str:
    """Return every finding, the sources and the counts as JSON text in ASCII."""
    return json.dumps(verification_object(report), indent=1, allow_nan=False) + "\n"


def verification_object(report: Verification) -> dict[str, Any]:
    """Return the verification as plain data."""
    return {
        "format": FORMAT,
        "program": {"name": "jacketcalc", "version": __version__},
        "versions": dict(report.versions),
        "statement": NOT_MEASURED,
        "passed": report.passed,
        "counts": _counts(report),
        "rows": [_row(finding) for finding in report.findings],
        "sources": [_source(source) for source in report.sources],
        "sentence": report.count,
        "caution": CAUTION,
    }


def _counts(report: Verification) -> dict[str, int]:
    """Return how many rows bear each label; those of known disagreements are among `disagree`."""
    states = Counter(finding.state for finding in report.findings)
    return {
        "rows": len(report.findings),
        "agree": states["agrees"],
        "same_formula": states["same formula"],
        "disagree": states["DISAGREES"],
        "disagree_known": sum(bool(f.check.disagrees) for f in report.disagreements),
        "doubtful": states["doubtful"],
    }


def _row(finding: Finding) -> dict[str, Any]:
    """Return a finding; found, expected, difference and tolerance are in its `unit`."""
    check = finding.check
    unit = check.expected.unit
    size = factor_of(unit)
    half = check.tolerance / size
    expected = float(check.expected.text)
    return {
        "id": check.id,
        "part": check.part,
        "what": check.what,
        "source": check.source.key,
        "obtained": check.obtained,
        "inputs": {name: str(amount) for name, amount in check.inputs.items()},
        "unit": unit or NO_UNIT,
        "found": from_si(finding.found, unit),
        "expected": expected,
        "range": [expected - half, expected + half] if check.is_range else None,
        "printed": check.printed,
        "difference": finding.difference / size,
        "tolerance": half,
        "because": check.because,
        "label": finding.state.lower(),
        "agrees": bool(finding.agrees),
        "doubtful": check.doubtful,
        "disagrees": check.disagrees,
    }


def _source(source: PublishedSource) -> dict[str, Any]:
    return {
        "key": source.key,
        "citation": source.citation,
        "where": source.where,
        "obtained": source.obtained,
        "kind": source.kind,
        "remark": source.remark,
    }
