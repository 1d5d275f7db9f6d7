"""Reads outcomes out of a solution."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.designs import Array
from jacketcalc.components.passage_cells import TUBE_CELLS
from jacketcalc.components.passage_curve import equivalent_conductance
from jacketcalc.components.pulses import CAPACITY
from jacketcalc.coupling.finished import Finished
from jacketcalc.coupling.ledger import drive_work, energy_ledger
from jacketcalc.coupling.outcome import JacketOutcome, Outcome, StageOutcome, WallTemperature
from jacketcalc.coupling.stall import force_margin, stall_pressure
from jacketcalc.coupling.traces import read_water
from jacketcalc.findings.cold import Cold, exhaust_cold
from jacketcalc.findings.passage_water import FLOWING

CHOKED = 0.999
"""Mach number from which a flow counts as choked [-]."""
HIGH_PORT = 5.0
"""Port pressure over the room's at which a passage's C is read [-]."""


class Reading:
    """Whole-cycle arrays of a solution, and the numbers made of them."""

    def __init__(self, solution: Finished) -> None:
        self.solution, self.network = solution, solution.network
        snapshot = solution.snapshot
        self.snapshot = snapshot
        one, two = snapshot.records
        self.dt = np.concatenate([one.dt, two.dt])
        self.p = np.concatenate([one.p, two.p])
        self.T = np.concatenate([one.T, two.T])
        self.period = self.dt.sum(axis=0)
        self.rate = 1.0 / self.period

    def outcomes(self) -> list[Outcome]:
        """Return the outcome of every design that finished."""
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            table = self._machine()
            stages = [self._stage(i) for i in range(len(self.network.layout.chambers))]
            jackets = [self._jacket(i) for i in range(len(self.network.layout.nodes))]
            ledgers = energy_ledger(self.solution.iteration, self.snapshot)
            columns = map(int, self.solution.column)
            return [self._outcome(b, table, stages, jackets, ledgers) for b in columns]

    def _machine(self) -> dict[str, Array]:
        net, snap = self.network, self.snapshot
        records, layout = snap.records, net.layout
        drive = sum((r.flow[:, 0] * r.dt).sum(axis=0) for r in records)
        delivered = np.zeros_like(self.period)
        for i, after in enumerate(layout.after):
            if after is None:
                delivered = delivered + self._path_mass(3 + 2 * i)
        work = drive_work(net, records)
        room = np.asarray(net.machine.room.pressure)
        flow = np.concatenate([r.exhaust for r in records]) * self.dt[:, None]
        nodes = list(layout.nodes)
        back = self.p[:, nodes] - room
        mass = flow.sum(axis=0)
        port = np.concatenate([r.exhaust_enthalpy for r in records]) * self.dt[:, None]
        bound = exhaust_cold(
            self.solution.iteration.air,
            supply_temperature=np.asarray(net.machine.supply.temperature),
            room_pressure=room,
            mass_flow=mass.sum(axis=0) * self.rate,
            enthalpy_flow=port.sum(axis=(0, 1)) * self.rate,
        )
        jacket = self._jacket_heat().sum(axis=0)
        return {
            "drive": np.asarray(drive),
            "delivered": delivered,
            "work": work,
            "port": snap.start.port_temperature,
            "back_mean": (flow * back).sum(axis=0) / mass,
            "back_peak": back.max(axis=0),
            "bound": bound,
            "used": jacket,
            "mass_closure": self._mass_closure(),
            "stall": stall_pressure(net),
            "margin": force_margin(net),
        }

    def _path_mass(self, path: int) -> Array:
        """Mass carried along a path in a cycle, shape (B,) [kg]."""
        return np.asarray(sum((r.flow[:, path] * r.dt).sum(axis=0) for r in self.snapshot.records))

    def _mass_closure(self) -> Array:
        """Change of the mass in all volumes over a cycle, over the drive air."""
        layout = self.network.layout
        records = self.snapshot.records
        gained = np.zeros_like(self.period)
        for r in records:
            into = r.flow[:, 0].copy()
            for i, line in enumerate(layout.lines):
                if line is None:
                    into += r.flow[:, 2 + 2 * i]
            out = r.exhaust.sum(axis=1)
            for i, after in enumerate(layout.after):
                if after is None:
                    out = out + r.flow[:, 3 + 2 * i]
            gained = gained + ((into - out) * r.dt).sum(axis=0)
        return np.asarray(gained / self._path_mass(0))

    def _jacket_heat(self) -> Array:
        """Heat from barrels into each node's passage, shape (node, B) [W]."""
        heat, walls = self.snapshot.heat, self.snapshot.passage_walls
        return np.asarray((heat.barrel * walls.barrel - heat.barrel_pull).sum(axis=0))

    def _stage(self, i: int) -> dict[str, Array]:
        net, layout, snap = self.network, self.network.layout, self.snapshot
        chamber, line, after = layout.chambers[i], layout.lines[i], layout.after[i]
        m = net.machine
        inlet, delivery = 2 + 2 * i, 3 + 2 * i
        drawn, given = self._path_mass(inlet), self._path_mass(delivery)
        records = snap.records
        h_in, h_out = (
            sum((r.enthalpy[:, path] * r.dt).sum(axis=0) for r in records) / mass
            for path, mass in ((inlet, drawn), (delivery, given))
        )
        supply_p = np.asarray(m.supply.pressure)
        if line is None:
            suction_p, suction_T = supply_p, np.asarray(m.supply.temperature)
        else:
            weight = np.concatenate([r.flow[:, inlet] * r.dt for r in records])
            suction_p = (self.p[:, line] * weight).sum(axis=0) / drawn
            suction_T = self._temperature(h_in, suction_p)
        if after is None:
            delivery_p = np.asarray(m.tank_pressure) + np.zeros_like(given)
        else:
            weight = np.concatenate([r.flow[:, delivery] * r.dt for r in records])
            delivery_p = (self.p[:, after] * weight).sum(axis=0) / given
        swept = net.stage_area[i] * m.drive.stroke
        charge_T, charge_p, turn_T = self._charge(i)
        # A line's pressure rises while the stage draws: what it could hold is at the end.
        reference = suction_p if line is None else charge_p + net.opening[inlet]
        density = self.solution.iteration.air.thermo(suction_T, reference).rho
        work = np.zeros_like(given)
        for r in records:
            compresses = layout.compresses_on[i] == (1 if r is records[0] else 2)
            sign = 1.0 if compresses else -1.0
            work = work + sign * (r.p[:, chamber] * net.stage_area[i] * r.dx).sum(axis=0)
        walls = snap.walls
        inside = walls.inside[:, i]
        # The end faces lie half a node beyond the nodes' middles.
        faces = np.stack([1.5 * inside[0] - 0.5 * inside[1], 1.5 * inside[-1] - 0.5 * inside[-2]])
        along = np.concatenate([inside, faces])
        rubbed = self.solution.iteration.grid.rubbed[:, i] > 0
        seal = np.where(rubbed, inside, 0.0).max(axis=0)
        return {
            "charge": charge_T,
            "charge_p": charge_p,
            "turn": turn_T,
            "suction_T": suction_T + np.zeros_like(given),
            "discharge": self._temperature(h_out, delivery_p),
            "peak": self.T[:, chamber].max(axis=0),
            "delivery_p": delivery_p,
            "mass": given,
            "eta": given / (density * swept),
            "work": work,
            "gas_heat": self._gas_heat(i),
            "min": along.min(axis=0),
            "mean": inside.mean(axis=0),
            "max": along.max(axis=0),
            "seal": np.maximum(seal, walls.crown[i]),
        }

    def _gas_heat(self, i: int) -> Array:
        load, u = self.snapshot.load, self.snapshot.start
        faces = np.concatenate([u.inside[:, i], u.head[None, i], u.crown[None, i]])
        return np.asarray((load.gas_pull[:, i] - load.gas[:, i] * faces).sum(axis=0))

    def _temperature(self, h: Array, p: Array) -> Array:
        usable = np.isfinite(h) & np.isfinite(p)
        h = np.where(usable, h, self.network.supply_enthalpy)
        p = np.where(usable, p, 1e6)
        return np.asarray(self.solution.iteration.air.temperature_beyond(h, p))

    def _charge(self, i: int) -> tuple[Array, Array, Array]:
        """Gas in a stage when its suction valve has just shut on the compressing stroke."""
        net, layout = self.network, self.network.layout
        record = self.snapshot.records[layout.compresses_on[i] - 1]
        chamber, line = layout.chambers[i], layout.lines[i]
        source = np.asarray(net.machine.supply.pressure) if line is None else record.p[:, line]
        excess = record.p[:, chamber] - (source - net.opening[2 + 2 * i])
        above = excess >= 0.0
        k = np.argmax(above, axis=0)
        before = np.maximum(k - 1, 0)
        b = np.arange(k.size)
        e0, e1 = excess[before, b], excess[k, b]
        part = np.where(e1 > e0, np.clip(-e0 / np.where(e1 > e0, e1 - e0, 1.0), 0.0, 1.0), 0.0)
        T, p = record.T[:, chamber], record.p[:, chamber]
        T0, T1, p0, p1 = T[before, b], T[k, b], p[before, b], p[k, b]
        other = self.snapshot.records[2 - layout.compresses_on[i]]
        return T0 + part * (T1 - T0), p0 + part * (p1 - p0), other.T[-1, chamber]

    def _jacket(self, i: int) -> dict[str, Array]:
        snap, net = self.snapshot, self.network
        pulses, march, g = snap.pulses, snap.march, net.passages
        profile, mass = march.profile, pulses.mass[:, i]
        total = mass.sum(axis=0)
        C, b = equivalent_conductance(snap.curve, HIGH_PORT * np.asarray(net.machine.room.pressure))
        joint, n = TUBE_CELLS + 1, TUBE_CELLS
        rho = profile.p[n + 1 :, :, i] / (287.05 * profile.T[n + 1 :, :, i])
        G = pulses.flow[:, i] / np.asarray(g.area)[i]
        velocity = G / rho
        length = (np.asarray(g.length) + np.asarray(g.tube_length))[i]
        pulse = pulses.time[:, i].sum(axis=0)
        flowing = np.concatenate([r.exhaust[:, i] for r in snap.records])
        node = net.layout.nodes[i]
        cold = np.where(flowing > FLOWING * flowing.max(axis=0), self.T[:, node], np.inf)
        weight = mass / total
        mean_speed = (velocity.mean(axis=0) * weight).sum(axis=0)
        walls = np.minimum(snap.passage_walls.outer[:, i].min(axis=0),
                           snap.passage_walls.barrel[:, i].min(axis=0))  # fmt: skip
        rest = snap.heat.rest_share[i] + snap.heat.rest_outer[i]
        outlet_rest = rest / (total / self.period * CAPACITY)
        return {
            "heat": self._jacket_heat()[i],
            "rest": snap.heat.rest_share[i],
            "port": (pulses.T0[:, i] * weight).sum(axis=0),
            "coldest": cold.min(axis=0),
            "inlet": (profile.T0[joint, :, i] * weight).sum(axis=0),
            "outlet": (profile.T0[-1, :, i] * weight).sum(axis=0) + outlet_rest,
            "C": C[i],
            "b": b[i],
            "mach": march.mach_peak[:, i].max(axis=0),
            "re_mean": (march.reynolds[:, :, i].mean(axis=0) * weight).sum(axis=0),
            "re_peak": march.reynolds[:, :, i].max(axis=(0, 1)),
            "h": (march.coefficient[:, :, i].mean(axis=0) * weight).sum(axis=0),
            "velocity": velocity.max(axis=(0, 1)),
            "leak": (march.leak_share[:, :, i].mean(axis=0) * weight).sum(axis=0),
            "end": march.choked_end[:, i].any(axis=0).astype(float),
            "inside": march.choked_inside[:, i].any(axis=0).astype(float),
            "transit": length / np.maximum(mean_speed, 1e-9) / np.maximum(pulse, 1e-9),
            "wall": walls,
            "present": np.asarray(g.present)[i],
        }

    def _stalls_in(self, b: int) -> str:
        """Name of the stage that compresses on the stroke that was not completed."""
        net = self.network
        number = 1 if self.snapshot.records[0].stalled[b] else 2
        names = [
            stage.name
            for stage, on in zip(net.machine.stages, net.layout.compresses_on, strict=True)
            if on == number
        ]
        return names[-1] if names else "none"

    def _outcome(
        self,
        b: int,
        table: dict[str, Array],
        stages: list[dict[str, Array]],
        jackets: list[dict[str, Array]],
        ledgers: dict[str, Array],
    ) -> Outcome:
        net, solution = self.network, self.solution
        stalled = bool(solution.stalled[b])
        rate = 0.0 if stalled else float(self.rate[b])
        wait = float(self.snapshot.start.wait[0, b])
        ledger = {name: (0.0 if stalled else float(v[b])) for name, v in ledgers.items()}
        work = float(table["work"][b])
        delivered = float(table["delivered"][b])
        owner = solution.iteration.grid.node_of_stage
        named = [s.name for s in net.machine.stages]
        nodes = range(len(jackets))

        def jacket_of(stage: int) -> JacketOutcome | None:
            node = owner[stage]
            if node < 0 or not jackets[node]["present"][b] > 0:
                return None
            return _jacket_outcome(jackets[node], table, node, b)

        return Outcome(
            cycle_rate=rate,
            delivered_mass_flow=0.0 if stalled else rate * delivered,
            drive_air_mass_flow=0.0 if stalled else rate * float(table["drive"][b]),
            drive_air_per_kg=float(table["drive"][b]) / delivered if delivered > 0 else 0.0,
            drive_work=0.0 if stalled else work,
            drive_wall_temperature=float(self.snapshot.start.drive_wall[0, b]),
            drive_gas_heat=0.0 if stalled else float(self.snapshot.drive_gas[b]),
            port_temperature=tuple(float(table["port"][i, b]) for i in nodes),
            back_pressure_mean=tuple(float(table["back_mean"][i, b]) for i in nodes),
            back_pressure_peak=tuple(float(table["back_peak"][i, b]) for i in nodes),
            stages=tuple(
                _stage_outcome(named[i], row, b, jacket_of(i)) for i, row in enumerate(stages)
            ),
            ledger=ledger,
            energy_closure=sum(ledger.values()) / (work * rate) if rate > 0 and work else 0.0,
            mass_closure=0.0 if stalled else float(table["mass_closure"][b]),
            cold=None
            if stalled
            else Cold(bound=float(table["bound"][b]), used=float(table["used"][b])),
            water=None if stalled else read_water(solution, b),
            stalled=stalled,
            stalls_in=self._stalls_in(b) if stalled else "",
            coldest_gas=float(self.T[..., b].min()),
            hottest_gas=float(self.T[..., b].max()),
            stall_pressure=float(table["stall"][b]),
            force_margin=float(table["margin"][b]),
            wait=wait,
            free_cycle_rate=0.0 if stalled else 1.0 / (1.0 / rate - 2 * wait),
            residual=float(solution.residual[b]),
        )


