"""What a search varies: an entry, its bounds, and the step in which it can be made."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from jacketcalc.casefile.overrides import with_origin, with_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.cautions import CAUTION
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case
from jacketcalc.studies.axes import Axis, make_axis
from jacketcalc.studies.search import SizeRange

STEPS = {"SI": 0.5e-3, "inch-pound": 25.4e-3 / 64}
"""Steps of sizes where the case states none: half a millimetre, a sixty-fourth of an inch [m]."""
ORIGIN = ("assumed", "found by jacketcalc optimise")
"""Source and reference of jackets that a search changed."""


@dataclass(frozen=True, kw_only=True)
class Variable:
    """An entry that a search varies."""

    axis: Axis
    """The entry, with the ends of its range as values; one value holds it fixed."""
    step: float
    """Step in which it can be made, in SI; 0 where it counts something."""

    @property
    def range(self) -> SizeRange:
        """The range in the unit it was typed in."""
        numbers = [float(text.split(" ")[0]) for text in self.axis.texts]
        size = self.axis.values[0] / numbers[0] if numbers[0] else 1.0
        return SizeRange(
            low=min(numbers), high=max(numbers), whole=self.axis.whole, made=self.step / size
        )


def make_variable(case: Case, path: str, text: str, argument: str) -> Variable:
    """Read a range such as `8mm:48mm` or, with its step, `8mm:48mm:1mm`; one value is fixed.

    Raises
    ------
    CaseError
        When the range is not of that form, or its path names no number.
    """
    spoken = f"{argument} {text}"
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
    return Variable(axis=axis, step=step)


def _comment(text: str) -> str:
    """Return a sentence as lines of a comment."""
    return "".join(f"# {line}\n" for line in textwrap.wrap(text, 78))


def stated_step(case: Case) -> float:
    """Return the step in which sizes can be made, of the case or the usual one [m]."""
    return case.make.step or STEPS[case.document.units]


def best_case(case: Case, variables: Sequence[Variable], texts: Sequence[str], aim: str) -> Case:
    """Return the case with a found design in it; its text says where the sizes come from."""
    text = case.text
    for variable, value in zip(variables, texts, strict=True):
        text = with_value(text, variable.axis.path, value, case.file)
        text = with_origin(text, variable.axis.path, *ORIGIN, case.file)
    sizes = ", ".join(f"{v.axis.path} {value}" for v, value in zip(variables, texts, strict=True))
    head = (
        f"# Found by jacketcalc optimise, {aim}:\n# {sizes}\n"
        "# Jackets that it changed have another source; the rest is the case with the SHA-256\n"
        f"# {case.sha256}\n#\n{_comment(CAUTION)}\n"
    )
    return read_case_text(head + text, case.file)
