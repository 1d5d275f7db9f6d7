"""How far pulses taken as steady are from pulses resolved in time, by the length of a pulse.

The package marches each phase of an exhaust pulse as if it were steady. One passage was also
computed with its waves, for pulses of several lengths, with the package's own correlations.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.assessment.result import Note
from jacketcalc.number_text import percent

SOURCE = "time-resolved computation of this project, tests/gas_dynamics"
DOUBTFUL = 0.10
"""Difference of a cycle's heat from which the treatment is called in question: half of what
the jacket's own coefficient is uncertain by on its narrow side (judgement) [-]."""


@dataclass(frozen=True, kw_only=True)
class PulseCheck:
    """What was found for one length of pulse; resolved over quasi-steady, less one."""

    transit_share: float
    """Time that air takes through tube and jacket, over the pulse [-]."""
    heat: float
    """Heat from the barrel in a cycle, at rest included [-]."""
    back_pressure_mean: float
    """Mean back-pressure above ambient [-]."""
    back_pressure_peak: float
    """Its peak, with a valve that opens at once [-]."""


CHECKS = (
    PulseCheck(
        transit_share=0.0076, heat=0.007, back_pressure_mean=0.005, back_pressure_peak=0.434
    ),
    PulseCheck(
        transit_share=0.0231, heat=0.022, back_pressure_mean=0.014, back_pressure_peak=0.451
    ),
    PulseCheck(
        transit_share=0.0698, heat=0.099, back_pressure_mean=0.044, back_pressure_peak=0.530
    ),
    PulseCheck(
        transit_share=0.2337, heat=0.202, back_pressure_mean=0.144, back_pressure_peak=0.673
    ),
)
"""The pulse of `tests/machines/hot.toml` at three times its length, as it is, a third, a tenth."""


def expected_difference(transit_share: float) -> PulseCheck:
    """Read the checks at a transit share [-], straight between them, held at the ends."""
    known = [c.transit_share for c in CHECKS]

    def read(name: str) -> float:
        return float(np.interp(transit_share, known, [getattr(c, name) for c in CHECKS]))

    return PulseCheck(
        transit_share=transit_share,
        heat=read("heat"),
        back_pressure_mean=read("back_pressure_mean"),
        back_pressure_peak=read("back_pressure_peak"),
    )


def quasi_steady_note(stage: str, transit_share: float) -> Note:
    """Say what taking the phases of a pulse as steady costs in a stage's passage.

    Parameters
    ----------
    stage : name of the stage
    transit_share : time that air takes through its passage, over the pulse [-]
    """
    found = expected_difference(transit_share)
    longest = CHECKS[-1].transit_share
    beyond = transit_share > longest
    like = f"the shortest pulse checked, {_percent(longest)}," if beyond else "a pulse like it"
    text = (
        f"quasi-steady pulses: air takes {_percent(transit_share)} of a pulse to pass stage "
        f"{stage}'s passage; {like} differed, when resolved in time, by about "
        f"{_signed(found.heat)} in heat, {_signed(found.back_pressure_mean)} in mean back-pressure "
        f"and {_signed(found.back_pressure_peak)} in its peak, a short surge as the valve opens "
        f"({SOURCE})"
    )
    doubtful = beyond or found.heat > DOUBTFUL
    if doubtful:
        text += ": the result is doubtful there"
    return Note(name="quasi-steady", level="warning" if doubtful else "note", text=text)


def _percent(share: float) -> str:
    return percent(share, 1 if share < 0.1 else 0, sign=False)


def _signed(share: float) -> str:
    return percent(share, 1 if abs(share) < 0.1 else 0)
