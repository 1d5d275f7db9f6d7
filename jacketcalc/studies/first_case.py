"""A case from a few sizes, refused where its drive could not push its stages."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from jacketcalc.casefile.quick_options import Asked, Fault, OptionError, Typed
from jacketcalc.casefile.quick_rules import BORES, scale_machine
from jacketcalc.casefile.quick_start import write_case
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.core.stall import stall_pressure, stroke_margin
from jacketcalc.errors import CaseError
from jacketcalc.flow_data import STANDARD_ATMOSPHERE
from jacketcalc.inputs import Machine
from jacketcalc.number_text import significant

SPARE = 0.05
"""Force to spare that a size offered as a cure leaves [-]."""
BAR = 1e5
"""One bar [Pa]."""
STEP = 0.5e-3
"""Step in which another bore of a stage is sought [m]."""
HIGHEST_SUPPLY = 14
"""Highest supply that is offered, gauge [bar]."""


def make_first_case(asked: Asked, command: str = "", *, jackets: bool = True) -> str:
    """Return the text of a case that is sound and whose drive reaches the receiver.

    Parameters
    ----------
    asked : what is told
    command : what it was told with
    jackets : whether its stages have any

    Raises
    ------
    OptionError
        When the static balance of forces stops a stroke; the message says what would do.
    CaseError
        When a size that follows from the options is outside what a case may say.
    """
    text = write_case(asked, command, jackets=jackets)
    machine = read_case_text(text, "the case that the options make").machine
    if _margin(machine) > 0.0:
        return text
    raise _refuse(asked, machine)


def _margin(m: Machine) -> float:
    """Return the least force to spare at the end of a stroke [-]."""
    return min(stroke_margin(m, stroke) for stroke in (1, 2))


def _reaches(asked: Asked) -> bool:
    """Return whether a case would be sound and its drive have force to spare."""
    try:
        machine = read_case_text(write_case(asked)).machine
    except CaseError:
        return False
    return _margin(machine) >= SPARE


def _refuse(asked: Asked, m: Machine) -> OptionError:
    """Build the error, with each size that alone would mend it."""
    cures = [cure for find in (_wider, _narrower, _stronger, _lower) if (cure := find(asked, m))]
    final = _last_stops(m)
    if final:
        reach = _gauge(stall_pressure(m))
        message = f"the drive stalls at {reach}, below the receiver, {_gauge(m.receiver_pressure)}"
    else:
        message = f'the drive cannot push stage "{m.stages[0].name}" to the end of its stroke'
    fault = Fault(
        option="--receiver" if final else "--stages",
        message=message,
        why="the balance of forces with nothing moving: supply on one side of the drive's piston, "
        "ambient on the other, less friction, against the stages",
        fix="; or ".join(cures) or "a smaller pressure ratio",
    )
    return OptionError(fault)


def _last_stops(m: Machine) -> bool:
    return stroke_margin(m, m.stages[-1].compresses_on) <= 0.0


def _gauge(pressure: float) -> str:
    return f"{significant((pressure - STANDARD_ATMOSPHERE) / BAR, 3)} bar(g)"


def _mm(size: float) -> str:
    return f"{significant(size * 1e3, 5)} mm"


def _typed_mm(size: float) -> Typed:
    return Typed(value=size, text=_mm(size))


def _typed_bar(gauge: float) -> Typed:
    return Typed(value=gauge * BAR + STANDARD_ATMOSPHERE, text=f"{gauge:g} bar(g)")


def _hold(asked: Asked) -> Asked:
    """Hold everything that follows from the options, so that one size can be changed alone."""
    made = scale_machine(asked)
    gauge = float(f"{(made.receiver - STANDARD_ATMOSPHERE) / BAR:.6g}")
    return replace(
        asked,
        bore=asked.bore or _typed_mm(made.bore),
        stroke=asked.stroke or _typed_mm(made.stroke),
        stages=asked.stages or tuple(_typed_mm(stage.bore) for stage in made.stages),
        receiver=asked.receiver or _typed_bar(gauge),
    )


def _first(asked: Asked, sizes: list[float], change: Callable[[Asked, float], Asked]) -> float:
    """Return the first size that mends it, 0 where none does."""
    held = _hold(asked)
    return next((size for size in sizes if _reaches(change(held, size))), 0.0)


def _wider(asked: Asked, m: Machine) -> str:
    sizes = [bore for bore in BORES if bore > m.drive.bore]
    found = _first(asked, sizes, lambda held, size: replace(held, bore=_typed_mm(size)))
    return f"a drive of {_mm(found)} bore" if found else ""


def _narrower(asked: Asked, m: Machine) -> str:
    """Offer another bore of the stage whose stroke stops; the other stage stays."""
    place = len(m.stages) - 1 if _last_stops(m) else 0
    own = m.stages[place].bore
    low = m.stages[1].bore if place == 0 and len(m.stages) == 2 else 2e-3
    sizes = [own - STEP * step for step in range(1, int((own - low) / STEP))]

    def change(held: Asked, size: float) -> Asked:
        bores = list(held.stages)
        bores[place] = _typed_mm(size)
        return replace(held, stages=tuple(bores))

    found = _first(asked, sizes, change)
    return f'a bore of {_mm(found)} for stage "{m.stages[place].name}"' if found else ""


def _stronger(asked: Asked, m: Machine) -> str:
    now = (m.supply.pressure - STANDARD_ATMOSPHERE) / BAR
    sizes = [half / 2 for half in range(2 * HIGHEST_SUPPLY + 1) if half / 2 > now + 1e-6]
    found = _first(asked, sizes, lambda held, size: replace(held, supply=_typed_bar(size)))
    return f"a supply of {found:g} bar(g)" if found else ""


def _lower(asked: Asked, m: Machine) -> str:
    reach = (stall_pressure(m) - STANDARD_ATMOSPHERE) / BAR
    now = (m.supply.pressure - STANDARD_ATMOSPHERE) / BAR
    sizes = [float(f"{reach * share:.2g}") for share in (0.95, 0.9, 0.85, 0.8)]
    sizes = [size for size in sizes if size > now]
    found = _first(asked, sizes, lambda held, size: replace(held, receiver=_typed_bar(size)))
    return f"a receiver of {found:g} bar(g) or less" if found else ""
