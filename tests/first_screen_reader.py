"""The first screen read back, and assessments whose model range was put in place."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import NamedTuple

from changed import judged_by
from report_sample import found

from jacketcalc.assessment.compare import compare, make_band
from jacketcalc.assessment.result import Assessment, BandMember
from jacketcalc.core.outcome import Outcome
from jacketcalc.inputs import Currency

NUMBER = r"[-+]?\d+(?:\.\d+)?"
CURRENCIES: tuple[Currency, ...] = (
    "delivery",
    "specific air consumption",
    "discharge temperature",
)
HEADS = ("LIMITS", "WATER", "STALL", "INPUTS", "LEFT OUT", "WHY", "LOSS", "NEXT")
MIXING = {"in-cylinder mixing none": -0.02, "in-cylinder mixing full": 0.06}
JACKET = {"jacket heat transfer low": -0.01, "jacket heat transfer high": 0.03}
LAW = {"in-cylinder law x 0.67": -0.03, "in-cylinder law x 2": 0.07}
FILM = {"film outside x 0.7": 0.02, "film outside x 2.5": -0.005}


class ReadRow(NamedTuple):
    """A row of the table, or a line of the answer, as printed."""

    values: tuple[str, ...]
    """Numbers before the change."""
    change: str
    low: str
    high: str
    unit: str
    """Unit of the change."""


def statements_of(text: str) -> dict[str, str]:
    """Return each statement of a screen by the word before it, on one line."""
    told: dict[str, list[str]] = {}
    head = ""
    for line in text.split("\n"):
        if line[:9].strip() in HEADS:
            head = line[:9].strip()
            told[head] = [line[9:]]
        elif head and line.startswith(" " * 9):
            told[head].append(line.strip())
        else:
            head = ""
    return {head: " ".join(lines) for head, lines in told.items()}


def answer_of(text: str) -> dict[str, ReadRow]:
    """Return what the answer says of each currency, in its order."""
    block = text.split("\n\n")[1]
    rows = re.findall(
        rf"({'|'.join(CURRENCIES)}) +({NUMBER}) (%|K|R) +({NUMBER}) \3 to ({NUMBER}) \3$",
        block,
        re.M,
    )
    return {name: ReadRow((), value, low, high, unit) for name, value, unit, low, high in rows}


def table_of(text: str) -> dict[str, ReadRow]:
    """Return the rows of the table by label and unit."""
    (block,) = [b for b in text.split("\n\n") if "model range" in b.split("\n")[0]]
    rows = {}
    for line in block.split("\n")[1:]:
        row = re.fullmatch(
            rf"(.{{25}})(\S+) +({NUMBER}) +({NUMBER})"
            rf" +({NUMBER}) (\S+) +({NUMBER}) to ({NUMBER}) \6",
            line,
        )
        assert row is not None, line
        label, unit, old, new, change, of, low, high = row.groups()
        rows[f"{label.strip()} / {unit}"] = ReadRow((old, new), change, low, high, of)
    return rows


def varied(gains: dict[str, float], by: Currency = "delivery", nominal: float = 0.01) -> Assessment:
    """Return the main case with a gain of the judged currency put in each member, positive better.

    A gain of 0.01 is 1 % of delivery or of specific air consumption, or 1 K.
    """
    whole = found("hot")
    first = whole.band.members[0]
    members = [_gaining(first, by, nominal)]
    members += [_gaining(replace(first, label=label), by, gain) for label, gain in gains.items()]
    split = replace(whole.split, cooling_alone=None)
    changed = replace(
        whole, jacketed=members[0].jacketed, change=members[0].change, other=None, split=split,
        band=make_band(members, members[0]),
    )  # fmt: skip
    return judged_by(changed, by)


def _gaining(member: BandMember, by: Currency, gain: float) -> BandMember:
    bare = member.bare
    new = {
        "delivery": lambda: replace(
            member.jacketed, delivered_mass_flow=(1 + gain) * bare.delivered_mass_flow
        ),
        "specific air consumption": lambda: replace(
            member.jacketed, specific_air_consumption=(1 - gain) * bare.specific_air_consumption
        ),
        "discharge temperature": lambda: _hot(member.jacketed, bare.hottest_discharge - 100 * gain),
    }[by]()
    return replace(member, jacketed=new, change=compare(new, bare))


def _hot(outcome: Outcome, temperature: float) -> Outcome:
    stages = tuple(replace(s, discharge_temperature=temperature) for s in outcome.stages)
    return replace(outcome, stages=stages)
