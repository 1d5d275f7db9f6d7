"""Mutations of drive, valves and of the two sides of the trade-off as a whole."""

from __future__ import annotations

from .passage import MACHINE
from .record import Edit, Mutation
from .stages import JACKETED

VALVES = "core/c/valves.c"
STALL = "machine/test_directions.py::test_stall_pressure"


def _machine(old: str, new: str) -> tuple[Edit, ...]:
    return (Edit(MACHINE, old, new),)


MUTATIONS = (
    Mutation(
        name="moving-mass", part="drive", term="inertia of piston and rod",
        broken="a hundredth of the mass",
        edits=_machine('record["moving_mass"] = drive', 'record["moving_mass"] = 0.01 * drive'),
        test="machine/test_stroke_terms.py::test_piston_flies_under_a_constant_force",
    ),
    Mutation(
        name="drive-friction", part="drive", term="constant friction of the drive's seals",
        broken="none",
        edits=_machine("drive.cylinders * drive.friction", "0.0"),
        test=JACKETED,
    ),
    Mutation(
        name="friction-share", part="drive", term="friction that grows with drive pressure",
        broken="none",
        edits=_machine('record["friction_share"] = drive.friction_share',
                       'record["friction_share"] = 0.0'),
        test=JACKETED,
    ),
    Mutation(
        name="seal-friction", part="drive", term="friction of the stages' seals",
        broken="none",
        edits=_machine('("seal_friction", stage.seal_friction)', '("seal_friction", 0.0)'),
        test=JACKETED,
    ),
    Mutation(
        name="rods", part="drive", term="rods take piston area",
        broken="full bore on both sides",
        edits=(
            Edit("geometry.py",
                 "return n * (bore - circle_area(drive.rod_1)), "
                 "n * (bore - circle_area(drive.rod_2))",
                 "return n * bore, n * bore"),
        ),
        test="machine/test_directions.py::test_stalls_above_and_runs_below",
    ),
    Mutation(
        name="dead-volume", part="drive", term="drive air fills dead volumes",
        broken="a hundredth of them",
        edits=_machine("[m.drive.cylinders * v", "[0.01 * m.drive.cylinders * v"),
        test=JACKETED,
    ),
    Mutation(
        name="dead-time", part="valves", term="the control valve takes time to reverse",
        broken="none", edits=_machine("m.valve.switching_time + m.valve.pause", "m.valve.pause"),
        test=JACKETED,
    ),
    Mutation(
        name="drive-heat", part="drive", term="drive air and drive wall exchange heat",
        broken="none",
        edits=(
            Edit("core/c/heat.c", "return m->cylinder.drive *", "return 0.0 * m->cylinder.drive *"),
        ),
        test=JACKETED,
    ),
    Mutation(
        name="drive-cylinders", part="drive", term="each drive cylinder has a wall of its own",
        broken="the wall of one",
        edits=(
            Edit("core/c/heat.c", "m->drive_cylinders * PI * m->drive_bore", "PI * m->drive_bore"),
        ),
        test="machine/test_drive_cylinders.py::test_each_cylinder_has_its_own_wall",
        setting="two drive cylinders",
    ),
    Mutation(
        name="drive-room", part="drive", term="each drive cylinder gives heat off to the room",
        broken="one of them",
        edits=(Edit("core/c/walls.c", "double area = m->drive_cylinders * (", "double area = ("),),
        test="machine/test_drive_cylinders.py::test_each_cylinder_gives_heat_off",
        setting="two drive cylinders",
    ),
    Mutation(
        name="critical-ratio", part="valves", term="valves' own critical back-pressure ratio",
        broken="0.528, an ideal nozzle's",
        edits=_machine('record["opening"][j] = sonic, ratio, opening',
                       'record["opening"][j] = sonic, 0.528, opening'),
        test=JACKETED,
    ),
    Mutation(
        name="ellipse", part="valves", term="subsonic flow follows an ellipse (ISO 6358)",
        broken="straight line in the pressure ratio",
        edits=(
            Edit(VALVES, "double root = sqrt(2.0 / larger(opened, edge) - 1.0);",
                 "double root = 1.0;"),
            Edit(VALVES, "(linear ? root : root * (1.0 - opened) / (2.0 - opened))",
                 "(opened < 1.0 ? 1.0 : 0.0)"),
            Edit(VALVES, "if (linear && opening > 0.0)", "if (0)"),
        ),
        test="core/test_core_valves.py::test_flow_of_a_valve",
    ),
    Mutation(
        name="valve-temperature", part="valves", term="cold air passes a valve in greater mass",
        broken="flow as at 293 K",
        edits=(
            Edit(VALVES, "double scale = reference_scale() * C / sqrt(T_up);",
                 "double scale = reference_scale() * C / sqrt(293.15);"),
        ),
        test="core/test_core_valves.py::test_flow_of_a_valve",
    ),
    Mutation(
        name="opening-pressure", part="valves", term="check valves open at a difference",
        broken="none",
        edits=_machine('record["opening"][j] = sonic, ratio, opening',
                       'record["opening"][j] = sonic, ratio, 0.0'),
        test=JACKETED,
    ),
    Mutation(
        name="supply-line", part="valves", term="supply line in series with the valve",
        broken="valve alone",
        edits=(
            Edit("flow/iso6358.py",
                 "return conductance, _fit_ratio(C1, b1, C2, b2, conductance)",
                 "return np.asarray(C2, dtype=float), np.asarray(b2, dtype=float)"),
        ),
        test="laws/test_iso6358_series.py::test_two_elements_in_series[first0-second0-2.674-6.240]",
        setting="a supply line",
    ),
    Mutation(
        name="back-pressure", part="the whole", term="tube and jacket resist the exhaust",
        broken="no back-pressure",
        edits=(
            Edit("core/c/curve.c", "int resists = m->resistance && g->obstructs > 0.0;",
                 "int resists = 0;"),
        ),
        test=JACKETED,
    ),
    Mutation(
        name="cooling", part="the whole", term="the jackets cool the barrels",
        broken="no heat between barrel and exhaust",
        edits=_machine('("heat", design.heat)', '("heat", False)'), test=JACKETED,
    ),
)  # fmt: skip
