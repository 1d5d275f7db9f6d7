"""The answer to "does the jacket pay?", as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from jacketcalc.assessment.assumption import Assumption
from jacketcalc.assessment.single_change import SingleChange
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.profiles import Detail
from jacketcalc.findings.water_path import WaterTracks
from jacketcalc.inputs import Case, Currency, Reference

Answer = Literal["pays", "does not pay", "cannot tell"]
Fate = Literal["kept", "mended", "newly broken", "broken in both"]
"""What the jackets do to a limit: kept and broken in both, or mended, or newly broken."""
Rate = Literal["as stated", "not imposed"]
"""Whether an imposed cycle rate holds, as the case states, or the machine sets its own."""
Level = Literal["warning", "note"]


@dataclass(frozen=True, kw_only=True)
class Note:
    """A sentence the user should read."""

    name: str
    """Stable short name of its kind, such as `frost`."""
    level: Level
    text: str


@dataclass(frozen=True, kw_only=True)
class StageChange:
    """What the jacket changes in a stage, jacketed less bare."""

    name: str
    compression_start_temperature: float
    """Difference [K]."""
    discharge_temperature: float
    """Difference [K]."""
    wall_temperature: float
    """Difference of the barrel's mean [K]."""


@dataclass(frozen=True, kw_only=True)
class Change:
    """Jacketed against bare."""

    delivered_mass_flow: float
    """Relative change [-]."""
    mass_per_cycle: float
    """Relative change of the mass delivered in a cycle [-]."""
    cycle_rate: float
    """Relative change [-]."""
    specific_air_consumption: float
    """Relative change [-]."""
    stages: tuple[StageChange, ...]


@dataclass(frozen=True, kw_only=True)
class Interval:
    """A value with its model range, in the unit of the field that holds it."""

    low: float
    value: float
    high: float


@dataclass(frozen=True, kw_only=True)
class BandMember:
    """One solved variant of the model."""

    label: str
    """What was varied, such as `jacket heat transfer low`."""
    bare: Outcome
    jacketed: Outcome
    change: Change


@dataclass(frozen=True, kw_only=True)
class Band:
    """Changes over the members of the model range, both ends of each change by itself."""

    delivered_mass_flow: Interval
    """Relative change [-]."""
    specific_air_consumption: Interval
    """Relative change [-]."""
    discharge_temperature: Interval
    """Difference of the hottest stage's mean discharge temperature [K]."""
    members: tuple[BandMember, ...]


@dataclass(frozen=True, kw_only=True)
class LimitCheck:
    """A limit of the case, or of a material, with what both machines make of it."""

    what: str
    """Quantity and place, such as `discharge temperature, second`."""
    kind: Literal["at most", "at least"]
    limit: float
    """Limit [K]."""
    bare: float
    """Value without jackets [K]; equals `jacketed` where that machine has no such part."""
    jacketed: float
    """Value of the machine with jackets [K]."""
    low: float
    """Lowest jacketed value in the band [K]."""
    high: float
    """Highest jacketed value in the band [K]."""
    gas_bare: float | None = None
    """Hottest gas that meets a seal without jackets, not judged; None of other parts [K]."""
    gas_jacketed: float | None = None
    """The same in the machine with jackets [K]."""
    source: str = ""
    """Where the limit comes from."""

    @property
    def state(self) -> str:
        """PASS or FAIL when the whole band is on one side, `pass?` or `fail?` when it is not."""
        below = (self.low <= self.limit, self.jacketed <= self.limit, self.high <= self.limit)
        kept = (
            below
            if self.kind == "at most"
            else tuple(v >= self.limit for v in (self.low, self.jacketed, self.high))
        )
        if all(kept):
            return "PASS"
        if not any(kept):
            return "FAIL"
        return "pass?" if kept[1] else "fail?"

    @property
    def kept_bare(self) -> bool:
        """Whether the machine without jackets keeps it."""
        return self.bare <= self.limit if self.kind == "at most" else self.bare >= self.limit

    @property
    def kept(self) -> bool:
        """Whether the machine with jackets keeps it."""
        return self.state in ("PASS", "pass?")

    @property
    def fate(self) -> Fate:
        """What the jackets do to it."""
        if self.kept:
            return "kept" if self.kept_bare else "mended"
        return "newly broken" if self.kept_bare else "broken in both"


