"""Solved cases for the report's tests: shipped machines on a coarse grid, solved once."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.result import Assessment
from jacketcalc.casefile.reading import read_case, read_case_text
from jacketcalc.core.resolution import Resolution
from jacketcalc.report.gather import gather
from jacketcalc.report.model import Report
from jacketcalc.show.to_json import make_object
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.verification.published import Verification

CASES = Path(__file__).parent / "machines"
MAIN = (CASES / "hot.toml").read_text("utf-8")
COARSE = Resolution().scaled(0.35)


@cache
def found(name: str) -> Assessment:
    """Solve a shipped case."""
    return assess(read_case(str(CASES / f"{name}.toml")), resolution=COARSE)


@cache
def stalled() -> Assessment:
    """Solve the main case against a receiver that it cannot fill."""
    text = re.sub(r'pressure = "300 bar\(g\)"', 'pressure = "390 bar(g)"', MAIN)
    return assess(read_case_text(text), resolution=COARSE)


def report_of(found: Assessment) -> Report:
    """Return the report of a result, without published cases."""
    return gather(make_dossier(found), Verification(findings=()))


def result_of(found: Assessment) -> dict[str, Any]:
    """Return the JSON result, written and read again."""
    read: dict[str, Any] = json.loads(json.dumps(make_object(found)))
    return read
