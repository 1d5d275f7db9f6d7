"""Pictures of one machine by their names: drawn from the case alone, or of what was solved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jacketcalc.assessment.pair import Solved
    from jacketcalc.inputs import Case
    from jacketcalc.report.pictures import MakePicture, Picture

OF_CASE = ("layout", "section")
"""Pictures that need nothing solved."""
OF_RESULT = ("p-V", "T-s", "pressure", "exhaust", "profile")
"""Pictures of both machines, solved."""
NAMES = OF_CASE + OF_RESULT
_OF_CASE = "drawn from the case, nothing solved"
_OF_PAIR, _OF_ONE = "nominal model, with and without jackets", "nominal model, the machine as it is"
"""What the label of a picture says it shows."""


def list_files(names: Sequence[str], case: Case, formats: Sequence[str]) -> list[str]:
    """Return how the names of the pictures' files end, before anything is drawn."""
    stages = [f"-{stage.name}" for stage in case.machine.stages]
    parts = {"section": stages, "profile": ["", *(f"-{name}" for name in _fed(case))]}
    whole = [f"-{name}{part}" for name in names for part in parts.get(name, [""])]
    return [f"{name}.{form}" for name in whole for form in formats]


def _fed(case: Case) -> list[str]:
    """Return the stages whose jackets are fed."""
    goals = (case.machine.exhaust_1.to, case.machine.exhaust_2.to)
    return [s.name for s in case.machine.stages if s.jacket is not None and s.name in goals]


def case_drawings(
    names: Sequence[str], case: Case, formats: Sequence[str]
) -> dict[str, MakePicture]:
    """Return the pictures that need nothing solved, by the endings of their files."""
    from functools import partial

    from jacketcalc.report.figures.layout import describe_layout, draw_layout
    from jacketcalc.report.figures.section import describe_section, draw_section
    from jacketcalc.report.figures.stage_part import case_part
    from jacketcalc.report.pictures import Picture, picture_files

    made: dict[str, Picture] = {}
    if "layout" in names:
        made["-layout"] = Picture(partial(draw_layout, case), describe_layout(case))
    if "section" in names:
        for i, stage in enumerate(case.machine.stages):
            part = case_part(case, i)
            made[f"-section-{stage.name}"] = Picture(
                partial(draw_section, part), describe_section(part)
            )
    return picture_files(made, case, _OF_CASE, formats)


def result_drawings(
    names: Sequence[str], found: Solved, formats: Sequence[str]
) -> dict[str, MakePicture]:
    """Return the pictures of both machines, by the endings of their files; both must run."""
    from functools import partial

    from jacketcalc.assessment.pair import is_alone
    from jacketcalc.report.figures.along import describe_along, draw_along
    from jacketcalc.report.figures.pressures import describe_pressures, draw_pressures
    from jacketcalc.report.figures.pulse import describe_pulse, draw_pulse
    from jacketcalc.report.figures.pv import describe_pv, draw_pv
    from jacketcalc.report.figures.ts import describe_ts, draw_ts
    from jacketcalc.report.figures.wall import describe_wall, draw_wall
    from jacketcalc.report.pictures import Picture, picture_files

    case, made = found.case, {}
    if "p-V" in names:
        made["-p-V"] = Picture(partial(draw_pv, found), describe_pv(found))
    if "T-s" in names:
        made["-T-s"] = Picture(partial(draw_ts, found), describe_ts(found))
    if "pressure" in names:
        made["-pressure"] = Picture(partial(draw_pressures, found), describe_pressures(found))
    if "exhaust" in names:
        made["-exhaust"] = Picture(partial(draw_pulse, found), describe_pulse(found))
    if "profile" in names:
        made["-profile"] = Picture(partial(draw_wall, found), describe_wall(found))
        for name in _fed(case):
            along = partial(draw_along, found, name)
            made[f"-profile-{name}"] = Picture(along, describe_along(found, name))
    if is_alone(found):
        made = {n: p._replace(alt=f"{n[1:]} of the machine as it is.") for n, p in made.items()}
    return picture_files(made, case, _OF_ONE if is_alone(found) else _OF_PAIR, formats)
