"""Jackets to begin a search with: wound by rules, in sizes that can be made."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from jacketcalc.casefile.quick_jacket import LEAST_OFFSET, OFFSET, SHORT, wind_jacket
from jacketcalc.casefile.quick_rules import TUBE_SHARE, TUBES
from jacketcalc.casefile.read_field import read_sizes
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.winding import Entries, wind
from jacketcalc.errors import CaseError, Problem
from jacketcalc.flow_data import throat_area
from jacketcalc.geometry import barrel_outside, circle_diameter
from jacketcalc.inputs import Case, Machine, Stage
from jacketcalc.makeable import SAME, is_one_of
from jacketcalc.quantity_problems import QuantityError
from jacketcalc.studies.variables import STEPS, typed_length

ORIGIN = "wound by jacketcalc propose"
"""Reference of the jackets and tubes of a proposal."""
LENGTHS = (0.4, 0.55, 0.7, 0.85, 1.0)
"""Lengths of a winding that are looked at, over the longest that fits [-]."""
END = 0.010
"""Barrel that stays free beyond a winding, for the flange; practice, no source [m]."""
TUBE_LENGTH, TUBE_WALL = "0.4 m", "2 mm"
"""Tube that a port gets where it has none; practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Route:
    """Where each port's exhaust goes."""

    goals: tuple[str, str]
    """Stages that port 1 and port 2 feed."""
    case: Case
    """The case with first jackets and this route."""


def list_routes(case: Case) -> tuple[Route, ...]:
    """Return every way to feed a stage from each port, first jackets wound round their barrels.

    Of more than two stages two have a jacket; one stage takes the exhaust of both ports.
    """
    names = [stage.name for stage in case.machine.stages]
    goals = list(itertools.permutations(names, 2)) or [(names[0], names[0])]
    drawn = (case.machine.exhaust_1.to, case.machine.exhaust_2.to)
    order = sorted(goals, key=lambda own: (own != drawn, names.index(own[0]) == 0))
    jackets = {stage.name: first_jacket(case, stage) for stage in case.machine.stages}
    tube = first_tube(case)
    found = []
    for own in order:
        fed = {name: jackets[name] for name in own}
        text = wind(case, fed, own, tube, ORIGIN)
        found.append(Route(goals=own, case=read_case_text(text, case.file)))
    return tuple(found)


def first_jacket(case: Case, stage: Stage) -> Entries:
    """Return the entries of a jacket by the rules of a quick start, as they can be made."""
    machine, step = case.machine, made_step(case)
    barrel, sonic = barrel_outside(stage), machine.valve.exhaust_path.sonic
    ruled = wind_jacket(barrel, machine.drive.stroke, sonic)
    rib = up(max(ruled.rib, case.make.smallest_rib), step)
    pitch = down(ruled.pitch, step)
    if case.make.cutter_widths:
        pitch = rib + min(case.make.cutter_widths, key=lambda w: abs(w + rib - ruled.pitch))
    # Fine barrels ask for fine pitches: the rib gives way where it would fill its pitch.
    pitch = max(pitch, rib + step)
    gap = max(down(ruled.gap, step), step)
    sizes = {
        "gap": (gap, "radial height of the channel"),
        "pitch": (pitch, "between neighbouring ribs: lead divided by starts"),
        "rib": (rib, "axial thickness of a rib"),
        "length": (longest(case, stage), "inlet centre to outlet centre"),
        "offset": (first_offset(machine, step), "room for the inlet"),
        "shell_thickness": (max(ruled.shell, step), "1/20 of the shell's bore, at least 4 mm"),
    }
    return {
        **{key: (typed_length(case, size), why) for key, (size, why) in sizes.items()},
        "starts": (1, "parallel helices"),
        "rib_joint": ("shell", "the ribs are one piece with the shell"),
        "shell_material": ("POM", "can be turned or moulded"),
    }


def first_tube(case: Case) -> Entries:
    """Return the entries of a tube for a port that has none."""
    bores = tube_bores(case)
    least = circle_diameter(TUBE_SHARE * throat_area(case.machine.valve.exhaust_path.sonic))
    bore = next((b for b in bores if b >= least), bores[-1])
    return {"bore": (typed_length(case, bore), ""), "wall": (TUBE_WALL, ""),
            "length": (TUBE_LENGTH, ""), "material": ("PA12", "")}  # fmt: skip


def tube_bores(case: Case) -> tuple[float, ...]:
    """Return the bores to look at: the shelf's, else the drawn one and usual ones up to wide [m].

    Wide is a bore of four times the area of the valve's throat.
    """
    if case.make.tube_bores:
        return case.make.tube_bores
    tubes = [e.tube for e in (case.machine.exhaust_1, case.machine.exhaust_2) if e.tube]
    drawn = {tube.bore for tube in tubes}
    throat = throat_area(case.machine.valve.exhaust_path.sonic)
    least = min(drawn) if drawn else circle_diameter(throat)
    wide = next((b for b in TUBES.values() if b >= circle_diameter(TUBE_SHARE * throat)), 0.0)
    usual = [b for b in TUBES.values() if least + SAME < b <= wide]
    new = [b for b in usual if not drawn or not is_one_of(b, tuple(drawn))]
    found = sorted({*drawn, *new})
    return tuple(found) if found else (max(TUBES.values()),)


def read_bores(text: str) -> tuple[float, ...]:
    """Read bores of tubes such as `12mm,16mm,19mm`, rising.

    Raises
    ------
    CaseError
        When they are none.
    """
    try:
        return read_sizes(text)
    except QuantityError as fault:
        problem = Problem(name=fault.name, message=fault.message, file=f"--tube {text}",
                          why=fault.why, fix=fault.fix)  # fmt: skip
    raise CaseError([problem])


def made_step(case: Case) -> float:
    """Return the step of sizes: the shop's, or the usual one [m]."""
    return case.make.step or STEPS[case.document.units]


def first_offset(machine: Machine, step: float) -> float:
    """Return where a winding begins, in steps [m]."""
    return up(OFFSET if machine.drive.stroke >= SHORT else LEAST_OFFSET, step)


def longest(case: Case, stage: Stage) -> float:
    """Return the longest winding that fits on a barrel beside its offset and its end [m]."""
    step = made_step(case)
    space = stage.barrel_length - first_offset(case.machine, step) - END
    return max(down(space, step), step)


def lengths(case: Case, stage: Stage) -> tuple[float, ...]:
    """Return the lengths of a winding that are looked at, as they can be made [m]."""
    step, most = made_step(case), longest(case, stage)
    return tuple(dict.fromkeys(max(down(share * most, step), step) for share in LENGTHS))


def down(size: float, step: float) -> float:
    """Return a size rounded down to a step [m]."""
    return math.floor(size / step + 1e-6) * step


def up(size: float, step: float) -> float:
    """Return a size rounded up to a step [m]."""
    return math.ceil(size / step - 1e-6) * step
