"""What a study keeps of each machine: columns of numbers in SI."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from jacketcalc.assessment.compare import compare
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import UNITS, Output, Outputs, Place
from jacketcalc.geometry import helix_sizes
from jacketcalc.inputs import Machine, Stage

Numbers = Mapping[str, float]
"""Column names to values."""

BAND_ENDS = ("@low", "@high")
"""What stands behind a column's name for the ends of its range; no stage's name can hold an @."""


@dataclass(frozen=True, kw_only=True)
class StudyColumn:
    """One quantity of a machine."""

    name: str
    """Stable name; a stage's name stands behind a point, groups such as `no_jackets.` in front."""
    head: str
    """Name for people."""
    dimension: str
    """Dimension that gives the units."""
    own: bool = True
    """Whether it is a number of the machine with jackets alone, compared with no other."""
    banded: bool = False
    """Whether the ends of its model range stand beside it in files."""
    output: Output | None = None
    """Result of the machine with jackets that it holds; None of sizes, changes, no jackets."""
    stage: str = ""
    """Stage whose it is; empty where it is the machine's."""

    @property
    def band(self) -> tuple[StudyColumn, ...]:
        """Columns of the ends of its range, low and high; none where it has none."""
        if not self.banded:
            return ()
        return tuple(
            StudyColumn(name=self.name + end, head=f"{self.head}, {words} end of its range",
                        dimension=self.dimension, own=self.own)
            for end, words in zip(BAND_ENDS, ("low", "high"), strict=True)
        )  # fmt: skip

    @property
    def unit(self) -> str:
        """SI unit, empty where there is none."""
        return UNITS[self.dimension]


_GEOMETRY = {"turns": ("turns", "number"), "rib": ("rib", "length")}
"""Sizes of a jacket that stand beside its results."""
CHANGE, FROM_DRAWN = "change", "from_drawn"
NO_JACKETS, NO_JACKETS_FROM_DRAWN = "no_jackets", "no_jackets_from_drawn"
_GROUPS = {
    CHANGE: "change from no jackets",
    FROM_DRAWN: "change from the drawn design",
    NO_JACKETS_FROM_DRAWN: "no jackets, change from the drawn design without its jackets",
}
"""Changes of a point: from its own machine without jackets, and of both machines from those of
the drawn design; each is paired, under the same member of the model range for both."""
ABOUT_COLUMNS = (
    "QUANTITY or QUANTITY.STAGE: the machine with jackets. "
    f"{NO_JACKETS}.QUANTITY: the same machine without jackets. "
    f"{CHANGE}.QUANTITY: change from no jackets. "
    f"{FROM_DRAWN}.QUANTITY: change from the drawn design. "
    f"{NO_JACKETS_FROM_DRAWN}.QUANTITY: the same for the machine without jackets. "
    "Changes are paired: same model member for both. "
    "@low and @high: ends of the range of a change over the members; empty without a range."
)
"""What the names of columns mean, for files and help."""
COOLING_ALONE, RESISTANCE_ALONE = "change.cooling_alone", "change.resistance_alone"
PARTS = {
    COOLING_ALONE: "delivered air by cooling alone",
    RESISTANCE_ALONE: "delivered air by resistance alone",
}
"""Changes that explain the change of delivered air, under the models of the case alone."""


def list_columns(
    machine: Machine, *, split: bool = False, outputs: Outputs = OUTPUTS
) -> tuple[StudyColumn, ...]:
    """Return the columns of a machine, in the order of tables; `split` adds `PARTS`."""
    kept = [output for output in outputs if "study" in output.on]
    found = [_column(o) for o in kept if o.owner == "machine"]
    for stage in machine.stages:
        name = stage.name
        found += [_column(o, name) for o in kept if o.owner == "stage" and not o.needs_jacket]
        if fed(machine, stage):
            found += [
                StudyColumn(name=f"{key}.{name}", head=f"{head}, {name}", dimension=d, stage=name)
                for key, (head, d) in _GEOMETRY.items()
            ]
            found += [_column(o, name) for o in kept if o.owner in ("jacket", "port")]
        found += [_column(o, name) for o in kept if o.owner == "stage" and o.needs_jacket]
    found += _compared(machine, outputs)
    found += [
        StudyColumn(name=n, head=f"{h}, change from no jackets", dimension="percent", own=False)
        for n, h in PARTS.items()
        if split
    ]
    return tuple(found)


