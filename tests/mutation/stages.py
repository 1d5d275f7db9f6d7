"""Mutations of the stages, the air in them, and the line between them."""

from __future__ import annotations

from .passage import MACHINE
from .record import Edit, Mutation

HEAT = "core/c/heat.c"
STROKE = "core/c/stroke.c"
TABLE = "core/c/gas.c"
JACKETED = "verification/test_plain_machine.py::test_every_headline_number_agrees[jacketed]"
STROKES = "machine/test_stroke_terms.py::test_two_cycles_are_the_plain_ones"
CELLS = "    p = grid.pressures\n    T_x ="
IDEAL = """\
    import dataclasses
    p = grid.pressures
    thin, none = [int(np.argmin(np.abs(p - 1e5)))], 0.0 * samples.h
    R, T = 8.31451 / 28.96546e-3, grid.temperatures[:, np.newaxis]
    samples = dataclasses.replace(
        samples, rho=p / (R * T), rho_T=-p / (R * T * T),
        rho_p=1.0 / (R * T) + none, rho_Tp=-1.0 / (R * T * T) + none,
        h=samples.h[:, thin] + none, h_T=samples.h_T[:, thin] + none, h_p=none, h_Tp=none,
    )
    T_x ="""
"""The table of an ideal gas with the heat capacity of thin air."""
_NO_TRANSPORT = "carried->viscosity = bicubic_value(at.cell + 32, at.x, at.y);"

MUTATIONS = (
    Mutation(
        name="clearance", part="stages", term="gas stays in the clearance and expands again",
        broken="a hundredth of the clearance",
        edits=(
            Edit("geometry.py", "circle_area(stage.bore) * stage.clearance *",
                 "circle_area(stage.bore) * 0.01 * stage.clearance *"),
            Edit(MACHINE, '("clearance_length", stage', '("clearance_length", 0.01 * stage'),
        ),
        test="verification/test_published.py::test_published_case[gpsa-efficiency-9]",
    ),
    Mutation(
        name="stage-heat", part="stages", term="gas and walls of a stage exchange heat",
        broken="none, no phase lead either",
        edits=(
            Edit(STROKE, "in->conductance[v] = law.coefficient * s.area;",
                 "in->conductance[v] = 0.0;"),
            Edit(STROKE, "in->lead[v] = law.lead;", "in->lead[v] = 0.0;"),
        ),
        test=JACKETED,
    ),
    Mutation(
        name="phase-lead", part="stages", term="heat leads gas temperature (gas spring)",
        broken="heat goes with the difference of temperatures alone",
        edits=(Edit(HEAT, "law.lead = lagging /", "law.lead = 0.0 * lagging /"),),
        test="laws/test_gas_spring.py::test_gas_spring_as_shipped",
    ),
    Mutation(
        name="phase-lead-slow", part="stages", term="the phase lead fades in slow chambers",
        broken="as measured in fast ones",
        edits=(
            Edit("correlations/cylinder.py",
                 "slow / np.sqrt(np.sqrt(np.sqrt(1.0 + share)))", "measured + 0.0 * share"),
        ),
        test="laws/test_gas_spring_laws.py::test_phase_term_fades_as_the_exact_one",
    ),
    Mutation(
        name="squeezed-gas", part="stages", term="gas that is pushed out is not squeezed",
        broken="phase lead follows the whole travel",
        edits=(
            Edit(STROKE, "squeezed += at->w * f->F[", "squeezed += 0.0 * f->F["),
            Edit(STROKE, "double squeeze = in->lead[v]", "double squeeze = 0.0 * in->lead[v]"),
        ),
        test="machine/test_stroke_terms.py::test_delivery_at_constant_pressure_has_no_phase_lead",
    ),
    Mutation(
        name="mixing", part="stages", term="the suction jet stirs the chamber",
        broken="it does not",
        edits=(Edit(HEAT, "if (s->inflow > 0.0 && laws->mixing > 0.0)", "if (0)"),),
        test=JACKETED,
    ),
    Mutation(
        name="free-convection", part="stages", term="natural convection in the chambers",
        broken="none", edits=(Edit(HEAT, " + cubed * cubed * cubed * group);", ");"),),
        test=JACKETED,
    ),
    Mutation(
        name="swirl-time", part="stages", term="the swirl goes with the stroke's time",
        broken="it goes with the piston's place",
        edits=(
            Edit(STROKE,
                 "double turned = smaller(2.0 * PI * walk->elapsed / walk->set->period, PI);",
                 "int64_t gone = walk->out->instants;\n"
                 "    double from = gone ? walk->out->place[gone - 1] : 0.0;\n"
                 "    double turned = acos(1.0 - 2.0 * from / walk->set->machine->stroke);"),
        ),
        test="laws/test_gap_swirl_entrance.py::test_swirl_turns_with_time",
        setting="swirl law in the cylinders",
    ),
    Mutation(
        name="line-heat", part="stages", term="the line between stages sheds heat",
        broken="none",
        edits=(Edit(MACHINE, "line.heat_loss if line else 0.0, ambient", "0.0, ambient"),),
        test=JACKETED,
    ),
    Mutation(
        name="line-volume", part="stages", term="volume of the line between stages",
        broken="half of it",
        edits=(Edit(MACHINE, "[s.line.volume for s in", "[0.5 * s.line.volume for s in"),),
        test=JACKETED,
    ),
    Mutation(
        name="real-gas", part="air", term="air is a real gas",
        broken="ideal gas with the heat capacity of thin air",
        edits=(Edit("gas/table.py", CELLS, IDEAL),),
        test="verification/test_published.py::test_published_case[perry-z-300]",
    ),
    Mutation(
        name="local-transport", part="air", term="viscosity and conductivity are local",
        broken="those of ambient air",
        edits=(
            Edit(TABLE, _NO_TRANSPORT,
                 "Transport ambient = transport(table, 293.15, 1e5);\n"
                 "    carried->viscosity = ambient.viscosity;"),
            Edit(TABLE, "carried->conductivity = bicubic_value(at.cell + 48, at.x, at.y);",
                 "carried->conductivity = ambient.conductivity;"),
        ),
        test="machine/test_physical_terms.py::test_march_is_the_plain_one",
    ),
)  # fmt: skip
