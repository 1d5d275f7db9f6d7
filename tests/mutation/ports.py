"""Mutations of ports in the heads, the wall of a line, and the factors on laws."""

from __future__ import annotations

from .record import Edit, Mutation

MACHINE = "core/machine.py"
STROKE = "core/c/stroke.c"
SIZES = 'record["port_bore"][k], record["port_length"][k] = port.port_bore, port.port_length'
UNITS = "return port->cp * -expm1(-port_conductance(pipe, port, flow) / (flow * port->cp));"
SERIES = """
    in->wall[v] = stage->line_sink;
    in->conductance[v] = 1.0 / (1.0 / in->conductance[v] + 1.0 / stage->line_loss);"""
LOST = "sum += m->stage[i].line_loss * (s->line_wall[i] - m->stage[i].line_sink) * s->period;"
LOST_AT_ONCE = """for (int half = 0; half < 2; half++)
                for (int64_t k = 0; k < s->stroke[half].instants; k++)
                    sum += s->stroke[half].conductance[k][line] * s->stroke[half].dt[k]
                           * (s->stroke[half].T[k][line] - m->stage[i].line_sink);"""
FILM = "in->conductance[v] = port_conductance(&m->pipe, &tube, 0.5 * through);"
PORTS = "machine/test_head_ports.py"
LINE = "machine/test_line_wall.py"
FACTORS = "laws/test_law_factors.py"

MUTATIONS = (
    Mutation(
        name="suction-port", part="stages", term="the head warms what is drawn through its port",
        broken="no heat",
        edits=(Edit(MACHINE, SIZES, SIZES.replace("port.port_length", "k * port.port_length")),),
        test=f"{PORTS}::test_suction_warms_and_delivery_cools_and_the_energy_closes",
    ),
    Mutation(
        name="delivery-port", part="stages", term="what is delivered cools in the head's port",
        broken="no heat",
        edits=(
            Edit(MACHINE, SIZES, SIZES.replace("port.port_length", "(1 - k) * port.port_length")),
        ),
        test=f"{PORTS}::test_suction_warms_and_delivery_cools_and_the_energy_closes",
    ),
    Mutation(
        name="port-entrance", part="stages",
        term="heat transfer is higher near a port's entrance", broken="factor 1",
        edits=(
            Edit(MACHINE, "heat.entrance_factor(port.port_bore, port.port_length)", "1.0"),
        ),
        test=f"{PORTS}::test_a_port_is_a_heat_exchanger_with_one_wall[2]",
    ),
    Mutation(
        name="port-units", part="stages", term="air in a port comes nearer to the head on its way",
        broken="all of it sees the difference at the entry",
        edits=(
            Edit("core/c/ports.c", UNITS,
                 "return smaller(port_conductance(pipe, port, flow) / flow, port->cp);"),
        ),
        test=f"{PORTS}::test_a_port_is_a_heat_exchanger_with_one_wall[2]",
    ),
    Mutation(
        name="port-head", part="walls", term="the head gives and takes the heat of its ports",
        broken="it does not feel it",
        edits=(
            Edit("core/c/walls.c", "out->head_gas += in + out_of;", "(void)in;"),
            Edit("core/c/walls.c", "out->head_pull += in * drawn + out_of * r->T[k][v];",
                 "(void)(drawn * out_of * r->T[k][v]);"),
        ),
        test=f"{PORTS}::test_first_law_of_a_head",
    ),
    Mutation(
        name="line-film", part="stages", term="a film lies between a line's air and its wall",
        broken="a hundredth of its resistance",
        edits=(Edit(STROKE, FILM, FILM.replace("port_cond", "100.0 * port_cond")),),
        test=f"{LINE}::test_the_film_is_that_of_a_tube",
    ),
    Mutation(
        name="line-store", part="stages", term="a line's wall stores heat within a cycle",
        broken="film and outside stand in series at every instant",
        edits=(
            Edit(STROKE, FILM, FILM + SERIES), Edit("core/c/balance.c", LOST, LOST_AT_ONCE),
        ),
        test=f"{LINE}::test_its_wall_gives_to_the_surroundings_what_it_takes",
    ),
    Mutation(
        name="in-cylinder-factor", part="stages", term="a case's factor on in-cylinder heat",
        broken="1",
        edits=(Edit(MACHINE, "m.models.mixing, m.models.in_cylinder_factor",
                    "m.models.mixing, 1.0"),),
        test=f"{FACTORS}::test_in_cylinder_factor[gas spring-0.0-2.0]",
        setting="laws times factors",
    ),
    Mutation(
        name="factor-of-lead", part="stages",
        term="that factor counts for the phase lead too", broken="1 for the lead",
        edits=(Edit("core/c/heat.c", "laws->factor * shut * imaginary", "shut * imaginary"),),
        test=f"{FACTORS}::test_in_cylinder_factor[gas spring-0.0-2.0]",
        setting="laws times factors",
    ),
    Mutation(
        name="jacket-factor", part="passage", term="a case's factor on the jacket's coefficient",
        broken="1",
        edits=(Edit("core/c/passage.c", "g->channel_factor * law_value(&g->nusselt",
                    "law_value(&g->nusselt"),),
        test=f"{FACTORS}::test_jacket_factor[0.02]",
        setting="laws times factors",
    ),
    Mutation(
        name="film-factor", part="walls", term="a case's factor on natural convection outside",
        broken="1",
        edits=(Edit("core/c/laws.c", "m->film_factor * table_value(&m->film",
                    "table_value(&m->film"),),
        test=f"{FACTORS}::test_film_factor[2.5]",
        setting="laws times factors",
    ),
)  # fmt: skip