@dataclass(frozen=True, kw_only=True)
class LimitCount:
    """Limits by what the jackets do to them; each tuple names them."""

    kept: tuple[str, ...] = ()
    """Kept with and without jackets."""
    mended: tuple[str, ...] = ()
    """Broken without jackets and kept with them."""
    newly_broken: tuple[str, ...] = ()
    """Kept without jackets and broken with them."""
    broken_in_both: tuple[str, ...] = ()
    """Broken with and without jackets."""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A comparison against one machine without jackets."""

    reference: Reference
    bare: Outcome
    change: Change


@dataclass(frozen=True, kw_only=True)
class Standing:
    """What the rule makes of one comparison: with one machine without jackets, at one rate."""

    reference: Reference
    """Bare machine that is compared with."""
    rate: Rate
    answer: Answer | None
    """None where no band was solved."""
    delivers: bool
    """Whether both machines deliver, so that the changes say something."""
    delivered_mass_flow: Interval
    """Relative change [-]."""
    specific_air_consumption: Interval
    """Relative change [-]."""
    discharge_temperature: Interval
    """Difference of the hottest stage's mean discharge temperature [K]."""
    limits: LimitCount
    """Limits in this comparison."""


@dataclass(frozen=True, kw_only=True)
class Split:
    """Changes of delivered flow that explain the whole [-]."""

    cooling_alone: Change | None
    """Passage without the jacket's resistance; None where that machine did not settle."""
    resistance_alone: Change | None
    """Passage without its heat; None where that machine did not settle."""


@dataclass(frozen=True, kw_only=True)
class ConductanceRatio:
    """Sonic conductance of the exhaust passage over the control valve's."""

    ratio: float
    """Smallest over the jackets [-]."""
    each: tuple[float, ...]
    """Of each exhaust node [-]."""
    break_even: float | None
    """Ratio at which delivered flow would not change; None where there is none [-]."""
    break_even_words: str
    """Why there is none, or empty."""
    solved: int
    """Machines solved beyond those of the curve to find it [-]."""
    curve: tuple[tuple[float, float], ...]
    """Every solved pair of ratio [-] and relative change of delivered flow [-]."""


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """The answer in words and what it rests on; screen, JSON and report all read it."""

    answer: Answer
    """Answer to the case as stated, against the machine without jackets it names."""
    headline: str
    """Answers in capitals, both where two references disagree, and that a rate is imposed."""
    sentence: str
    """The answer and its reasons, both references and the machine left free among them."""
    judged_by: Currency
    rule: str
    """The decision rule in words."""
    limits: LimitCount
    """Limits against the machine without jackets that the case names."""
    standings: tuple[Standing, ...]
    """Every comparison; the one that the case asks for is first."""
    missing: tuple[str, ...] = ()
    """Comparisons, and members of their bands, that could not be made, each with its reason."""


@dataclass(frozen=True, kw_only=True)
class Assessment:
    """Everything `assess` found."""

    case: Case
    bare: Outcome
    """The machine without jackets judged against."""
    jacketed: Outcome
    change: Change
    other: Reading | None
    """The other machine without jackets, where the case describes both."""
    split: Split
    conductance: ConductanceRatio
    band: Band
    limits: tuple[LimitCheck, ...]
    verdict: Verdict
    notes: tuple[Note, ...]
    bare_detail: Detail
    jacketed_detail: Detail
    bare_tracks: WaterTracks | None = None
    """What the air of the machine without jackets meets; None of one that does not run."""
    jacketed_tracks: WaterTracks | None = None
    tried: tuple[SingleChange, ...] = ()
    """Parts one size larger, what gains most first; none where none were tried."""
    assumptions: tuple[Assumption, ...] = ()
    """Assumed numbers that move the answer most, those that flip it first; none where the case is
    not made of assumptions."""
    way: tuple[SingleChange, ...] = ()
    """Changes one on top of the other, towards jackets that pay; none where none was looked for."""

    @property
    def delivers(self) -> bool:
        """Whether both machines deliver, so that there is a change to speak of."""
        return self.bare.delivers and self.jacketed.delivers