def _column(output: Output, stage: str = "") -> StudyColumn:
    """Return the column of a result of the machine with jackets."""
    name, head = output.key, output.label
    if stage:
        name, head = f"{name}.{stage}", f"{head}, {stage}"
    return StudyColumn(name=name, head=head, dimension=output.dimension, output=output, stage=stage)


def _compared(machine: Machine, outputs: Outputs) -> list[StudyColumn]:
    """Return the columns of the machine without jackets and of what changes."""
    kept = [o for o in outputs if "study" in o.on and not o.needs_jacket]
    bare = [_column(o) for o in kept if o.owner == "machine"]
    bare += [_column(o, stage.name) for stage in machine.stages for o in kept
             if o.owner == "stage"]  # fmt: skip
    found = [
        StudyColumn(
            name=f"{NO_JACKETS}.{c.name}",
            head=f"{c.head}, no jackets",
            dimension=c.dimension,
            own=False,
        )
        for c in bare
    ]
    found += [
        StudyColumn(name=f"{group}.{o.key}", head=f"{o.label}, {words}",
                    dimension=o.change_dimension, own=False, banded=True)
        for group, words in _GROUPS.items()
        for o in outputs
        if "changes" in o.on
    ]  # fmt: skip
    return found


def fed(machine: Machine, stage: Stage) -> bool:
    """Return whether a stage has a jacket that an exhaust port feeds."""
    to = (machine.exhaust_1.to, machine.exhaust_2.to)
    return stage.jacket is not None and stage.name in to


def measure(machine: Machine, outcome: Outcome, outputs: Outputs = OUTPUTS) -> dict[str, float]:
    """Return the numbers of a machine; of one that stalls or delivers nothing, those it has."""
    numbers = measure_sizes(machine)
    if outcome.stalled:
        at_rest = {"delivered_mass_flow": 0.0, "cycle_rate": 0.0}
        return {**at_rest, "stall_pressure": outcome.stall_pressure, **numbers}
    for output in outputs:
        if "study" not in output.on:
            continue
        for place, stage in _places(machine, output):
            value = output.read(outcome, place)
            if value is not None:
                numbers[f"{output.key}.{stage}" if stage else output.key] = value
    return numbers


def _places(machine: Machine, output: Output) -> Iterator[tuple[Place, str]]:
    """Yield where a result is read, and the stage that its column names."""
    if output.owner == "machine":
        yield Place(), ""
        return
    for index, stage in enumerate(machine.stages):
        if output.owner == "port" and not fed(machine, stage):
            continue
        yield Place.of(machine, index), stage.name


def measure_sizes(machine: Machine) -> dict[str, float]:
    """Return the numbers of a machine that need no solving."""
    numbers: dict[str, float] = {}
    for stage in machine.stages:
        if stage.jacket is not None and fed(machine, stage):
            numbers[f"turns.{stage.name}"] = helix_sizes(stage, stage.jacket).turns
            numbers[f"rib.{stage.name}"] = stage.jacket.rib
    return numbers


def measure_bare(
    machine: Machine, outcome: Outcome, outputs: Outputs = OUTPUTS
) -> dict[str, float]:
    """Return the numbers of a point's machine without jackets, under the names of its group."""
    numbers = measure(machine, outcome, outputs)
    return {f"{NO_JACKETS}.{name}": value for name, value in numbers.items()}


def measure_changes(
    outcome: Outcome, base: Outcome, group: str = CHANGE, outputs: Outputs = OUTPUTS
) -> dict[str, float]:
    """Return the changes from another machine; none where that one delivers nothing.

    A machine that stalls or idles where the other one delivers has lost all its flow.
    """
    if not base.delivers:
        return {}
    found = {"delivered_mass_flow": -1.0, "cycle_rate": compare(outcome, base).cycle_rate}
    if outcome.delivers:
        compared = (o for o in outputs if "changes" in o.on)
        changes = {o.key: o.changed(outcome, base, Place()) for o in compared}
        found = {key: change for key, change in changes.items() if change is not None}
    return {f"{group}.{name}": value for name, value in found.items()}
