"""Reads outcomes out of a solution: the numbers a designer asks for, from its arrays."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from jacketcalc.arrays import Array
from jacketcalc.core.equivalent import equivalent_conductance
from jacketcalc.core.gas import core_gas
from jacketcalc.core.outcome import (
    JacketOutcome,
    Outcome,
    StageGas,
    StageOutcome,
    WallTemperature,
)
from jacketcalc.core.resting import resting_outcome
from jacketcalc.core.solution import Solution
from jacketcalc.core.stall import force_margin, stall_pressure
from jacketcalc.core.surface import read_surface
from jacketcalc.core.traces import read_water
from jacketcalc.findings.cold import Cold, exhaust_cold
from jacketcalc.findings.passage_water import FLOWING
from jacketcalc.gas.table import air

CHOKED = 0.999
"""Mach number from which a flow counts as choked [-]."""
CAPACITY = 1005.0
"""Specific heat of the exhaust, as in pulses.c [J/(kg K)]."""


def read_outcome(s: Solution) -> Outcome:
    """Return the outcome of a machine that runs, or of one at rest where it does not."""
    if not s.runs:
        return resting_outcome(s)
    with np.errstate(invalid="ignore", divide="ignore"):
        return _outcome(s)


def _outcome(s: Solution) -> Outcome:
    m = s.machine
    rate = 1.0 / s.period
    drive = s.carried(0)
    final = [i for i, after in enumerate(s.numbering.after) if after < 0]
    delivered = sum(s.carried(3 + 2 * i) for i in final)
    work = _drive_work(s)
    ambient = m.ambient.pressure
    nodes = list(s.numbering.nodes)
    mass = s.whole["exhaust"][:, : len(nodes)] * s.whole["dt"][:, None]
    back = s.whole["p"][:, nodes] - ambient
    back_mean = (mass * back).sum(axis=0) / mass.sum(axis=0)
    back_peak = s.found["peak"][: len(nodes)] - ambient
    port = float((s.whole["exhaust_enthalpy"] * s.whole["dt"][:, None]).sum())
    bound = exhaust_cold(
        air(),
        supply_temperature=m.supply.temperature,
        ambient_pressure=ambient,
        mass_flow=float(mass.sum()) * rate,
        enthalpy_flow=port * rate,
    )
    heats = [_jacket_heat(s, node) for node in range(len(nodes))]
    wait = float(s.found["start"]["wait"])
    stages = []
    for i in range(len(m.stages)):
        node = s.node_of(i)
        jacket = None
        if node >= 0 and s.jacketed(node):
            jacket = _jacket(s, node, heats[node], float(back_mean[node]), float(back_peak[node]))
        stages.append(_stage(s, i, jacket))
    start, p_all = s.found["start"], s.whole["p"][:, : s.numbering.count]
    flows = list(_flows(s))
    return Outcome(
        cycle_rate=rate,
        delivered_mass_flow=rate * delivered,
        drive_air_mass_flow=rate * drive,
        specific_air_consumption=drive / delivered if delivered > 0 else 0.0,
        drive_work=work,
        drive_wall_temperature=float(start["drive_wall"]),
        drive_gas_heat=_drive_gas_heat(s),
        port_temperature=tuple(float(t) for t in start["port_temperature"][: len(nodes)]),
        back_pressure_mean=tuple(map(float, back_mean)),
        back_pressure_peak=tuple(map(float, back_peak)),
        stages=tuple(stages),
        energy_balance=_energy_balance(s),
        energy_closure=float(s.found["closure"]),
        mass_closure=_mass_closure(s),
        cold=Cold(bound=float(bound), used=sum(heats)),
        water=read_water(s),
        stalled=False,
        held_by="",
        stalls_in="",
        stall_reach=0.0,
        stall_asked=0.0,
        coldest_gas=float(s.whole["T"][:, : s.numbering.count].min()),
        hottest_gas=float(s.whole["T"][:, : s.numbering.count].max()),
        coldest_passage=min((float(T.min()) for T, _ in flows), default=m.ambient.temperature),
        lowest_pressure=float(min([p_all.min(), ambient, *(p.min() for _, p in flows)])),
        highest_pressure=float(max(p_all.max(), m.receiver_pressure)),
        stall_pressure=stall_pressure(m),
        force_margin=force_margin(m),
        wait=wait,
        free_cycle_rate=1.0 / (s.period - 2 * wait),
        turns=s.turns,
        residual=float(s.found["residual"]),
        stage_gas=_stage_gas(s),
    )


def _stage_gas(s: Solution) -> StageGas | None:
    """Extremes of the gas in stages and lines, where it is not air."""
    m, first = s.machine, 2 + len(s.numbering.nodes)
    if m.gas.name == "air":
        return None
    T = s.whole["T"][:, first : s.numbering.count]
    p = s.whole["p"][:, first : s.numbering.count]
    return StageGas(
        name=m.gas.name,
        coldest=float(T.min()),
        hottest=float(T.max()),
        lowest=float(p.min()),
        highest=float(max(p.max(), m.receiver_pressure)),
    )


def _flows(s: Solution) -> Iterator[tuple[Array, Array]]:
    """Static temperature [K] and pressure [Pa] in every passage, by phase and face."""
    faces = s.tube + s.cells + 2
    for node in range(len(s.numbering.nodes)):
        phases = int(s.found["pulses"][node]["phases"])
        if s.jacketed(node) and phases:
            rows = s.found["march"][node][:phases]
            yield rows["T"][:, :faces], rows["p"][:, :faces]


def _drive_work(s: Solution) -> float:
    """Work of the drive gas on the piston in a cycle [J]."""
    area, work = s.record["drive_area"], 0.0
    for fed, part in enumerate(s.parts):
        push = part["p"][:, fed] * area[fed] - part["p"][:, 1 - fed] * area[1 - fed]
        work += float(push @ part["dx"])
    return work


def _drive_gas_heat(s: Solution) -> float:
    """Heat from the drive's gas to its wall [W]."""
    wall = float(s.found["start"]["drive_wall"])
    heat = 0.0
    for part in s.parts:
        each = part["conductance"][:, :2] * (part["T"][:, :2] - wall)
        heat += float(part["dt"] @ each.sum(axis=1))
    return heat / s.period


