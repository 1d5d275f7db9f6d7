/* The exhaust of a cycle cut into phases, and what the phases and the rest between do to walls.
 *
 * Phases are consecutive in time and carry equal parts of the integral of flow^0.8, which is what
 * turbulent heat transfer goes with; mass and enthalpy of the cycle are kept exactly. Between
 * pulses the air that stayed in the passage warms towards its walls,
 *
 *     T rest = Te - (Te - T left) x (1 - exp(-N)) / N,     N = hA both x time at rest / (m cp),
 *
 * and what it gains is lost in part to the walls downstream when the next pulse carries it out.
 */

#define IDLE_SHARE 0.005 /* flow, as a share of the peak, at which an instant counts half as rest [-] */
#define LEFT_BEHIND 0.1  /* end of a pulse, by its integral of flow^0.8, left behind at rest [-] */
#define CAPACITY 1005.0  /* specific heat of the exhaust, to weigh what is left of an excess [J/(kg K)] */

/* Flow, temperature and time weight of a node's exhaust, its own pulse first. */
typedef struct Exhaust {
    int64_t count;
    double flow[2 * MAX_INSTANTS], T[2 * MAX_INSTANTS], dt[2 * MAX_INSTANTS];
} Exhaust;

/* The stroke on which a node's port vents comes first; with one node for both, stroke 1 does. */
static int64_t first_stroke_of(const Machine *m, int64_t node)
{
    return m->nodes == 1 || node == 1 ? 0 : 1;
}

static void gather_exhaust(const Machine *m, const Stroke *strokes, int64_t node, Exhaust *out)
{
    int64_t first = first_stroke_of(m, node);
    out->count = 0;
    for (int64_t half = 0; half < 2; half++) {
        const Stroke *s = &strokes[half == 0 ? first : 1 - first];
        for (int64_t k = 0; k < s->instants; k++) {
            out->flow[out->count] = larger(s->exhaust[k][AT(node, MAX_NODES)], 0.0);
            out->T[out->count] = s->T[k][2 + node];
            out->dt[out->count] = s->dt[k];
            out->count++;
        }
    }
}

static void cut_pulses(const Exhaust *e, int64_t phases, double period, Pulses *out)
{
    double peak = 0.0, whole = 0.0;
    double measure = 0.0, mass = 0.0, heat = 0.0, time = 0.0; /* up to the instant */
    double edge_mass = 0.0, edge_heat = 0.0, edge_time = 0.0; /* up to the last edge */
    int64_t phase = 0;
    for (int64_t k = 0; k < e->count; k++)
        peak = larger(peak, e->flow[k]);
    for (int64_t k = 0; k < e->count; k++)
        whole += pow(e->flow[k], 0.8) * e->dt[k];
    out->phases = phases;
    out->spare = 0;
    for (int64_t k = 0; k < e->count; k++) {
        double flowing = e->flow[k] / (e->flow[k] + IDLE_SHARE * peak + 1e-12) * e->dt[k];
        double m = e->flow[k] * e->dt[k], step = pow(e->flow[k], 0.8) * e->dt[k];
        while (phase < phases - 1 && measure + step > whole * (double)(phase + 1) / (double)phases) {
            double wanted = whole * (double)(phase + 1) / (double)phases;
            double part = within((wanted - measure) / larger(step, 1e-300), 0.0, 1.0);
            double at_mass = mass + part * m, at_heat = heat + part * m * e->T[k];
            double at_time = time + part * flowing;
            out->mass[phase] = larger(at_mass - edge_mass, 1e-15);
            out->T0[phase] = larger(at_heat - edge_heat, 1e-15) / out->mass[phase];
            out->time[phase] = larger(at_time - edge_time, 1e-15);
            edge_mass = at_mass;
            edge_heat = at_heat;
            edge_time = at_time;
            phase++;
        }
        measure += step;
        mass += m;
        heat += m * e->T[k];
        time += flowing;
    }
    for (; phase < phases; phase++) {
        out->mass[phase] = larger(mass - edge_mass, 1e-15);
        out->T0[phase] = larger(heat - edge_heat, 1e-15) / out->mass[phase];
        out->time[phase] = larger(time - edge_time, 1e-15);
        edge_mass = mass;
        edge_heat = heat;
        edge_time = time;
    }
    out->rest = larger(period - time, 0.0);
}

