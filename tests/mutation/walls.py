"""Mutations of barrels, heads, shells, drive wall and surroundings."""

from __future__ import annotations

from .record import Edit, Mutation

WALLS = "core/c/walls.c"
LAWS = "core/c/laws.c"
AMBIENT = "machine/test_physical_terms.py::test_tube_and_shell_to_the_ambient"
ENDS = "machine/test_barrel_wall.py::test_gas_feels_the_walls_it_touches"
DRIVE = "machine/test_stroke_terms.py::test_drive_wall_balance"
SUM = "        g.sum[k + 1] = g.sum[k] + inside[k] * ring;\n"
STREAMS = "machine/test_outside_streams.py"
FILM = "return nu * carried.conductivity / diameter + radiation(emissivity, surface, ambient);"
OUTER = "double wall = shell ? g->shell_resistance : g->tube_wall_resistance;"


def _walls(old: str, new: str) -> tuple[Edit, ...]:
    return (Edit(WALLS, old, new),)


MUTATIONS = (
    Mutation(
        name="axial-conduction",
        part="walls",
        term="heat flows along the barrel",
        broken="none does",
        edits=_walls(
            "double axial = z->axial[i], end = 2.0 * axial;",
            "double axial = 1e-9 * z->axial[i], end = 2.0 * z->axial[i];",
        ),
        test="machine/test_barrel_wall.py::test_barrel_is_a_fin",
    ),
    Mutation(
        name="radial-resistance",
        part="walls",
        term="heat passes through the barrel's wall",
        broken="no resistance",
        edits=(
            *_walls(
                "z->resistance_in[i] = log(middle / s->bore) / round;", "z->resistance_in[i] = 0.0;"
            ),
            *_walls(
                "z->resistance_out[i] = log(outside / middle) / round;",
                "z->resistance_out[i] = 0.0;",
            ),
        ),
        test="machine/test_barrel_wall.py::test_composite_cylinder",
    ),
    Mutation(
        name="flange",
        part="walls",
        term="the barrel is mounted on the drive",
        broken="no contact",
        edits=(
            *_walls(
                "double flange = 1.0 / (1.0 / larger(s->flange, 1e-9) + 1.0 / end);",
                "double flange = 0.0;",
            ),
            *_walls(
                "return 1.0 / (1.0 / larger(m->stage[AT(i, MAX_STAGES)].flange, 1e-9) + 0.5 /"
                " z->axial[i]);",
                "return 0.0;",
            ),
        ),
        test="verification/test_convergence.py::test_rings",
    ),
    Mutation(
        name="skirt",
        part="walls",
        term="the piston hands heat to the barrel",
        broken="no contact",
        edits=(
            Edit(
                "core/machine.py",
                'record["piston_film"] = PISTON_FILM',
                'record["piston_film"] = 0.0',
            ),
        ),
        test="machine/test_barrel_wall.py::test_skirt_is_a_film_of_air",
    ),
    Mutation(
        name="seal-heat",
        part="walls",
        term="seals make heat",
        broken="none",
        edits=_walls("out->seal /= period;", "out->seal = 0.0;"),
        test="machine/test_stroke_terms.py::test_seal_work",
    ),
    Mutation(
        name="head-outside",
        part="walls",
        term="heads lose heat to the surroundings",
        broken="none",
        edits=_walls(
            "z->head_outside[i] = PI / 4.0 * square(outside) + PI * outside * s->head_thickness;",
            "z->head_outside[i] = 0.0;",
        ),
        test="machine/test_barrel_wall.py::test_head_is_a_plate_with_a_rim",
    ),
    Mutation(
        name="ends",
        part="walls",
        term="head and crown have temperatures of their own",
        broken="gas feels the bared barrel alone",
        edits=(
            Edit(
                "core/c/heat.c",
                "return (g->perimeter * sum + g->ends) / (g->perimeter * bared + g->area_ends);",
                "return sum / bared;",
            ),
        ),
        test="machine/test_barrel_wall.py::test_gas_feels_the_walls_it_touches",
    ),
    Mutation(
        name="barrel-profile",
        part="walls",
        term="gas feels what the piston has bared",
        broken="gas feels the barrel's mean",
        edits=_walls(
            SUM,
            SUM + "    for (int64_t k = 0; k < n->rings; k++)\n"
            "        g.sum[k] = g.sum[n->rings] * (double)k / (double)n->rings;\n",
        ),
        test="machine/test_barrel_wall.py::test_gas_feels_the_walls_it_touches",
    ),
    Mutation(
        name="placement",
        part="walls",
        term="the jacket cools where it winds",
        broken="it cools the whole barrel evenly",
        edits=_walls(
            "double over = overlap(z->ring[stage], k, low, high);",
            "double over = (high - low) / (double)n->rings;",
        ),
        test="machine/test_physical_terms.py::test_channel_cells_lie_where_they_wind",
    ),
    Mutation(
        name="natural-convection",
        part="walls",
        term="ambient air cools what is bare",
        broken="radiation alone",
        edits=(Edit(LAWS, FILM, "return radiation(emissivity, surface, ambient);"),),
        test="machine/test_physical_terms.py::test_tube_and_shell_to_the_ambient",
    ),
    Mutation(
        name="radiation",
        part="walls",
        term="outsides radiate",
        broken="none does",
        edits=(Edit(LAWS, FILM, "return nu * carried.conductivity / diameter;"),),
        test="machine/test_physical_terms.py::test_tube_and_shell_to_the_ambient",
    ),
    Mutation(
        name="shell-radiation",
        part="walls",
        term="the shell radiates",
        broken="it does not",
        edits=_walls("shell ? g->shell_emissivity :", "shell ? 0.0 :"),
        test=AMBIENT,
    ),
    Mutation(
        name="shell-resistance",
        part="walls",
        term="heat passes through the shell",
        broken="no resistance",
        edits=_walls(OUTER, OUTER.replace("g->shell_resistance", "0.0")),
        test=AMBIENT,
    ),
    Mutation(
        name="tube-resistance",
        part="walls",
        term="heat passes through the tube's wall",
        broken="no resistance",
        edits=_walls(OUTER, OUTER.replace("g->tube_wall_resistance", "0.0")),
        test=AMBIENT,
    ),
    Mutation(
        name="idle-shell",
        part="walls",
        term="a jacket without exhaust insulates",
        broken="barrel stands in the open",
        edits=_walls("z->idle[i][k] = over / ring;", "z->idle[i][k] = 0.0;"),
        test="machine/test_directions.py::test_unfed_jackets_only_insulate",
        setting="one jacket not fed",
    ),
    Mutation(
        name="gap-radiation",
        part="walls",
        term="the gap of a jacket without exhaust radiates",
        broken="it only conducts",
        edits=_walls(
            "s->idle_still + radiation(s->idle_exchange, surface, shell)", "s->idle_still"
        ),
        test="laws/test_gap_swirl_entrance.py::test_unfed_jacket_conducts_and_radiates",
        setting="one jacket not fed",
    ),
    Mutation(
        name="drive-wall",
        part="walls",
        term="the drive's wall finds its own temperature",
        broken="it stays at ambient temperature",
        edits=_walls("return top / bottom;", "return m->ambient_temperature;"),
        test=DRIVE,
    ),
    Mutation(
        name="drive-friction-heat",
        part="walls",
        term="friction and impact warm the drive",
        broken="they do not",
        edits=_walls(
            "double top = drive_friction(m, strokes, period) + to_ambient",
            "double top = to_ambient",
        ),
        test=DRIVE,
    ),
    Mutation(
        name="blown",
        part="walls",
        term="air blown across barrel and head",
        broken="still air",
        edits=_walls("if (s->blown > 0.0)", "if (s->blown > 1e9)"),
        test=f"{STREAMS}::test_a_blown_barrel_and_head_lose_heat_by_stream_and_radiation",
        setting="streams outside",
    ),
    Mutation(
        name="bathed",
        part="walls",
        term="a liquid round the barrel has its own temperature",
        broken="that of the surroundings",
        edits=_walls(
            "s->bathed > 0.0 ? s->bath_temperature : m->ambient_temperature",
            "m->ambient_temperature",
        ),
        test=f"{STREAMS}::test_a_barrel_in_a_torrent_has_its_temperature",
        setting="streams outside",
    ),
    Mutation(
        name="line-coolant",
        part="stages",
        term="a coolant of the line has its own temperature",
        broken="that of the surroundings",
        edits=(
            Edit(
                "core/machine.py",
                'record["line_sink"] = pull / (own + more)',
                'record["line_sink"] = ambient',
            ),
        ),
        test=f"{STREAMS}::test_a_line_loses_to_both_what_its_wall_stands_above_them",
        setting="streams outside",
    ),
)
