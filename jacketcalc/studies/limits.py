"""What every design of a study must keep: limits of the case, of its materials, and asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jacketcalc.inputs import Case, Stage
from jacketcalc.studies.columns import Numbers, fed
from jacketcalc.unit_display import System, format_quantity

NAMES = ("rib", "turns", "discharge", "seal", "barrel", "passage", "frost", "condensation",
         "back-pressure")  # fmt: skip
"""Names of the limits."""
OF_SIZES = ("rib", "turns")
"""Limits that a design is seen to break before it is solved."""
KELVIN = 10.0
"""Excess of a temperature that weighs as much as a length or a pressure twice its limit [K]."""
SLACK = 1e-9
"""Excess over a limit that is rounding: ribs are read back from text in other units [-]."""


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What a design must keep beside the limits of its case; None where nothing is asked."""

    rib: float | None = None
    """Least rib thickness that can be made; `make.smallest_rib` when None [m]."""
    discharge: float | None = None
    """Highest mean discharge temperature of any stage [K]."""
    back_pressure: float | None = None
    """Highest peak of back-pressure [Pa]."""
    frost: float | None = None
    """Least margin of the passage walls over the frost or dew point of their own pressure [K]."""
    turns: float | None = None
    """Fewest turns of each start round its cylinder [-]."""
    ignored: frozenset[str] = frozenset()
    """Limits that need not be kept, of `NAMES`."""


@dataclass(frozen=True, kw_only=True)
class Bound:
    """One limit, on one column or on the same column of several stages."""

    name: str
    """Stable short name."""
    words: str
    """What breaking it is, `{}` where the limit stands, such as `discharge above {}`."""
    dimension: str
    """Dimension of the limit."""
    terms: tuple[tuple[str, float], ...]
    """Columns with their limits, in SI."""
    most: bool = True
    """Whether the limits are highest values; lowest ones when not."""

    def excess(self, numbers: Numbers) -> float | None:
        """Return by how much the worst column passes its limit in SI, None without a number."""
        sign = 1.0 if self.most else -1.0
        found = [
            sign * (numbers[column] - limit) - SLACK * abs(limit)
            for column, limit in self.terms
            if column in numbers
        ]
        return max(found) if found else None

    def say(self, system: System) -> str:
        """Return what breaking it is, such as `discharge above 150 degC`."""
        limits = dict.fromkeys(
            format_quantity(limit, self.dimension, system, 4) for _, limit in self.terms
        )
        return self.words.format(" or ".join(limits))

    def broken(self, numbers: Numbers) -> float:
        """Return by how much the limit is passed, over a scale of its own; 0 where it is kept."""
        excess = self.excess(numbers)
        if excess is None or excess <= 0.0:
            return 0.0
        if self.dimension in ("temperature", "temperature difference"):
            return excess / KELVIN
        return excess / max(abs(limit) for _, limit in self.terms)


def list_bounds(case: Case, asked: Limits) -> tuple[Bound, ...]:
    """Return the limits of a case's machine, of its materials, and those asked for.

    Those that are ignored are left out.
    """
    stages = case.machine.stages
    jacketed = [stage for stage in stages if fed(case.machine, stage)]
    every = [*_of_sizes(case, asked, jacketed), *_of_heat(case, asked), *_of_cold(case, asked)]
    if asked.back_pressure is not None:
        limit = asked.back_pressure
        terms = tuple((f"back_pressure_peak.{s.name}", limit) for s in jacketed)
        every.append(
            Bound(name="back-pressure", words="back-pressure peak above {}",
                  dimension="pressure difference", terms=terms)
        )  # fmt: skip
    return tuple(b for b in every if b.terms and b.name not in asked.ignored)


def _of_sizes(case: Case, asked: Limits, jacketed: Sequence[Stage]) -> Iterator[Bound]:
    limit = case.make.smallest_rib if asked.rib is None else asked.rib
    if limit > 0.0:
        terms = tuple((f"rib.{s.name}", limit) for s in jacketed)
        yield Bound(name="rib", words="rib thinner than {}", dimension="length", terms=terms,
                    most=False)  # fmt: skip
    if asked.turns is not None:
        terms = tuple((f"turns.{s.name}", asked.turns) for s in jacketed)
        yield Bound(name="turns", words="fewer turns than {}", dimension="number", terms=terms,
                    most=False)  # fmt: skip


def _of_heat(case: Case, asked: Limits) -> Iterator[Bound]:
    stages = case.machine.stages
    limit = case.judgement.discharge_limit if asked.discharge is None else asked.discharge
    hot = {
        "discharge": ("discharge above {}", (("hottest_discharge", limit),)),
        "seal": (
            "wall at a seal above {}",
            tuple((f"seal_temperature.{s.name}", s.seal.highest) for s in stages),
        ),
        "barrel": (
            "barrel above its service temperature of {}",
            tuple((f"wall_hottest.{s.name}", s.material.highest) for s in stages),
        ),
    }  # fmt: skip
    for name, (words, terms) in hot.items():
        yield Bound(name=name, words=words, dimension="temperature", terms=terms)


def _of_cold(case: Case, asked: Limits) -> Iterator[Bound]:
    machine = case.machine
    coldest = []
    for stage in machine.stages:
        if stage.jacket is None or not fed(machine, stage):
            continue
        tubes = [e.tube for e in (machine.exhaust_1, machine.exhaust_2) if e.to == stage.name]
        solids = [stage.jacket.shell, *(tube.material for tube in tubes if tube is not None)]
        coldest.append((f"passage_coldest.{stage.name}", max(s.lowest for s in solids)))
    words = "shell or tube below its service temperature of {}"
    yield Bound(name="passage", words=words, dimension="temperature", terms=tuple(coldest),
                most=False)  # fmt: skip
    words = "passage walls less than {} over their frost point"
    yield Bound(
        name="frost", words=words if asked.frost else "passage walls below their frost point",
        dimension="temperature difference", terms=(("frost_margin", asked.frost or 0.0),),
        most=False,
    )  # fmt: skip
    dew = tuple((f"condensation_margin.{s.name}", 0.0) for s in machine.stages)
    yield Bound(name="condensation", words="water can condense in a stage",
                dimension="temperature difference", terms=dew, most=False)  # fmt: skip
