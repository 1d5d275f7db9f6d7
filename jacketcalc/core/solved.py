"""What became of one design."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.core.outcome import Outcome
from jacketcalc.core.profiles import Detail
from jacketcalc.findings.water_path import WaterTracks


@dataclass(frozen=True, kw_only=True)
class Result:
    """What became of one design."""

    outcome: Outcome
    failure: str
    """What did not settle; empty when it converged or stalled."""
    detail: Detail | None = None
    """Profiles, where asked for."""
    tracks: WaterTracks | None = None
    """What its air meets along its path, where asked for; None of one that does not run."""
