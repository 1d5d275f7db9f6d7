"""Mutations of another gas in the stages, and of the source that it comes from."""

from __future__ import annotations

from .record import Edit, Mutation, Setting

MACHINE = "core/machine.py"
STROKE = "core/c/stroke.c"
HELIUM: Setting = "helium from a source"
STAGES = "gases/test_stages_of_gases.py"
HEAT = "gases/test_gas_heat.py"
ISENTROPIC = f"{STAGES}::test_a_stage_without_heat_compresses_isentropically[helium]"

MUTATIONS = (
    Mutation(
        name="stage-gas",
        part="stages",
        term="stages and lines hold the gas of the case",
        broken="they hold air",
        edits=(
            Edit(
                "core/c/core.h",
                "return volume < 2 + m->nodes ? air : m->gas;",
                "return m->gas ? air : air;",
            ),
        ),
        test=f"{HEAT}::test_the_stages_and_the_drive_hold_what_they_should",
        setting=HELIUM,
    ),
    Mutation(
        name="source-pressure",
        part="stages",
        term="a stage draws at its source's pressure",
        broken="at the supply's",
        edits=(Edit(STROKE, "p[n + 2] = m->source_pressure;", "p[n + 2] = m->supply_pressure;"),),
        test=ISENTROPIC,
        setting=HELIUM,
    ),
    Mutation(
        name="gas-valve",
        part="valves",
        term="a valve passes less mass of a light gas",
        broken="as much as of air",
        edits=(Edit(MACHINE, "choked_flux(gamma, table.gas_constant)", "choked_flux()"),),
        test=f"{STAGES}::test_a_valve_passes_a_gas_as_an_ideal_nozzle_does[helium-4.0026-1.667]",
        setting=HELIUM,
    ),
    Mutation(
        name="gas-chamber",
        part="stages",
        term="a chamber exchanges heat by its gas's properties",
        broken="by those of air",
        edits=(Edit(STROKE, "stage_law(m, m->gas, stage,", "stage_law(m, set->air, stage,"),),
        test=f"{STAGES}::test_helium_is_cooled_better_than_nitrogen",
        setting=HELIUM,
    ),
    Mutation(
        name="gas-port",
        part="stages",
        term="ports exchange heat by their gas's properties",
        broken="by those of air",
        edits=(
            Edit(
                STROKE,
                "port_at(m->gas, stage->port_bore",
                "port_at(walk->set->air, stage->port_bore",
            ),
        ),
        test=f"{HEAT}::test_a_port_exchanges_heat_with_the_gas_that_passes[4]",
        setting=HELIUM,
    ),
    Mutation(
        name="gas-line",
        part="stages",
        term="a line exchanges heat by its gas's properties",
        broken="by those of air",
        edits=(
            Edit(
                STROKE,
                "port_at(m->gas, stage->line_bore",
                "port_at(walk->set->air, stage->line_bore",
            ),
        ),
        test=f"{HEAT}::test_a_line_exchanges_heat_with_the_gas_in_it",
        setting=HELIUM,
    ),
    Mutation(
        name="gas-piston",
        part="walls",
        term="a light gas conducts better between piston and barrel",
        broken="as air does",
        edits=(Edit(MACHINE, "*= at_ambient[7] / in_air[7]", "*= 1.0"),),
        test=f"{STAGES}::test_a_gas_conducts_over_the_pistons_gap_as_it_does",
        setting=HELIUM,
    ),
)
