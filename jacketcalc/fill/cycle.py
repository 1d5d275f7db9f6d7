"""What a machine's cycles carry at one instant of a fill."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.core.read_outcome import per_mass, rubbed_rings, temperature
from jacketcalc.core.solution import Solution

BEFORE_STAGES, AFTER_STAGES = 4, 4
"""Terms of the energy balance before those of the stages, and after them; see balance.c [-]."""

ALL = 0.999
"""Share of its capacity from which a compressor counts as giving all it can [-]."""


@dataclass(frozen=True, kw_only=True)
class Cycle:
    """What the machine carries at one instant of a fill, as means over a cycle."""

    period: float
    """Cycle time [s]."""
    waits: float
    """Share of it that the machine rests for its compressor [-]."""
    delivered: float
    """Mass flow into the receiver [kg/s]."""
    delivered_enthalpy: float
    """Enthalpy flow into it, on the table's datum [W]."""
    drive_air: float
    """Mass flow into the drive [kg/s]."""
    stage_air: float
    """Mass flow that stages draw from the supply or a source [kg/s]."""
    taken: float
    """Air that it takes of the supply [kg/s]."""
    exhaust: float
    """Mass flow out of the exhausts [kg/s]."""
    supplied_enthalpy: float
    """Enthalpy flow from supply and source into drive and stages [W]."""
    lost: float
    """Energy flow out of the machine but for the receiver: exhaust and heat to the surroundings, on
    the table's datum [W]."""
    discharge: tuple[float, ...]
    """Mass-mean discharge temperature of each stage [K]."""
    seal: tuple[float, ...]
    """Hottest of piston crown and barrel under the seal's travel, each stage [K]."""


def read_cycle(s: Solution) -> Cycle:
    """Return what a solution's cycles carry."""
    period, n, dt = s.period, s.numbering, s.whole["dt"]
    final = [i for i, after in enumerate(n.after) if after < 0]
    first = [i for i, line in enumerate(n.lines) if line < 0]
    mass = dt @ s.whole["flow"] / period
    heat = dt @ s.whole["enthalpy"] / period
    taken = float(mass[0] + sum(mass[2 + 2 * i] for i in first if n.lines[i] == -1))
    # An imposed cycle rate makes it rest too.
    short = 0.0 < float(s.record["capacity"]) * ALL <= taken
    exhaust = float((dt @ s.whole["exhaust"]).sum()) / period
    out = slice(3, BEFORE_STAGES + 2 * len(n.stages) + AFTER_STAGES)
    lost = -float(s.found["balance"][out].sum()) + float(s.record["ambient_enthalpy"]) * exhaust
    behind = [
        float(s.record["receiver_pressure"]) if after < 0
        else float(s.whole["p"][:, after] @ dt) / period
        for after in n.after
    ]  # fmt: skip
    barrels = s.found["barrel"][: len(n.stages)]
    return Cycle(
        period=period,
        waits=2.0 * float(s.found["start"]["wait"]) / period if short else 0.0,
        delivered=float(sum(mass[3 + 2 * i] for i in final)),
        delivered_enthalpy=float(sum(heat[3 + 2 * i] for i in final)),
        drive_air=float(mass[0]),
        stage_air=float(sum(mass[2 + 2 * i] for i in first)),
        taken=taken,
        exhaust=exhaust,
        supplied_enthalpy=float(heat[0] + sum(heat[2 + 2 * i] for i in first)),
        lost=lost,
        discharge=tuple(
            temperature(s, per_mass(heat[3 + 2 * i], mass[3 + 2 * i]), p)
            for i, p in enumerate(behind)
        ),
        seal=tuple(
            float(max(b["inside"][: s.rings][rubbed_rings(s, i)].max(), b["crown"]))
            for i, b in enumerate(barrels)
        ),
    )
