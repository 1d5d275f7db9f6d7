/* A machine that stands still between two fills: walls cool one another and to the surroundings.
 *
 *     air in a jacket's gap   inner (T barrel - T) + outer (T shell - T) = 0
 *
 * It holds no heat. Gas in chambers and lines exchanges none: it is shut in, or gone. All else is
 * the balances of walls.c without gas, over an implicit step of time.
 */

#define REST_PASSES 2000    /* passes over walls that see one another through a gap */
#define REST_SETTLED 1e-8   /* largest change of a wall in the last pass [K] */

/* What still air in tube and gap does to their walls. */
static void still_air(const Machine *m, const Gas *air, const Resolution *n, const Passage *g,
                      const PassageWalls *walls, PassageHeat *heat)
{
    double dx = g->length / (double)n->channel_cells;
    Transport carried = transport(air, m->ambient_temperature, m->ambient_pressure);
    memset(heat, 0, sizeof *heat);
    if (g->present <= 0.0 || g->hydraulic_diameter <= 0.0)
        return;
    double h = g->still_channel * carried.conductivity / g->hydraulic_diameter;
    for (int64_t k = 0; k < n->channel_cells; k++) {
        int64_t cell = n->tube_cells + k;
        double inner = h * (g->barrel_perimeter + g->fin_perimeter) * dx * walls->heat;
        double outer = h * g->shell_perimeter * dx;
        double T = (inner * walls->barrel[k] + outer * walls->outer[AT(cell, MAX_CELLS)]) / (inner + outer);
        heat->barrel[k] = inner;
        heat->barrel_pull[k] = inner * T;
        heat->outer[cell] = outer;
        heat->outer_pull[cell] = outer * T;
    }
}

/* Walls at the end of an implicit step in which the machine stands still; contents stay. */
static void rest_machine(Solver *s, const Resolution *n, const Unknowns *start)
{
    const Machine *m = s->machine;
    Workspace *w = s->work;
    Solution *out = s->out;
    Unknowns u = *start;
    prepare(s, n, &u);
    out->period = 1.0;
    for (int half = 0; half < 2; half++) {
        out->stroke[half].instants = 0;
        out->stroke[half].impact = 0.0;
    }
    out->ended = NOT_SETTLED;
    for (int pass = 0; pass < REST_PASSES && out->ended != SOLVED; pass++) {
        double change = 0.0;
        for (int64_t node = 0; node < m->nodes; node++) {
            out->pulses[node].phases = 0;
            passage_walls(s, &u, node, &out->around[node]);
            still_air(m, s->air, n, &m->passage[node], &out->around[node], &out->heat[node]);
        }
        w->next = u;
        answer_of_walls(s, &u, &w->next);
        memcpy(w->next.port_temperature, start->port_temperature, sizeof u.port_temperature);
        pack(s, &u, w->y, pack_row);
        pack(s, &w->next, w->g, pack_row);
        for (int64_t i = 0; i < s->rows; i++)
            change = larger(change, fabs(w->g[i] - w->y[i]) * TEMPERATURE_SCALE);
        u = w->next;
        if (change < REST_SETTLED)
            out->ended = SOLVED;
    }
    out->start = u;
}
