"""What a mutation does to the verdict, and to one iteration of the machine."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from jacketcalc.assessment.compare import hottest_discharge
from jacketcalc.components import chambers
from jacketcalc.components.contents import near_contents
from jacketcalc.components.designs import Design
from jacketcalc.components.stroke_grid import Resolution
from jacketcalc.coupling import iteration
from jacketcalc.coupling.run import run
from jacketcalc.coupling.unknowns import pack
from jacketcalc.gas.table import air
from jacketcalc.inputs import Machine

STEPS = Resolution(release=3, travel=16, rest=5, settled=2e-3)
"""Few steps: what is asked is whether a mutation changes anything."""
TILT = 30.0
"""Rise of the barrels from head to mount, and of heads over crowns, to start from [K]."""


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """The numbers that a verdict rests on."""

    gain: float
    """Delivered flow, jacketed over bare, less 1 [-]."""
    discharge: float
    """Hottest mean discharge temperature of the jacketed machine [K]."""
    flow: float
    """Delivered mass flow of the jacketed machine [kg/s]."""
    tight: float
    """The gain of the machine with tightly wound jackets, over the same bare one [-]."""
    failure: str = ""
    """Why a machine did not settle, or that it stalls; empty when all is well."""


def verdict(machines: tuple[Machine, ...]) -> Verdict:
    """Solve a bare, a jacketed and a tightly jacketed machine."""
    results = run([Design(machine=machine) for machine in machines])
    bare, jacketed, tight = (r.outcome for r in results)
    words = (r.failure or ("a machine stalls" if r.outcome.stalled else "") for r in results)
    start = bare.delivered_mass_flow or float("nan")
    return Verdict(
        gain=jacketed.delivered_mass_flow / start - 1.0,
        discharge=hottest_discharge(jacketed),
        flow=jacketed.delivered_mass_flow,
        tight=tight.delivered_mass_flow / start - 1.0,
        failure="; ".join(filter(None, words)),
    )


def once_round(machine: Machine) -> NDArray[np.float64]:
    """Iterate a machine once, from walls of uneven temperature; return all its unknowns."""
    # Names are looked up here, so that a mutation of them is felt.
    network = chambers.build_network([Design(machine=machine)], air())
    step = iteration.Iteration(network, air(), STEPS)
    u = step.start()
    rise = np.linspace(0.0, TILT, len(u.inside))[:, None, None]
    u = replace(u, inside=u.inside + rise, outside=u.outside + rise, head=u.head + TILT)
    guess = near_contents(air(), u.m, u.U, step.strokes[0].start_volume)
    with np.errstate(all="ignore"):
        new, _ = step(u, guess)
    return pack(new, {})[:, 0]
