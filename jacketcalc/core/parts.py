"""Parts of the core one by one, for checks and for questions short of a whole machine."""

from __future__ import annotations

from typing import Any

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.gas import CoreGas, core_air
from jacketcalc.core.layout import blank, constants, records
from jacketcalc.core.library import library
from jacketcalc.core.machine import pack_machine, pack_passage
from jacketcalc.core.resolution import Resolution
from jacketcalc.designs import Design
from jacketcalc.inputs import Machine
from jacketcalc.passage_geometry import PassageGeometry

START_ABOVE, START_BELOW, PORT_BELOW = 20.0, 10.0, 20.0
"""Barrels above, shells and exhaust below the surroundings, before a machine is solved [K]."""
COLD_SWEEPS = 4
"""Sweeps from a uniform profile; the core takes no fewer from a blank one."""


def valve_flow(
    C: float, b: float, p_up: float, p_down: float, T_up: float, opening: float = 0.0
) -> tuple[float, float, float]:
    """Return the mass flow through an element and its slopes in both pressures.

    Parameters
    ----------
    C : sonic conductance [m3/(s Pa)]
    b : critical back-pressure ratio [-]
    p_up, p_down : stagnation pressure upstream, pressure downstream [Pa]
    T_up : stagnation temperature upstream [K]
    opening : pressure difference at which flow begins [Pa]

    Returns
    -------
    Mass flow [kg/s], slope in `p_up` and slope in `p_down` [kg/(s Pa)].
    """
    out = np.empty(3)
    library().core_valve(C, b, p_up, p_down, T_up, opening, out.ctypes.data)
    return float(out[0]), float(out[1]), float(out[2])


def law_value(law: Any, Re: float, Pr: float) -> float:
    """Return a tabled law's value; `law` is a core record of shape (1,)."""
    return float(library().core_law(law.ctypes.data, Re, Pr))


class PassageParts:
    """The passages of a machine, marched one flow at a time.

    Parameters
    ----------
    machine : the machine, or a design of it
    resolution : cells of tube and channel, levels of a curve
    geometry : sizes that stand for those of the first node's passage
    gas : the table of the gas that flows; air's when None
    """

    def __init__(
        self,
        machine: Machine | Design,
        resolution: Resolution | None = None,
        geometry: PassageGeometry | None = None,
        gas: CoreGas | None = None,
    ) -> None:
        design = machine if isinstance(machine, Design) else Design(machine=machine)
        self.resolution, self.gas = resolution or Resolution(), gas or core_air()
        self.record, self.steps = pack_machine(design), self.resolution.packed()
        self.ambient = design.machine.ambient
        if geometry is not None:
            packed = pack_passage(geometry, design.closure)
            self.record["passage"][0] = self.record["resisting"][0] = packed

    def walls(self, barrel: float | Array, outer: float | Array, heat: float = 1.0) -> Any:
        """Return wall temperatures: barrel under the channel cells, tube then shell [K]."""
        walls = blank("PassageWalls")
        channel = self.resolution.channel_cells
        walls["barrel"][:channel] = barrel
        walls["outer"][: self.resolution.tube_cells + channel] = outer
        walls["heat"] = heat
        return walls

    def march(
        self, flow: float, T0: float, walls: Any, node: int = 0, sweeps: int = COLD_SWEEPS
    ) -> Any:
        """Follow one flow through a passage from a uniform profile; return the core's `March`.

        Parameters
        ----------
        flow : mass flow [kg/s]
        T0 : stagnation temperature at the port [K]
        walls : from `walls`
        node : exhaust node
        sweeps : sweeps over temperature and pressure after the first ones
        """
        out = blank("March")
        for _ in range(2):
            library().core_march(
                self.record.ctypes.data, self.gas.address, self.steps.ctypes.data, node,
                walls.ctypes.data, flow, T0, sweeps, out.ctypes.data,
            )  # fmt: skip
        return out

    def curve(self, T0: float, walls: Any, node: int = 0) -> Any:
        """Return a passage's flow curve, shape (1,), at walls and a port temperature [K]."""
        out = np.zeros(1, dtype=records()["Curve"])
        space = np.zeros(library().core_workspace(), dtype=np.uint8)
        library().core_curve(
            self.record.ctypes.data, self.gas.address, self.steps.ctypes.data, node,
            walls.ctypes.data, T0, space.ctypes.data, out.ctypes.data,
        )  # fmt: skip
        return out

    def heat(self, pulses: Any, marches: Any, walls: Any, period: float, node: int = 0) -> Any:
        """Average a marched pulse and the rest after it over a cycle; the core's `PassageHeat`.

        Parameters
        ----------
        pulses : exhaust in phases, from `cut_pulses`
        marches : march of each phase, shape (phase,)
        walls : from `walls`
        period : cycle time [s]
        node : exhaust node
        """
        out, rows = blank("PassageHeat"), np.ascontiguousarray(marches)
        library().core_heat(
            self.record.ctypes.data, self.gas.address, self.steps.ctypes.data, node,
            pulses.ctypes.data, rows.ctypes.data, walls.ctypes.data, period, out.ctypes.data,
        )  # fmt: skip
        return out

    def curve_before_start(self, node: int) -> Any:
        """Return a passage's flow curve at the walls that a solution starts from."""
        ambient = self.ambient.temperature
        walls = self.walls(ambient + START_ABOVE, ambient - START_BELOW)
        return self.curve(ambient - PORT_BELOW, walls, node)


