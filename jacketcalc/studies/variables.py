"""What a search varies: an entry, its bounds, and the step in which it can be made."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from jacketcalc.casefile.overrides import with_origin, with_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.cautions import CAUTION
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case
from jacketcalc.makeable import SAME
from jacketcalc.studies.axes import Axis, make_axis
from jacketcalc.studies.made import list_choices, made_values
from jacketcalc.studies.search import SizeRange

STEPS = {"SI": 0.5e-3, "inch-pound": 25.4e-3 / 64}
"""Steps of sizes where the case states none: half a millimetre, a sixty-fourth of an inch [m]."""


@dataclass(frozen=True, kw_only=True)
class Variable:
    """An entry that a search varies."""

    axis: Axis
    """The entry, with the ends of its range as values; one value holds it fixed."""
    step: float
    """Step in which it can be made, in SI; 0 where it counts something."""
    choices: tuple[float, ...] = ()
    """The only values it can have, in SI; empty where steps alone bind it."""
    beside: str = ""
    """Entry whose value is added to it: a search for a pitch looks for the channel's width, where
    the rib beside it is looked for too; empty elsewhere."""

    @property
    def size(self) -> float:
        """SI size of the unit in which it is typed [-]."""
        number = float(self.axis.texts[0].split(" ")[0])
        return self.axis.values[0] / number if number else 1.0

    @property
    def range(self) -> SizeRange:
        """The range in the unit it was typed in."""
        size = self.size
        numbers = [float(f"{value / size:.9g}") for value in self.axis.values]
        choices = tuple(float(f"{choice / size:.9g}") for choice in self.choices)
        low, high = (choices[0], choices[-1]) if choices else (min(numbers), max(numbers))
        return SizeRange(
            low=low, high=high, whole=self.axis.whole, made=self.step / size, choices=choices
        )


def make_variables(
    case: Case, root: str, wanted: Mapping[str, str | None], argument: str = "--"
) -> list[Variable]:
    """Read the ranges of a search and bind them by what the shop can make.

    Parameters
    ----------
    case : the case
    root : path of the jackets, `jacket` or `stage.NAME.jacket`
    wanted : ranges by `pitch`, `gap`, `starts`, `rib`, `tube`, in the order of the search; what is
        None stays as it is
    argument : what stands before a name in problems
    """
    own = {name: text for name, text in wanted.items() if text is not None}
    found = {
        name: make_variable(case, "tube.bore" if name == "tube" else f"{root}.{name}", text,
                            f"{argument}{name}")
        for name, text in own.items()
    }  # fmt: skip
    pitch, rib = found.get("pitch"), found.get("rib")
    if pitch is not None:
        found["pitch"] = bind_pitch(case, pitch, rib, f"{argument}pitch {own['pitch']}")
    return list(found.values())


def bind_pitch(case: Case, pitch: Variable, rib: Variable | None, spoken: str) -> Variable:
    """Leave to a pitch the widths of the cutters, beside the ribs that it meets.

    Raises
    ------
    CaseError
        When none of them fits between its ends.
    """
    path = pitch.axis.path
    fixed = list_choices(case, path)
    if fixed is None or len(pitch.axis.values) == 1:
        return pitch
    low, high = min(pitch.axis.values) - SAME, max(pitch.axis.values) + SAME
    if rib is None:
        choices = tuple(p for p in fixed if low <= p <= high)
    else:
        thin, thick = min(rib.axis.values), max(rib.axis.values)
        choices = tuple(w for w in case.make.cutter_widths if w + thin <= high and w + thick >= low)
    if not choices:
        problem = Problem(
            name="study-range", message="no cutter of make.cutter_widths leaves such a pitch",
            file=spoken, fix="a wider range, --rib, --stage, or another width",
            why="a pitch is a cutter's width and the rib beside it, for every jacket varied",
        )  # fmt: skip
        raise CaseError([problem])
    return replace(pitch, choices=choices, beside="" if rib is None else rib.axis.path)


def typed_length(case: Case, size: float) -> str:
    """Return a length as it is typed, in the small unit of the case."""
    unit, symbol = (25.4e-3, "in") if case.document.units == "inch-pound" else (1e-3, "mm")
    return f"{size / unit:.9g} {symbol}"


def usual_ribs(case: Case) -> str | None:
    """Return the ribs that a search looks at unasked: none where no smallest one is stated."""
    least = case.make.smallest_rib
    if least <= 0.0:
        return None
    drawn = [s.jacket.rib for s in case.machine.stages if s.jacket is not None]
    return f"{typed_length(case, least)}:{typed_length(case, 2.0 * max([*drawn, least]))}"


def usual_tubes(case: Case) -> str | None:
    """Return the bores of the shelf that a search looks at unasked: none without tubes."""
    tubed = any(e.tube is not None for e in (case.machine.exhaust_1, case.machine.exhaust_2))
    if not tubed or not case.make.tube_bores:
        return None
    return ",".join(typed_length(case, bore) for bore in case.make.tube_bores)


def make_variable(case: Case, path: str, text: str, argument: str) -> Variable:
    """Read a range such as `8mm:48mm` or, with its step, `8mm:48mm:1mm`; one value is fixed.

    Several values with commas between them are the only ones there are; of a range of tubes, those
    that are on the shelf.

    Raises
    ------
    CaseError
        When the range is not of that form, or its path names no number.
    """
    spoken = f"{argument} {text}"
    if "," in text:
        axis = make_axis(case, path, text, spoken)
        return _chosen(axis, axis.values)
    parts = [part.strip() for part in text.split(":")]
    axis = make_axis(case, path, ",".join(dict.fromkeys(parts[:2])), spoken)
    if len(parts) == 3 and not axis.whole:
        step = make_axis(case, path, parts[2], spoken).values[0]
    elif len(parts) > 2:
        problem = Problem(
            name="study-range", message="a range has two ends, and a step where it is a size",
            file=spoken, fix="write LOW:HIGH or LOW:HIGH:STEP, such as 8mm:48mm:1mm",
        )  # fmt: skip
        raise CaseError([problem])
    else:
        step = 0.0 if axis.whole else stated_step(case)
    shelf = () if path.endswith("pitch") else list_choices(case, path)
    if shelf and len(axis.values) > 1:
        inside = tuple(made_values(case, path, axis.values))
        if not inside:
            problem = Problem(name="study-range", message="no tube of make.tube_bores lies there",
                              file=spoken, fix="a wider range")  # fmt: skip
            raise CaseError([problem])
        return _chosen(axis, inside)
    return Variable(axis=axis, step=step)


def _chosen(axis: Axis, choices: Sequence[float]) -> Variable:
    """Return a variable that has a few values alone."""
    return Variable(axis=axis, step=0.0, choices=tuple(sorted(choices)))


def _comment(text: str) -> str:
    """Return a sentence as lines of a comment."""
    return "".join(f"# {line}\n" for line in textwrap.wrap(text, 78))


def stated_step(case: Case) -> float:
    """Return the step in which sizes can be made, of the case or the usual one [m]."""
    return case.make.step or STEPS[case.document.units]


def best_case(
    case: Case,
    variables: Sequence[Variable],
    texts: Sequence[str],
    aim: str,
    *,
    by: str = "jacketcalc optimise",
    before: Case | None = None,
) -> Case:
    """Return the case with a found design in it; its text says where the sizes come from.

    Parameters
    ----------
    case : the case
    variables, texts : entries that were searched, and their values as typed
    aim : what was looked for
    by : command that found it
    before : the case whose SHA-256 is named; this one when None
    """
    text = case.text
    for variable, value in zip(variables, texts, strict=True):
        text = with_value(text, variable.axis.path, value, case.file)
        text = with_origin(text, variable.axis.path, "assumed", f"found by {by}", case.file)
    sizes = ", ".join(f"{v.axis.path} {value}" for v, value in zip(variables, texts, strict=True))
    head = (
        f"# Found by {by}, {aim}:\n{_comment(sizes)}"
        "# Jackets that it changed have another source; the rest is the case with the SHA-256\n"
        f"# {(before or case).sha256}\n#\n{_comment(CAUTION)}\n"
    )
    return read_case_text(head + text, case.file)
