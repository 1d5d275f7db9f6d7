"""Where an exhaust passage loses its pressure: total pressure, part by part.

In each phase of a pulse the march gives static pressure, static and stagnation temperature at
every joint of the passage; of these follows the stagnation pressure

    p0 = p (T0 / T)^(cp / R),

and a part loses p0 from its beginning to its end. Behind the outlet nothing is left but the
pressure of the surroundings, so the velocity head of what leaves is lost in the last part. Phases
are weighed by the mass that they carry: the sum of the parts is the mean pressure above the
surroundings that the passage holds at the valve.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.solution import Solution
from jacketcalc.designs import port_numbers
from jacketcalc.flow import iso6358
from jacketcalc.gas.table import air
from jacketcalc.passage_geometry import ABSENT

PartName = Literal["fittings", "tube", "entry", "channel", "outlet", "exit", "silencer"]
"""Parts in the order of flow; `exit` is the end of a tube that feeds no jacket."""


@dataclass(frozen=True, kw_only=True)
class PressurePart:
    """What one part of a passage costs."""

    name: PartName
    loss: float
    """Mass-mean loss of total pressure [Pa]."""
    share: float
    """Share of the whole [-]."""


@dataclass(frozen=True, kw_only=True)
class PressureBudget:
    """What the passage of one or both drive ports costs."""

    ports: tuple[int, ...]
    """Drive ports that it serves [-]."""
    stage: str
    """Stage whose jacket it feeds; empty for none."""
    whole: float
    """Mass-mean pressure above the surroundings at the valve, quasi-steady [Pa]."""
    parts: tuple[PressurePart, ...]
    """Parts that are there, in the order of flow; they add up to the whole."""


def read_budgets(s: Solution) -> tuple[PressureBudget, ...]:
    """Return the budget of every passage; none of what is not there, or of a machine at rest."""
    if not s.runs:
        return ()
    nodes = range(len(s.numbering.nodes))
    return tuple(
        _budget(s, node) for node in nodes if float(s.record["passage"][node]["obstructs"]) > 0.0
    )


def _budget(s: Solution, node: int) -> PressureBudget:
    pulses = s.found["pulses"][node]
    phases = int(pulses["phases"])
    mass = pulses["mass"][:phases]
    weight = mass / mass.sum()
    losses = {name: float(loss @ weight) for name, loss in _losses(s, node, phases).items()}
    whole = sum(losses.values())
    stage = s.numbering.node_stage[node]
    return PressureBudget(
        ports=port_numbers(s.machine)[node],
        stage=s.machine.stages[stage].name if stage >= 0 and s.jacketed(node) else "",
        whole=whole,
        parts=tuple(
            PressurePart(name=name, loss=loss, share=loss / whole) for name, loss in losses.items()
        ),
    )


def _losses(s: Solution, node: int, phases: int) -> dict[PartName, Array]:
    """Return what each part loses in each phase, shape (phase,) [Pa]."""
    g, rows = s.record["passage"][node], s.found["march"][node][:phases]
    tubed, jacketed = float(g["tubed"]) > 0.0, s.jacketed(node)
    last = s.tube + s.cells + 1
    faces = [0, s.tube, s.tube + 1, last]
    begin, tube_end, channel, channel_end = _stagnation(rows, faces).T
    port, ambient = rows["port_pressure"], s.machine.ambient.pressure
    behind = _before_silencer(s, node, rows["T0"][:, last])
    found: dict[PartName, Array] = {}
    if tubed:
        found |= {"fittings": port - begin, "tube": begin - tube_end}
    before = tube_end if tubed else port
    if jacketed:
        found |= {"entry": before - channel, "channel": channel - channel_end,
                  "outlet": channel_end - behind}  # fmt: skip
    elif tubed:
        found["exit"] = before - behind
    if _silenced(g):
        found["silencer"] = (behind if tubed or jacketed else port) - ambient
    return found


def _stagnation(rows: Any, faces: list[int]) -> Array:
    """Return stagnation pressures, shape (phase, face) [Pa]."""
    T, p, T0 = (rows[name][:, faces] for name in ("T", "p", "T0"))
    gas = air().thermo_beyond(T, p)
    power = gas.h_T * gas.rho * T / p
    stagnation: Array = p * (T0 / T) ** power
    return stagnation


def _silenced(g: Any) -> bool:
    return float(g["silencer_sonic"]) < ABSENT["silencer_sonic"]


def _before_silencer(s: Solution, node: int, T0: Array) -> Array:
    """Return the pressure into which the passage opens, shape (phase,) [Pa]."""
    g, pulses, ambient = s.record["passage"][node], s.found["pulses"][node], s.machine.ambient
    if not _silenced(g):
        return np.full(len(T0), ambient.pressure)
    flow = pulses["mass"][: len(T0)] / pulses["time"][: len(T0)]
    C, b = float(g["silencer_sonic"]), float(g["silencer_ratio"])
    return iso6358.upstream_pressure(C, b, flow, ambient.pressure, T0)
