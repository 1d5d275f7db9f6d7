"""Records of the published cases and of what was found for them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field

from jacketcalc.cautions import CARE, HAZARD
from jacketcalc.references import Obtained
from jacketcalc.verification.amounts import Amount

PARTS = (
    "passage, heat transfer",
    "passage, friction and curvature",
    "compressible flow",
    "valves, orifices and vessels",
    "in-cylinder heat transfer",
    "reciprocating compression",
    "walls and surroundings",
    "properties of air",
    "water in air",
)
"""Parts of the model, in the order of the dossier."""

NOT_MEASURED = (
    "Nothing here was measured on a jacket or on a booster: no such measurements are known to "
    "this project. What agrees is its parts, one by one."
)
"""What a reader must know first."""

CAUTION = f"{HAZARD}. Agreement with published values is no approval of a design: {CARE}."
"""What a reader must not take agreement for."""

KINDS = ("measured", "worked example", "table", "library", "formula")
"""What a published number is."""


@dataclass(frozen=True, kw_only=True)
class PublishedSource:
    """One source of published numbers."""

    key: str
    """Name of its file."""
    citation: str
    """Author, title, place and year."""
    where: str
    """Where in it, and where it was read."""
    obtained: Obtained
    """How its numbers reached this project."""
    kind: str
    """One of `KINDS`."""
    remark: str = ""
    """What a reader should know of the source as a whole."""


@dataclass(frozen=True, kw_only=True)
class PublishedCheck:
    """One published number and how the program comes to its own."""

    id: str
    """Short name, unique over all sources."""
    source: PublishedSource
    part: str
    """One of `PARTS`."""
    what: str
    """The case in words."""
    quantity: str
    """Name of a function in the registry."""
    inputs: Mapping[str, Amount]
    """Arguments of that function, as the source states them."""
    expected: Amount
    """The published number, or the middle of a published range."""
    tolerance: float
    """Largest difference that counts as agreement, in SI [as the quantity]; half the width
    where a range was published."""
    is_range: bool
    """A range was published: anything inside agrees."""
    printed: str
    """The published number or range with its unit, as text."""
    because: str
    """Why the tolerance is what it is."""
    obtained: Obtained
    """How this number reached the project; the source's own unless it differs."""
    doubtful: str = ""
    """Why the published number is in doubt; empty when it is not."""
    same_formula: bool = False
    """The published number comes from the formula that the program uses: agreement shows that it
    was written down rightly, and no more."""
    disagrees: str = ""
    """What is known of a disagreement that stands; empty where none is known."""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """What the program found for a check."""

    check: PublishedCheck
    found: float
    """In SI [as the quantity]."""
    difference: float
    """Found less expected, or less the nearer end of a range, in SI [as the quantity]."""
    agrees: bool
    """The difference keeps the tolerance, or the number the range."""

    @property
    def state(self) -> str:
        """One word for the reader."""
        if self.check.doubtful:
            return "doubtful"
        if not self.agrees:
            return "DISAGREES"
        return "same formula" if self.check.same_formula else "agrees"


@dataclass(frozen=True, kw_only=True)
class Verification:
    """Every finding."""

    findings: tuple[Finding, ...]
    """In the order of `PARTS`, then of the sources."""
    versions: Mapping[str, str] = field(default_factory=dict)
    """Program and libraries by name."""

    @property
    def disagreements(self) -> tuple[Finding, ...]:
        """Findings outside tolerance whose source is not in doubt."""
        return tuple(f for f in self.findings if not f.agrees and not f.check.doubtful)

    @property
    def passed(self) -> bool:
        """No finding disagrees, the doubtful ones and the known disagreements aside."""
        return all(f.check.disagrees for f in self.disagreements)

    def of_part(self, part: str) -> tuple[Finding, ...]:
        """Return the findings of one part of the model."""
        return tuple(f for f in self.findings if f.check.part == part)

    @property
    def sources(self) -> tuple[PublishedSource, ...]:
        """Every source that was used, once."""
        return tuple({f.check.source.key: f.check.source for f in self.findings}.values())

    @property
    def count(self) -> str:
        """The closing sentence."""
        checks, sources = self.findings, self.sources
        states = Counter(f.state for f in checks)
        read = sum(s.obtained == "read" for s in sources)
        number = sum(f.check.obtained == "read" for f in checks)
        return (
            f"{len(checks)} checks from {len(sources)} sources ({read} read, "
            f"{len(sources) - read} from memory; {number} numbers read): "
            f"{states['agrees']} agree with something other than their own formula, "
            f"{states['same formula']} only show that a formula was written down rightly, "
            f"{states['DISAGREES']} disagree, {states['doubtful']} doubtful and explained"
        )
