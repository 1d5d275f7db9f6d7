"""What samples say of a verdict."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.core.output_record import Output
from jacketcalc.inputs import Case
from jacketcalc.statistics.estimates import TOLD, Estimate
from jacketcalc.statistics.summary import Summary
from jacketcalc.uncertainty.uncertain import UncertainInput


@dataclass(frozen=True, kw_only=True)
class Headline:
    """One result of both machines, and its change from sample to sample."""

    output: Output
    with_jackets: Summary | None
    """In SI; None where it says nothing in some samples."""
    no_jackets: Summary | None
    """In SI; None where it says nothing in some samples."""
    change: Summary | None
    """Of the paired changes: relative [-], of temperatures the difference [K]."""


@dataclass(frozen=True, kw_only=True)
class LimitChances:
    """How likely each fate of a limit is."""

    what: str
    kept: Estimate
    """Probability [-]."""
    mended: Estimate
    """Probability [-]."""
    newly_broken: Estimate
    """Probability [-]."""
    broken_in_both: Estimate
    """Probability [-]."""


@dataclass(frozen=True, kw_only=True)
class Share:
    """Share of the variance of the judged change that one input causes alone."""

    path: str
    first: float
    """First-order index [-]."""
    sampling_error: float
    """Its sampling error [-]."""

    @property
    def told(self) -> bool:
        """Whether it is told from nought."""
        return self.first > TOLD * self.sampling_error


@dataclass(frozen=True, kw_only=True)
class UncertaintyStudy:
    """Uncertainty of a verdict by samples of its inputs."""

    case: Case
    seed: int
    samples: int
    """Pairs of machines [-]."""
    failed: int
    """Pairs of which one machine did not settle; each counts as the median of the others [-]."""
    resting: int
    """Pairs of which a machine stalls or delivers nothing; their change is 1, -1 or 0 [-]."""
    level: float
    """Coverage probability of the intervals [-]."""
    reached: bool
    """Whether the precision that was asked for is reached; True where none was."""
    precision: float | None
    """Margin asked for of the judged change's mean, u and interval; None where none was
    [-, of temperatures K]."""
    inputs: tuple[UncertainInput, ...]
    gain: Summary
    """Judged change, positive where it is for the better."""
    pays: Estimate
    """Probability that the jackets pay [-]."""
    headlines: tuple[Headline, ...]
    limits: tuple[LimitChances, ...]
    shares: tuple[Share, ...]
    """Largest first."""