def curve_slopes(curve: Any, p: float, T: float) -> tuple[float, float, float]:
    """Return a curve's flow and its slopes in port pressure and temperature.

    Parameters
    ----------
    curve : from `PassageParts.curve`, shape (1,)
    p, T : pressure [Pa] and temperature [K] at the port

    Returns
    -------
    Mass flow [kg/s], slope in pressure [kg/(s Pa)], slope in temperature [kg/(s K)].
    """
    out = np.empty(3)
    library().core_curve_flow(curve.ctypes.data, p, T, out.ctypes.data)
    return float(out[0]), float(out[1]), float(out[2])


class StrokeParts:
    """A machine's strokes, run one at a time.

    Parameters
    ----------
    design : the machine
    resolution : steps
    gas : the table of the gas in drive and stages; the machine's own when None
    """

    def __init__(
        self, design: Design, resolution: Resolution | None = None, gas: CoreGas | None = None
    ) -> None:
        self.gas = gas or core_air()
        self.record, self.steps = pack_machine(design), (resolution or Resolution()).packed()
        if gas is not None:
            self.record["gas"] = gas.address
        self._space = np.zeros(library().core_workspace(), dtype=np.uint8)

    def run_stroke(self, number: int, unknowns: Any, curves: Any) -> Any:
        """Run one stroke; return the core's `Stroke`.

        Parameters
        ----------
        number : stroke, 1 or 2
        unknowns : contents and walls to start from, the core's `Unknowns`
        curves : flow curve of each node, shape (node,)
        """
        found = blank("Solution")
        found["curve"][: len(curves)] = curves
        library().core_stroke(
            self.record.ctypes.data, self.gas.address, self.steps.ctypes.data, number,
            unknowns.ctypes.data, self._space.ctypes.data, found.ctypes.data,
        )  # fmt: skip
        return found["stroke"][number - 1]

    def stage_law(
        self, stage: int, period: float, *, p: float, T: float, volume: float, area: float,
        wall: float, inflow: float = 0.0, speed: float = 0.0, angle: float = 0.0,
    ) -> tuple[float, float]:  # fmt: skip
        """Return a stage's heat law at an instant: coefficient on T - wall, and phase lead.

        Parameters
        ----------
        stage : its place among the stages
        period : cycle time [s]
        p, T : gas [Pa], [K]
        volume, area : of the chamber [m3], and wetted [m2]
        wall : mean temperature of that area [K]
        inflow : through the suction valve [kg/s]
        speed : of the piston [m/s]
        angle : from least volume, 0 to pi [rad]

        Returns
        -------
        Coefficient [W/(m2 K)] and the share of the compression heat taken out at once [-].
        """
        state, out = np.array([p, T, volume, area, wall, inflow, speed, angle]), np.empty(2)
        library().core_stage_law(
            self.record.ctypes.data, int(self.record["gas"]), stage, state.ctypes.data, period,
            out.ctypes.data,
        )  # fmt: skip
        return float(out[0]), float(out[1])


def balance_walls(
    design: Design, stage: int, barrel: Any, drive_wall: float, resolution: Resolution | None = None
) -> Any:
    """Balance a stage's walls for the loads that a core's `Barrel` holds, in place."""
    record, steps = pack_machine(design), (resolution or Resolution()).packed()
    space = np.zeros(library().core_workspace(), dtype=np.uint8)
    library().core_walls(
        record.ctypes.data, steps.ctypes.data, stage, drive_wall, space.ctypes.data,
        barrel.ctypes.data,
    )  # fmt: skip
    return barrel


def wall_sizes(design: Design, resolution: Resolution | None = None) -> Any:
    """Return the core's `Sizes` of a machine: areas, resistances and who covers which ring."""
    record, steps, out = pack_machine(design), (resolution or Resolution()).packed(), blank("Sizes")
    library().core_sizes(record.ctypes.data, steps.ctypes.data, out.ctypes.data)
    return out


def wetted_wall(
    design: Design,
    stage: int,
    barrel: Any,
    bared: float,
    resolution: Resolution | None = None,
) -> float:
    """Return the mean temperature of the walls that a stage's gas wets [K].

    Parameters
    ----------
    design : the machine
    stage : its place among the stages
    barrel : the core's `Barrel`, whose inside, head and crown are read
    bared : length of the barrel above the piston [m]
    resolution : rings
    """
    record, steps = pack_machine(design), (resolution or Resolution()).packed()
    return float(
        library().core_wetted_wall(
            record.ctypes.data, steps.ctypes.data, stage, barrel.ctypes.data, bared
        )
    )


def cut_pulses(flow: Array, T: Array, dt: Array, phases: int, period: float) -> Any:
    """Cut a cycle's exhaust, its own pulse first, into phases; return the core's `Pulses`.

    Parameters
    ----------
    flow : mass flow from the node, shape (instant,) [kg/s]
    T : node temperature [K]
    dt : time weights [s]
    phases : phases of the cycle
    period : cycle time [s]
    """
    out, space = blank("Pulses"), np.zeros(library().core_workspace(), dtype=np.uint8)
    rows = [np.ascontiguousarray(row, dtype=float) for row in (flow, T, dt)]
    if not rows[0].size <= 2 * constants()["MAX_INSTANTS"]:
        raise ValueError(f"at most {2 * constants()['MAX_INSTANTS']} instants")
    library().core_pulses(
        rows[0].size, *(row.ctypes.data for row in rows), phases, period,
        space.ctypes.data, out.ctypes.data,
    )  # fmt: skip
    return out