def _mass_closure(s: Solution) -> float:
    """Change of the mass in all volumes over a cycle, over the drive air."""
    into, out = s.carried(0), float((s.whole["exhaust"] * s.whole["dt"][:, None]).sum())
    for i, (line, after) in enumerate(zip(s.numbering.lines, s.numbering.after, strict=True)):
        into += s.carried(2 + 2 * i) if line < 0 else 0.0
        out += s.carried(3 + 2 * i) if after < 0 else 0.0
    return (into - out) / s.carried(0)


def _energy_balance(s: Solution) -> dict[str, float]:
    """Energy flows into the machine by name, as balance.c orders them [W]."""
    names = ["drive supply", "stage supply", "receiver", "exhaust at outlets"]
    for stage in s.machine.stages:
        names += [f"barrel of {stage.name} to ambient", f"head of {stage.name} to ambient"]
    names += ["tubes from ambient", "shells from ambient", "drive cylinder to ambient"]
    names.append("interstage line to ambient")
    energy_balance = {name: float(v) for name, v in zip(names, s.found["balance"], strict=False)}
    if all(line < 0 for line in s.numbering.lines):
        del energy_balance["interstage line to ambient"]
    return energy_balance


def _jacket_heat(s: Solution, node: int) -> float:
    """Heat from a barrel into a node's passage [W]."""
    heat, n = s.found["heat"][node], s.cells
    walls = s.found["around"][node]["barrel"][:n]
    return float((heat["barrel"][:n] * walls - heat["barrel_pull"][:n]).sum())


