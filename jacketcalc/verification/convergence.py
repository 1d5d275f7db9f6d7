"""How the numerics of the whole machine converge: `python -m ...convergence CASE`.

Each resolution is halved and doubled about its default, the others held, and the headline
numbers are extrapolated. A few seconds; not part of `verify`.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import dataclass, replace

from jacketcalc.casefile.reading import read_case
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError
from jacketcalc.inputs import Machine
from jacketcalc.verification.grid_convergence import Convergence, grid_convergence

FACTORS = (0.5, 1.0, 2.0)
"""Resolutions over the default [-]."""
SETTLED = 1e-6
"""Newton change at which a step ends: far below what steps differ by [-]."""
STROKE_STEPS = "stroke steps"
KNOBS: Mapping[str, tuple[str, ...]] = {
    "march cells": ("tube_cells", "channel_cells"),
    "curve levels": ("levels",),
    "wall rings": ("rings",),
    "pulse phases": ("phases",),
    STROKE_STEPS: (),
}
"""Resolution by name, with its fields that are scaled."""


@dataclass(frozen=True, kw_only=True)
class Study:
    """One resolution varied."""

    knob: str
    """Name of the resolution."""
    found: Mapping[str, Convergence]
    """Headline number to its convergence."""


def study(machine: Machine, knob: str) -> Study:
    """Vary one resolution of a machine.

    Raises
    ------
    ConvergenceError
        When the machine stalls or does not settle at one of the resolutions.
    """
    rows = [_headline(machine, knob, factor) for factor in FACTORS]
    return Study(
        knob=knob,
        found={name: grid_convergence([row[name] for row in rows]) for name in rows[0]},
    )


def convergence_text(studies: list[Study]) -> str:
    """Return the table of orders, estimated errors and indices."""
    lines = ["Half, default and double resolution; error and index are of the default.", ""]
    for one in studies:
        lines.append(one.knob.upper())
        lines.append(f"  {'':34} {'value':>12} {'order':>10} {'error':>9} {'index':>9}")
        for name, c in one.found.items():
            order = c.note or f"{c.order:.2f}"
            lines.append(
                f"  {name:34} {c.values[1]:12.6g} {order:>10} {c.error:9.1e} {c.index:9.1e}"
            )
        lines.append("")
    return "\n".join(lines)


def _headline(machine: Machine, knob: str, factor: float) -> dict[str, float]:
    resolution = Resolution().scaled(factor if knob == STROKE_STEPS else 1.0)
    sizes = {name: max(2, round(getattr(resolution, name) * factor)) for name in KNOBS[knob]}
    resolution = replace(resolution, settled=SETTLED, **sizes)
    result = run([Design(machine=machine)], resolution=resolution)[0]
    if result.failure or result.outcome.stalled:
        words = result.failure or "the machine stalls"
        raise ConvergenceError(f"{knob} at {factor:g} of the default: {words}")
    return _numbers(result.outcome)


def _numbers(outcome: Outcome) -> dict[str, float]:
    """Return the numbers that the verdict rests on."""
    numbers = {
        "delivered flow [kg/s]": outcome.delivered_mass_flow,
        "cycle rate [1/s]": outcome.cycle_rate,
        "drive air per kg [-]": outcome.specific_air_consumption,
    }
    for stage in outcome.stages:
        numbers[f"{stage.name}: charge [K]"] = stage.compression_start_temperature
        numbers[f"{stage.name}: discharge [K]"] = stage.discharge_temperature
        numbers[f"{stage.name}: wall, mean [K]"] = stage.wall_temperature.mean
        if stage.jacket is not None:
            numbers[f"{stage.name}: jacket heat [W]"] = stage.jacket.heat
            numbers[f"{stage.name}: back-pressure, mean [Pa]"] = stage.jacket.back_pressure_mean
    return numbers


def main(arguments: list[str]) -> int:
    """Print the convergence of a case; return 0, or 2 when no case is named."""
    if len(arguments) != 1:
        sys.stderr.write("usage: python -m jacketcalc.verification.convergence CASE\n")
        return 2
    machine = read_case(arguments[0]).machine
    sys.stdout.write(convergence_text([study(machine, knob) for knob in KNOBS]))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
