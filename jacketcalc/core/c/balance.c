/* Every watt by name: the energy flows into the whole machine, which sum to nothing.
 *
 * Enthalpies count from the same gas at ambient temperature and pressure. Heat to ambient is taken
 * from the wall balances, gas from the strokes, so the sum closes only when strokes, passages and
 * walls agree. Order of the terms: drive supply, stage supply, receiver, exhaust at the outlets; barrel
 * and head of each stage; tubes, shells, drive cylinder, lines between stages; where a machine is
 * followed through time, what walls and contents give up.
 */

/* Enthalpy above that at ambient that a path carries in a cycle [W]. */
static double carried_by(const Solution *s, int64_t path, double zero)
{
    double sum = 0.0;
    for (int half = 0; half < 2; half++)
        for (int64_t k = 0; k < s->stroke[half].instants; k++)
            sum += (s->stroke[half].enthalpy[k][path] - zero * s->stroke[half].flow[k][path])
                   * s->stroke[half].dt[k];
    return sum / s->period;
}

/* Work of the drive gas on the piston in a cycle [J]. */
static double drive_work(const Machine *m, const Solution *s)
{
    double work = 0.0;
    for (int fed = 0; fed < 2; fed++) {
        const Stroke *r = &s->stroke[fed];
        for (int64_t k = 0; k < r->instants; k++)
            work += (r->p[k][fed] * m->drive_area[fed] - r->p[k][1 - fed] * m->drive_area[1 - fed])
                    * r->dx[k];
    }
    return work;
}

/* Heat into a node's exhaust from its barrel, as the wall balance gives it [W]. */
static double heat_from_barrel(const Machine *m, const Resolution *n, const Sizes *z,
                               const Solution *s, int64_t node)
{
    double sum = 0.0;
    for (int64_t i = 0; i < m->stages; i++) {
        if (m->stage[i].node != node)
            continue;
        for (int64_t c = 0; c < n->channel_cells; c++)
            for (int64_t k = 0; k < n->rings; k++)
                sum += z->placed[node][c][k]
                       * (s->heat[node].barrel[c] * s->barrel[i].outside[k]
                          - s->heat[node].barrel_pull[c]);
    }
    return sum;
}

/* Heat from tube wall or shell into a node's exhaust where walls are followed through time [W]. */
static double heat_from_outer(const Solution *s, int64_t node, int64_t cells)
{
    double sum = 0.0;
    for (int64_t k = 0; k < cells; k++)
        sum += s->heat[node].outer[k] * s->outer_wall[node][k] - s->heat[node].outer_pull[k];
    return sum;
}

/* Enthalpy at ambient of what a volume holds [J/kg]. */
static double zero_in(const Machine *m, int64_t volume)
{
    return volume < 2 + m->nodes ? m->ambient_enthalpy : m->gas_ambient_enthalpy;
}

/* Heat that walls and contents give up as a machine is followed through time [W]. */
static double given_up(const Machine *m, const Resolution *n, const Storage *then,
                       const Unknowns *now, const Solution *s)
{
    const Unknowns *old = &then->before;
    double sum = then->drive * (old->drive_wall - now->drive_wall);
    for (int64_t i = 0; i < m->stages; i++) {
        sum += then->head[i] * (old->head[i] - now->head[i])
               + then->crown[i] * (old->crown[i] - now->crown[i])
               + then->line[i] * (old->line_wall[i] - now->line_wall[i]);
        for (int64_t k = 0; k < n->rings; k++)
            sum += then->ring[i] * (then->middle[i][k] - s->barrel[i].middle[k]);
    }
    for (int64_t node = 0; node < m->nodes; node++)
        for (int64_t k = 0; k < n->tube_cells + n->channel_cells; k++)
            sum += then->outer[node][k] * (old->outer[node][k] - now->outer[node][k]);
    for (int64_t v = 0; v < m->volumes; v++)
        sum += then->kept[v] * (old->energy[v] - now->energy[v]
                                - zero_in(m, v) * (old->mass[v] - now->mass[v]));
    return then->rate * sum;
}

/* Heat from the surroundings into tube wall or shell, cells `from` to `to`: all of it reaches a
 * node's exhaust where walls are steady [W]. */