def _stage(s: Solution, i: int, jacket: JacketOutcome | None) -> StageOutcome:
    m, record = s.machine, s.record["stage"][i]
    chamber, line, after = s.numbering.stages[i], s.numbering.lines[i], s.numbering.after[i]
    inlet, delivery = 2 + 2 * i, 3 + 2 * i
    drawn, given = s.carried(inlet), s.carried(delivery)
    if line < 0:
        feed = m.feed(m.stages[i])
        suction_p, suction_T = feed.pressure, feed.temperature
    else:
        suction_p = s.flow_mean(s.whole["p"][:, line], inlet)
        suction_T = temperature(s, per_mass(s.enthalpy(inlet), drawn), suction_p)
    delivery_p = m.receiver_pressure
    if after >= 0:
        delivery_p = s.flow_mean(s.whole["p"][:, after], delivery)
    charge_T, charge_p, turn_T = _charge(s, i)
    # A line's pressure rises while the stage draws: what it could hold is at the end.
    reference = suction_p if line < 0 else charge_p + float(s.record["opening"][inlet])
    density = np.nan
    if np.isfinite(reference):
        density = core_gas(m.gas.name).state(suction_T, reference)[0]
    sign = [1.0 if m.stages[i].compresses_on == number else -1.0 for number in (1, 2)]
    work = sum(
        turn * float(part["p"][:, chamber] @ part["dx"])
        for turn, part in zip(sign, s.parts, strict=True)
    )
    barrel = s.found["barrel"][i]
    inside = barrel["inside"][: s.rings]
    # The end faces lie half a ring beyond the rings' middles.
    faces = [1.5 * inside[0] - 0.5 * inside[1], 1.5 * inside[-1] - 0.5 * inside[-2]]
    along = np.concatenate([inside, faces])
    return StageOutcome(
        name=m.stages[i].name,
        compression_start_temperature=charge_T,
        stroke_end_temperature=turn_T,
        compression_start_pressure=charge_p,
        suction_temperature=suction_T,
        discharge_temperature=temperature(s, per_mass(s.enthalpy(delivery), given), delivery_p),
        peak_temperature=float(s.whole["T"][:, chamber].max()),
        delivery_pressure=delivery_p,
        mass_per_stroke=given,
        volumetric_efficiency=float(given / (density * record["area"] * m.drive.stroke)),
        indicated_work=float(work * record["area"]),
        gas_heat=_gas_heat(s, i),
        suction_port_heat=_port_heat(s, i, inlet, line),
        delivery_port_heat=_port_heat(s, i, delivery, chamber),
        wall_temperature=WallTemperature(
            min=float(along.min()), mean=float(inside.mean()), max=float(along.max())
        ),
        surface=read_surface(s, i),
        seal_temperature=float(max(inside[rubbed_rings(s, i)].max(), barrel["crown"])),
        jacket=jacket,
    )


def per_mass(total: float, mass: float) -> float:
    """Return a total over a mass, not a number where nothing was carried."""
    return total / mass if mass > 0.0 else np.nan


def rubbed_rings(s: Solution, i: int) -> NDArray[np.bool_]:
    """Rings of a stage that its seal passes over, shape (ring,)."""
    stage, stroke = s.record["stage"][i], s.machine.drive.stroke
    edge = np.arange(s.rings + 1) * float(stage["barrel_length"]) / s.rings
    low = float(stage["clearance_length"])
    return np.asarray((edge[1:] > low) & (edge[:-1] < low + stroke))


def _gas_heat(s: Solution, i: int) -> float:
    """Heat from a stage's gas to barrel, head and crown, ports included [W]."""
    b, start, n = s.found["barrel"][i], s.found["start"], s.rings
    heat = float((b["gas_pull"][:n] - b["gas"][:n] * start["inside"][i][:n]).sum())
    heat += float(b["head_pull"] - b["head_gas"] * start["head"][i])
    return heat + float(b["crown_pull"] - b["crown_gas"] * start["crown"][i])


def _port_heat(s: Solution, i: int, path: int, source: int) -> float:
    """Heat from a path's gas to the head in its port; `source` is -1, -2 for no volume [W]."""
    head, heat = float(s.found["start"]["head"][i]), 0.0
    feed = s.machine.feed(s.machine.stages[i])
    for part in s.parts:
        T = part["T"][:, source] if source >= 0 else feed.temperature
        heat += float((part["port"][:, path] * (T - head)) @ part["dt"])
    return heat / s.period


