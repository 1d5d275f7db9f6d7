"""Comparisons that a verdict speaks of: both references, rate imposed and not, one rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from jacketcalc.assessment.compare import check_limits, compare, make_band
from jacketcalc.assessment.model_range import NOMINAL
from jacketcalc.assessment.result import (
    Answer,
    Band,
    BandMember,
    Fate,
    Interval,
    LimitCheck,
    LimitCount,
    Rate,
    Standing,
)
from jacketcalc.assessment.variants import (
    FREE,
    other_reference,
)
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.solved import Result
from jacketcalc.inputs import Case, Currency, Machine, Reference

Results = Mapping[str, Result]


def count_limits(limits: Sequence[LimitCheck]) -> LimitCount:
    """Sort limits by what the jackets do to them."""

    def named(fate: Fate) -> tuple[str, ...]:
        return tuple(check.what for check in limits if check.fate == fate)

    return LimitCount(
        kept=named("kept"),
        mended=named("mended"),
        newly_broken=named("newly broken"),
        broken_in_both=named("broken in both"),
    )


def stand(
    case: Case, reference: Reference, rate: Rate, band: Band, limits: Sequence[LimitCheck]
) -> Standing:
    """Apply the rule to one comparison; the band's first member is the one as stated."""
    first = band.members[0]
    runs = not (first.bare.stalled or first.jacketed.stalled)
    count = count_limits(limits) if runs else LimitCount()
    answer: Answer | None = answer_at_rest(first.bare, first.jacketed)
    if answer is None and len(band.members) > 1:
        answer = apply_rule(judged_gain(case.judgement.by, band))
    return Standing(
        reference=reference,
        rate=rate,
        answer=answer,
        delivers=first.bare.delivers and first.jacketed.delivers,
        delivered_mass_flow=band.delivered_mass_flow,
        specific_air_consumption=band.specific_air_consumption,
        discharge_temperature=band.discharge_temperature,
        limits=count,
    )


def answer_at_rest(bare: Outcome, jacketed: Outcome) -> Answer | None:
    """Answer where a machine stalls or delivers nothing; None where both deliver."""
    if bare.delivers and jacketed.delivers:
        return None
    if bare.delivers:
        return "does not pay"
    return "pays" if jacketed.delivers else "cannot tell"


def judged_gain(by: Currency, found: Band | Standing) -> Interval:
    """Return the change that is judged, positive where it is for the better."""
    return {
        "delivery": found.delivered_mass_flow,
        "specific air consumption": _mirrored(found.specific_air_consumption),
        "discharge temperature": _mirrored(found.discharge_temperature),
    }[by]


def apply_rule(gain: Interval) -> Answer:
    """Answer from the judged change alone: limits, mended or newly broken, do not decide."""
    return "pays" if gain.low > 0 else "does not pay" if gain.high < 0 else "cannot tell"


def _mirrored(interval: Interval) -> Interval:
    return Interval(low=-interval.high, value=-interval.value, high=-interval.low)


def list_members(found: Results, prefix: str = "", bare: str = "bare") -> list[BandMember]:
    """Return the members of the band whose machines settled, the one as stated first.

    Parameters
    ----------
    found : results by the names of `list_compared`
    prefix : `FREE` for machines whose imposed rate is taken away
    bare : `bare` or `other bare`
    """
    members = []
    for label, new, old in _pairs(found, prefix, bare):
        if not (new.failure or old.failure):
            change = compare(new.outcome, old.outcome)
            members.append(
                BandMember(label=label, bare=old.outcome, jacketed=new.outcome, change=change)
            )
    return members


def _pairs(found: Results, prefix: str, bare: str) -> Iterator[tuple[str, Result, Result]]:
    """Yield every member of a band that was asked for: its label, jacketed and bare."""
    names = [(NOMINAL, "jacketed", bare)]
    for new in (name for name in found if name.startswith(f"{prefix}jacketed, ")):
        label = new.removeprefix(f"{prefix}jacketed, ")
        own = f"{bare}, {label}"
        names.append((label, f"jacketed, {label}", own if prefix + own in found else bare))
    for label, new, old in names:
        if prefix + new in found:
            yield label, found[prefix + new], found[prefix + old]


def name_bare(machine: Machine, reference: Reference) -> str:
    """Return what leaves the drive valve of a machine without jackets, in words."""
    if reference == "exhaust direct":
        return "direct exhaust"
    exhausts = (machine.exhaust_1, machine.exhaust_2)
    parts = ["tube"] if any(e.tube is not None for e in exhausts) else []
    parts += ["silencer"] if any(e.silencer is not None for e in exhausts) else []
    return f"the exhaust through its {' and '.join(parts)}" if parts else "direct exhaust"


def read_standings(case: Case, found: Results) -> tuple[tuple[Standing, ...], tuple[str, ...]]:
    """Return every comparison, the one the case asks for first, and why some are missing.

    A machine that did not settle takes its own comparison, or member of a band, and no more.

    Parameters
    ----------
    case : the case
    found : results by the names of `list_compared`
    """
    standings: list[Standing] = []
    missing: list[str] = []
    judged = case.judgement.no_jackets
    rates: tuple[tuple[str, Rate], ...] = (("", "as stated"), (FREE, "not imposed"))
    for prefix, rate in rates:
        for bare, reference in (("bare", judged), ("other bare", other_reference(judged))):
            if prefix + bare not in found:
                continue
            free = ", without an imposed rate," if prefix else ""
            name = f"The comparison with {name_bare(case.machine, reference)}{free}"
            lost = [
                (label, new.failure or old.failure)
                for label, new, old in _pairs(found, prefix, bare)
                if new.failure or old.failure
            ]
            if lost and lost[0][0] == NOMINAL:
                missing.append(f"{name} could not be made: {lost[0][1]}.")
                continue
            missing += [f"{name} leaves {label} out of its range: {why}." for label, why in lost]
            members = list_members(found, prefix, bare)
            band = make_band(members, members[0])
            limits = check_limits(case, members[0].bare, band, members[0].jacketed)
            standings.append(stand(case, reference, rate, band, limits))
    return tuple(standings), tuple(missing)