def _stage_outcome(
    name: str, row: dict[str, Array], b: int, jacket: JacketOutcome | None
) -> StageOutcome:
    return StageOutcome(
        name=name,
        charge_temperature=float(row["charge"][b]),
        turn_temperature=float(row["turn"][b]),
        charge_pressure=float(row["charge_p"][b]),
        suction_temperature=float(row["suction_T"][b]),
        discharge_temperature=float(row["discharge"][b]),
        peak_temperature=float(row["peak"][b]),
        delivery_pressure=float(row["delivery_p"][b]),
        mass_per_stroke=float(row["mass"][b]),
        volumetric_efficiency=float(row["eta"][b]),
        compression_work=float(row["work"][b]),
        gas_heat=float(row["gas_heat"][b]),
        wall_temperature=WallTemperature(
            min=float(row["min"][b]), mean=float(row["mean"][b]), max=float(row["max"][b])
        ),
        seal_temperature=float(row["seal"][b]),
        jacket=jacket,
    )


def _jacket_outcome(
    row: dict[str, Array], table: dict[str, Array], node: int, b: int
) -> JacketOutcome:
    vent = float(row["mach"][b]) >= CHOKED
    inside, end = float(row["inside"][b]) > 0, float(row["end"][b]) > 0
    return JacketOutcome(
        heat=float(row["heat"][b]),
        rest_heat=float(row["rest"][b]),
        port_temperature=float(row["port"][b]),
        port_coldest=float(row["coldest"][b]),
        inlet_temperature=float(row["inlet"][b]),
        outlet_temperature=float(row["outlet"][b]),
        back_pressure_mean=float(table["back_mean"][node, b]),
        back_pressure_peak=float(table["back_peak"][node, b]),
        sonic_conductance=float(row["C"][b]),
        critical_pressure_ratio=float(row["b"][b]),
        mach_peak=float(row["mach"][b]),
        reynolds_mean=float(row["re_mean"][b]),
        reynolds_peak=float(row["re_peak"][b]),
        coefficient=float(row["h"][b]),
        velocity_peak=float(row["velocity"][b]),
        leak_share=float(row["leak"][b]),
        chokes="tube end" if inside else "channel end" if end else "vent" if vent else "",
        transit_share=float(row["transit"][b]),
        coldest_wall=float(row["wall"][b]),
    )