def temperature(s: Solution, h: float, p: float) -> float:
    """Temperature of an enthalpy at a pressure [K]; a table's edge is continued beyond it."""
    if not (np.isfinite(h) and np.isfinite(p)):
        fed = "supply_enthalpy" if s.machine.source is None else "source_enthalpy"
        h, p = float(s.record[fed]), 1e6
    table, T = core_gas(s.machine.gas.name), 400.0
    for _ in range(60):
        gas = table.state(T, p)
        change = float(np.clip((h - gas[1]) / gas[4], -150.0, 150.0))
        T = max(T + change, 60.0)
        if abs(change) < 1e-9:
            break
    return float(T)


def _charge(s: Solution, i: int) -> tuple[float, float, float]:
    """Gas in a stage when its suction valve has just shut on the compressing stroke."""
    m, number = s.machine, s.machine.stages[i].compresses_on
    part, other = s.parts[number - 1], s.parts[2 - number]
    chamber, line = s.numbering.stages[i], s.numbering.lines[i]
    source = m.feed(m.stages[i]).pressure if line < 0 else part["p"][:, line]
    p, T = part["p"][:, chamber], part["T"][:, chamber]
    turn = float(other["T"][-1, chamber]) if len(other["T"]) else np.nan
    if not len(p):
        return np.nan, np.nan, turn
    excess = p - (source - float(s.record["opening"][2 + 2 * i]))
    k = int(np.argmax(excess >= 0.0))
    before = max(k - 1, 0)
    rise = excess[k] - excess[before]
    share = float(np.clip(-excess[before] / rise, 0.0, 1.0)) if rise > 0.0 else 0.0
    return (
        float(T[before] + share * (T[k] - T[before])),
        float(p[before] + share * (p[k] - p[before])),
        turn,
    )


def _jacket(s: Solution, node: int, heat: float, mean: float, peak: float) -> JacketOutcome:
    g, pulses = s.record["passage"][node], s.found["pulses"][node]
    phases, n, cells = int(pulses["phases"]), s.tube, s.cells
    rows = s.found["march"][node][:phases]
    mass, time = pulses["mass"][:phases], pulses["time"][:phases]
    weight, total = mass / mass.sum(), float(mass.sum())
    C, b = equivalent_conductance(s.found["curve"][node : node + 1], s.machine.ambient.pressure)
    faces = slice(n + 1, n + cells + 2)
    rho = rows["p"][:, faces] / (287.05 * rows["T"][:, faces])
    velocity = (mass / time)[:, None] / float(g["area"]) / rho
    length = float(g["length"] + g["tube_length"])
    flowing = s.whole["exhaust"][:, node]
    T = s.whole["T"][:, s.numbering.nodes[node]]
    around, rest = s.found["around"][node], s.found["heat"][node]
    rest_heat = float(rest["rest_barrel"] + rest["rest_outer"])
    mach = float(rows["mach_peak"].max())
    inside, end = bool(rows["chokes_inside"].any()), bool(rows["chokes_end"].any())
    channel = {name: rows[name][:, :cells] for name in ("reynolds", "coefficient", "leak")}
    mean_speed = float(velocity.mean(axis=1) @ weight)
    return JacketOutcome(
        heat=heat,
        rest_heat=float(rest["rest_barrel"]),
        port_temperature=float(pulses["T0"][:phases] @ weight),
        port_coldest=float(T[flowing > FLOWING * flowing.max()].min(initial=np.inf)),
        inlet_temperature=float(rows["T0"][:, n + 1] @ weight),
        outlet_temperature=float(rows["T0"][:, n + cells + 1] @ weight)
        + rest_heat / (total / s.period * CAPACITY),
        back_pressure_mean=mean,
        back_pressure_peak=peak,
        sonic_conductance=C,
        critical_back_pressure_ratio=b,
        mach_peak=mach,
        reynolds_mean=float(channel["reynolds"].mean(axis=1) @ weight),
        reynolds_peak=float(channel["reynolds"].max()),
        coefficient=float(channel["coefficient"].mean(axis=1) @ weight),
        velocity_peak=float(velocity.max()),
        leak_share=float(channel["leak"].mean(axis=1) @ weight),
        chokes="tube end"
        if inside
        else "channel end"
        if end
        else "outlet"
        if mach >= CHOKED
        else "",
        transit_share=length / max(mean_speed, 1e-9) / max(float(time.sum()), 1e-9),
        coldest_wall=float(min(around["outer"][: n + cells].min(), around["barrel"][:cells].min())),
    )
