"""Mutations of barrels, heads, shells, drive wall and room."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from . import ways
from .record import Mutation

BARREL = "components.barrel_wall"
OUTSIDE = "correlations.outside"
ROOM = "test_physical_terms.py::test_tube_and_shell_to_the_room"
ENDS = "test_physical_terms.py::test_gas_feels_the_walls_it_touches"
DRIVE = "test_stroke_terms.py::test_drive_wall_balance"


def _barrel_alone(old: Any) -> Any:
    def seen(grid: Any, walls: Any, stroke: int) -> Any:
        bared = grid.exposed[stroke - 1]
        return np.einsum("insb,nsb->isb", bared, walls.inside) / bared.sum(axis=1)

    return seen


def _even_barrel(old: Any) -> Any:
    def seen(grid: Any, walls: Any, stroke: int) -> Any:
        even = walls.inside.mean(axis=0) + 0.0 * walls.inside
        return old(grid, replace(walls, inside=even), stroke)

    return seen


def _spread(old: Any) -> Any:
    def built(*given: Any) -> Any:
        grid = old(*given)
        present = grid.placement.sum(axis=0) > 0.0
        return replace(grid, placement=present * np.ones_like(grid.placement) / len(grid.area_in))

    return built


def _in_the_open(old: Any) -> Any:
    return lambda machine, stage: old(machine, replace(stage, jacket=None))


def _drive_at_room(old: Any) -> Any:
    def balance(network: Any, *given: Any) -> Any:
        room = np.asarray(network.machine.room.temperature)
        found = old(network, *given)
        return replace(found, temperature=room + 0.0 * found.temperature)

    return balance


def _passages_outside(**factors: float) -> Any:
    """Scale sizes of the passages on their way to the room."""

    def change(network: Any) -> Any:
        g = network.passages
        scaled = {name: factor * getattr(g, name) for name, factor in factors.items()}
        return replace(network, passages=replace(g, **scaled))

    return ways.networks(change)


MUTATIONS = (
    Mutation(
        name="axial-conduction", part="walls", term="heat flows along the barrel",
        broken="none does", apply=ways.grids(axial=1e-9),
        test="test_barrel_wall.py::test_barrel_is_a_fin",
    ),
    Mutation(
        name="radial-resistance", part="walls", term="heat passes through the barrel's wall",
        broken="no resistance", apply=ways.grids(resistance_in=0.0, resistance_out=0.0),
        test="test_barrel_wall.py::test_composite_cylinder",
    ),
    Mutation(
        name="mount", part="walls", term="the barrel is mounted on the drive",
        broken="no contact", apply=ways.grids(mount=0.0),
        test="test_convergence.py::test_wall_nodes",
    ),
    Mutation(
        name="skirt", part="walls", term="the piston hands heat to the barrel",
        broken="no contact", apply=ways.constant(BARREL, "PISTON_FILM", 0.0),
        test="test_physical_terms.py::test_skirt_is_a_film_of_air",
    ),
    Mutation(
        name="seal-heat", part="walls", term="seals make heat",
        broken="none", apply=ways.nothing("coupling.wall_loads", "seal_work"),
        test="test_stroke_terms.py::test_seal_work",
    ),
    Mutation(
        name="head-outside", part="walls", term="heads lose heat to the room",
        broken="none", apply=ways.grids(head_outside=0.0),
        test="test_physical_terms.py::test_head_is_a_plate_with_a_rim",
    ),
    Mutation(
        name="ends", part="walls", term="head and crown have temperatures of their own",
        broken="gas feels the bared barrel alone",
        apply=ways.function(BARREL, "gas_side_temperature", _barrel_alone), test=ENDS,
    ),
    Mutation(
        name="barrel-profile", part="walls", term="gas feels what the piston has bared",
        broken="gas feels the barrel's mean",
        apply=ways.function(BARREL, "gas_side_temperature", _even_barrel), test=ENDS,
    ),
    Mutation(
        name="placement", part="walls", term="the jacket cools where it winds",
        broken="it cools the whole barrel evenly",
        apply=ways.function(BARREL, "build_grid", _spread),
        test="test_physical_terms.py::test_channel_cells_lie_where_they_wind",
    ),
    Mutation(
        name="natural-convection", part="walls", term="room air cools what is bare",
        broken="radiation alone", apply=ways.nothing(OUTSIDE, "horizontal_cylinder"),
        test="test_outside.py::test_hot_pipe",
    ),
    Mutation(
        name="radiation", part="walls", term="outsides radiate",
        broken="none does", apply=ways.nothing(OUTSIDE, "radiation"),
        test="test_outside.py::test_hot_pipe",
    ),
    Mutation(
        name="shell-radiation", part="walls", term="the shell radiates",
        broken="it does not", apply=_passages_outside(shell_emissivity=0.0), test=ROOM,
    ),
    Mutation(
        name="shell-resistance", part="walls", term="heat passes through the shell",
        broken="no resistance", apply=_passages_outside(shell_resistance=0.0), test=ROOM,
    ),
    Mutation(
        name="tube-resistance", part="walls", term="heat passes through the tube's wall",
        broken="no resistance", apply=_passages_outside(tube_wall_resistance=0.0), test=ROOM,
    ),
    Mutation(
        name="idle-shell", part="walls", term="a jacket without exhaust insulates",
        broken="barrel stands in the open",
        apply=ways.function("components.chambers", "_idle_shell", _in_the_open),
        test="test_directions.py::test_unfed_jackets_only_insulate",
        setting="one jacket not fed",
    ),
    Mutation(
        name="gap-radiation", part="walls", term="the gap of a jacket without exhaust radiates",
        broken="it only conducts", apply=ways.nothing(OUTSIDE, "gap_radiation"),
        test="test_gap_swirl_entrance.py::test_unfed_jacket_conducts_and_radiates",
        setting="one jacket not fed",
    ),
    Mutation(
        name="drive-wall", part="walls", term="the drive's wall finds its own temperature",
        broken="it stays at room temperature",
        apply=ways.function("coupling.drive_wall", "solve_drive_wall", _drive_at_room),
        test=DRIVE,
    ),
    Mutation(
        name="drive-friction-heat", part="walls", term="friction and impact warm the drive",
        broken="they do not",
        apply=ways.nothing("coupling.drive_wall", "drive_friction_work"), test=DRIVE,
    ),
)  # fmt: skip
