"""Two cases compared: what changed in their inputs, and what each change does, as data.

The walk leads from the first case to the second, one typed entry after the other, each on top of
those before; beside it stands what each does alone, in the first case. Their sum differs where
changes act on one another.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jacketcalc.assessment.result import Assessment
from jacketcalc.casefile.changed_entries import ChangedEntry
from jacketcalc.casefile.steps_between import Step
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import relative


@dataclass(frozen=True, kw_only=True)
class WalkStep:
    """Where one change on the way leads."""

    steps: tuple[Step, ...]
    """The change; several where no machine can be built between them."""
    bare: Outcome
    """Machine without jackets, after this step and those before."""
    jacketed: Outcome
    """Machine with jackets, after this step and those before."""
    alone: Outcome | None
    """Machine with jackets of the first case with this change only; None where it cannot be."""
    failure: str = ""
    """What did not settle; empty where all did."""

    @property
    def gain(self) -> float:
        """Change of delivery by the jackets, after this step [-]."""
        return relative(self.jacketed.delivered_mass_flow, self.bare.delivered_mass_flow)


@dataclass(frozen=True, kw_only=True)
class WalkPart:
    """What one change does to the machine with jackets; all parts add up to the whole."""

    names: tuple[str, ...]
    """The changes, as typed; several where no machine runs between them."""
    delivery: float
    """Change of delivery, as a share of what the first case delivers [-]."""
    alone: float | None
    """The same of this change alone in the first case; None where it cannot be [-]."""
    gain: float
    """Change of what the jackets gain in delivery [-]."""
    hottest: float
    """Change of the hottest discharge temperature [K]."""


@dataclass(frozen=True, kw_only=True)
class CaseDifference:
    """Two cases, what differs, and the way from one to the other."""

    was: Assessment
    """The first case."""
    now: Assessment
    """The second case."""
    entries: tuple[ChangedEntry, ...]
    walk: tuple[WalkStep, ...]
    """Way from the first to the second; none where it was not taken."""
    left_out: str = ""
    """Why there is no walk; empty where there is one."""

    @property
    def parts(self) -> tuple[WalkPart, ...]:
        """What each step does; none where a machine at either end delivers nothing."""
        if not (self.was.delivers and self.now.delivers):
            return ()
        return tuple(_parts(self.was, self.walk))


def _parts(was: Assessment, walk: Sequence[WalkStep]) -> Iterator[WalkPart]:
    """Yield what each step does; one that does not run counts together with the next."""
    start = was.jacketed
    before, gain, hottest = 0.0, was.change.delivered_mass_flow, start.hottest_discharge
    names: list[str] = []
    for step in walk:
        names += [f"{one.path} {one.was} -> {one.now}" for one in step.steps]
        if step.failure or not (step.jacketed.delivers and step.bare.delivers):
            continue
        here = relative(step.jacketed.delivered_mass_flow, start.delivered_mass_flow)
        known = step.alone is not None and step.alone.delivers
        yield WalkPart(
            names=tuple(names),
            delivery=here - before,
            alone=relative(step.alone.delivered_mass_flow, start.delivered_mass_flow)
            if step.alone is not None and known
            else None,
            gain=step.gain - gain,
            hottest=step.jacketed.hottest_discharge - hottest,
        )
        names, before, gain = [], here, step.gain
        hottest = step.jacketed.hottest_discharge