/* Mean conductances of air at rest in a cell and what its walls take from it. */
static void air_at_rest(const Air *air, const Resolution *n, const Passage *g,
                        const Pulses *pulses, const March *rows, const PassageWalls *walls,
                        double period, PassageHeat *heat)
{
    int64_t tube = n->tube_cells, count = tube + n->channel_cells;
    int64_t left = (int64_t)(LEFT_BEHIND * (double)n->phases + 0.5);
    left = left < 1 ? 1 : left;
    double dx_tube = g->tube_length / (double)tube, dx = g->length / (double)n->channel_cells;
    double T_face[MAX_FACES], p_first = 0.0, p_last = 0.0, downstream = 0.0, kept[MAX_CELLS];
    for (int64_t i = 0; i < count + 2; i++) {
        T_face[i] = 0.0;
        for (int64_t k = pulses->phases - left; k < pulses->phases; k++)
            T_face[i] += rows[k].T[i] / (double)left;
    }
    for (int64_t k = pulses->phases - left; k < pulses->phases; k++) {
        p_first += rows[k].p[0] / (double)left;
        p_last += rows[k].p[count + 1] / (double)left;
    }
    double p = smaller(p_first, p_last);
    /* Share of an excess of temperature at each cell that the next pulse carries out. */
    double capacity_flow = pulses->mass[0] / pulses->time[0] * CAPACITY;
    for (int64_t i = count - 1; i >= 0; i--) {
        double both = rows[0].outer[i] + (i >= tube ? rows[0].barrel[i - tube] : 0.0);
        double units = both / capacity_flow;
        kept[i] = exp(-(downstream + 0.5 * units));
        downstream += units;
    }
    heat->rest_barrel = heat->rest_outer = 0.0;
    for (int64_t i = 0; i < count; i++) {
        int64_t face = i < tube ? i : i + 1, k = i - tube;
        double T = 0.5 * (T_face[face] + T_face[face + 1]), inner = 0.0, outer, held;
        Transport carried;
        Thermo gas = properties(air, T, p, &carried);
        if (i < tube) {
            outer = g->still_tube * carried.conductivity * PI * dx_tube;
            held = g->tube_area * dx_tube;
        } else {
            double h = g->still_channel * carried.conductivity / g->hydraulic_diameter;
            inner = h * (g->barrel_perimeter + g->fin_perimeter) * dx * walls->heat;
            outer = h * g->shell_perimeter * dx;
            held = g->area * dx;
        }
        double both = inner + outer, pull = outer * walls->outer[i];
        if (i >= tube)
            pull += inner * walls->barrel[k];
        double level = both > 0.0 ? pull / both : T;
        double units = both * pulses->rest / larger(gas.rho * gas.h_T * held, 1e-12);
        double mean = units > 1e-9 ? -expm1(-units) / units : 1.0;
        double T_rest = level - (level - T) * mean;
        double share = pulses->rest / period * kept[i];
        outer *= share;
        inner *= share;
        heat->outer[i] += outer;
        heat->outer_pull[i] += outer * T_rest;
        heat->rest_outer += outer * (walls->outer[i] - T_rest);
        if (i >= tube) {
            heat->barrel[k] += inner;
            heat->barrel_pull[k] += inner * T_rest;
            heat->rest_barrel += inner * (walls->barrel[k] - T_rest);
        }
    }
}

/* Average a marched pulse and the rest after it over the cycle, at each wall cell. */
static void passage_heat(const Air *air, const Resolution *n, const Passage *g,
                         const Pulses *pulses, const March *rows, const PassageWalls *walls,
                         double period, PassageHeat *heat)
{
    int64_t tube = n->tube_cells, count = tube + n->channel_cells;
    memset(heat, 0, sizeof *heat);
    for (int64_t k = 0; k < pulses->phases; k++) {
        double weight = pulses->time[k] / period;
        const March *row = &rows[AT(k, MAX_PHASES)];
        for (int64_t i = 0; i < count; i++) {
            heat->outer[i] += weight * row->outer[i];
            heat->outer_pull[i] += weight * row->outer[i] * row->seen[i];
            if (i >= tube) {
                heat->barrel[i - tube] += weight * row->barrel[i - tube];
                heat->barrel_pull[i - tube] += weight * row->barrel[i - tube] * row->seen[i];
            }
        }
    }
    air_at_rest(air, n, g, pulses, rows, walls, period, heat);
}
