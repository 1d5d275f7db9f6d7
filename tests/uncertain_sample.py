"""A small case with readings whose uncertainty is solved once for the tests of a process.

The readings are invented: what the machine shows, moved by about two standard uncertainties.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.result import Assessment
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.inputs import Case
from jacketcalc.report.gather import gather
from jacketcalc.report.model import Report
from jacketcalc.show.bench_json import make_bench_json
from jacketcalc.show.uncertainty_json import make_rank_json, make_uncertainty_json
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.uncertainty.sampled import Sampled, solve_sampled
from jacketcalc.verification.published import Verification

BARE = (Path(__file__).parent / "machines" / "single.toml").read_text("utf-8")
BARE = BARE.replace('bore = "80 mm"', 'bore = "80 mm +- 0.1 mm"')
READINGS = """
[[reading]]
cycle_time = "0.47 s u 0.01 s"

[[reading]]
wall_temperature = "294 K u 2 K"
stage = "main"
"""
SAMPLES = 128
"""The fewest pairs that can be drawn [-]."""


@cache
def bench_case() -> Case:
    return read_case_text(BARE + READINGS)


@cache
def assessed() -> Assessment:
    return assess(bench_case())


@cache
def sampled() -> Sampled:
    return solve_sampled(bench_case(), samples=SAMPLES)


def sampled_report() -> Report:
    return gather(make_dossier(assessed()), Verification(findings=()), sampled=sampled())


@cache
def study_json() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(make_uncertainty_json(sampled().study))
    return read


@cache
def rank_json() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(make_rank_json(sampled().ranking))
    return read


@cache
def bench_json() -> dict[str, Any]:
    bench = sampled().bench
    assert bench is not None
    read: dict[str, Any] = json.loads(make_bench_json(bench))
    return read