static double heat_from_ambient(const Machine *m, const Solution *s, const Storage *then,
                                int64_t node, int64_t from, int64_t to)
{
    double sum = 0.0;
    for (int64_t k = from; k < to; k++) {
        if (then->rate > 0.0) {
            sum += s->outer_ambient[node][k] * (m->ambient_temperature - s->outer_wall[node][k]);
            continue;
        }
        double h = s->heat[node].outer[k], ambient = s->outer_ambient[node][k];
        double air = s->heat[node].outer_pull[k] / larger(h, 1e-12);
        sum += h * ambient / larger(h + ambient, 1e-12) * (m->ambient_temperature - air);
    }
    return sum;
}

static double lines_to_ambient(const Machine *m, const Solution *s)
{
    double sum = 0.0;
    for (int64_t i = 0; i < m->stages; i++) {
        int64_t line = m->stage[i].line;
        if (line < 0)
            continue;
        if (m->stage[i].line_length > 0.0) {
            sum += m->stage[i].line_loss * (s->line_wall[i] - m->stage[i].line_sink) * s->period;
            continue;
        }
        for (int half = 0; half < 2; half++)
            for (int64_t k = 0; k < s->stroke[half].instants; k++)
                sum += m->stage[i].line_loss
                       * (s->stroke[half].T[k][line] - m->stage[i].line_sink) * s->stroke[half].dt[k];
    }
    return sum / s->period;
}

static void write_balance(const Machine *m, const Resolution *n, const Sizes *z,
                          const Storage *then, const Unknowns *now, Solution *s)
{
    double zero = m->ambient_enthalpy, gas_zero = m->gas_ambient_enthalpy;
    double drawn = 0.0, delivered = 0.0, outlet = 0.0, tubes = 0.0, shells = 0.0, outer = 0.0;
    double barrel[MAX_NODES] = {0.0}, sum = 0.0, *out = s->balance;
    int64_t cells = n->tube_cells + n->channel_cells, at = 4;
    for (int64_t i = 0; i < m->stages; i++) {
        if (m->stage[i].line < 0)
            drawn += carried_by(s, 2 + 2 * i, gas_zero);
        if (m->stage[i].after < 0)
            delivered += carried_by(s, 3 + 2 * i, gas_zero);
    }
    for (int64_t node = 0; node < m->nodes; node++) {
        for (int half = 0; half < 2; half++)
            for (int64_t k = 0; k < s->stroke[half].instants; k++)
                outlet += (s->stroke[half].exhaust_enthalpy[k][node]
                         - zero * s->stroke[half].exhaust[k][node]) * s->stroke[half].dt[k]
                        / s->period;
        barrel[node] = heat_from_barrel(m, n, z, s, node);
        tubes += heat_from_ambient(m, s, then, node, 0, n->tube_cells);
        shells += heat_from_ambient(m, s, then, node, n->tube_cells, cells);
        outlet += barrel[node];
        outer += heat_from_outer(s, node, cells);
    }
    out[0] = carried_by(s, 0, zero);
    out[1] = drawn;
    out[2] = -delivered;
    out[3] = then->rate > 0.0 ? -(outlet + outer) : -(outlet + tubes + shells);
    for (int64_t i = 0; i < m->stages; i++) {
        const Barrel *b = &s->barrel[i];
        double to_ambient = 0.0;
        for (int64_t k = 0; k < n->rings; k++)
            to_ambient += b->air[k] * b->outside[k] - b->air_pull[k];
        if (m->stage[i].node >= 0)
            to_ambient -= barrel[m->stage[i].node];
        out[at++] = -to_ambient;
        out[at++] = -b->head_ambient * (b->head - m->ambient_temperature);
    }
    out[at++] = tubes;
    out[at++] = shells;
    out[at++] = -s->drive_ambient * (s->start.drive_wall - m->ambient_temperature);
    out[at++] = -lines_to_ambient(m, s);
    if (then->rate > 0.0)
        out[at++] = given_up(m, n, then, now, s);
    s->statements = at;
    for (int64_t k = 0; k < at; k++)
        sum += out[k];
    s->closure = sum * s->period / larger(drive_work(m, s), 1e-300);
}
