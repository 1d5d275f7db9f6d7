/* The exhaust of a cycle cut into phases, and what the phases and the rest between do to walls.
 *
 * Phases are consecutive in time and carry equal parts of the integral of flow^0.8, which is what
 * turbulent heat transfer goes with; mass and enthalpy of the cycle are kept exactly. Between
 * pulses the air that stayed in the passage warms towards its walls,
 *
 *     T rest = Te - (Te - T left) x (1 - exp(-N)) / N,     N = hA both x time at rest / (m cp),
 *
 * and what it gains is lost in part to the walls downstream when the next pulse carries it out:
 * of an excess exp(-NTU) is left, NTU that of the way there in the phase the air came with. So air
 * that rests, however often, never leaves warmer than the walls it met.
 */

#define IDLE_SHARE 0.005 /* flow, as a share of the peak, at which an instant counts half as rest [-] */
#define CAPACITY 1005.0  /* specific heat of the exhaust, to weigh what is left of an excess [J/(kg K)] */

/* Flow, temperature and time weight of a node's exhaust, its own pulse first. */
typedef struct Exhaust {
    int64_t count;
    double flow[2 * MAX_INSTANTS], T[2 * MAX_INSTANTS], dt[2 * MAX_INSTANTS];
} Exhaust;

/* The stroke on which a node's port exhausts comes first; with one node for both, stroke 1 does. */
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

/* What one cell of a passage is told of the air that rests in it. */
typedef struct Parcel {
    double T;      /* temperature its pulse brought it to there [K] */
    double past;   /* heat transfer units from the cell's middle to the outlet, in its own phase [-] */
    double excess; /* what is left there of the warming at rest in cycles before [K] */
} Parcel;

/* What has been found of the cells upstream. */
typedef struct Rested {
    const March *rows;                  /* of the phases */
    double pulse;                       /* mass of a whole pulse [kg] */
    double past[MAX_PHASES][MAX_CELLS]; /* units of heat transfer to the outlet, by phase [-] */
    double place[MAX_CELLS];            /* mass behind the middle of a cell [kg] */
    double own_past[MAX_CELLS];         /* units of heat transfer to the outlet, of its own air [-] */
    double excess[MAX_CELLS];           /* what rest has added when the next pulse comes [K] */
} Rested;

/* The phase that the air of a pulse belongs to which has `behind` of mass behind it, as a place
 * between the middles of phases: past the first and the last one there is no more. */
static double phase_of(const Pulses *pulses, double behind)
{
    double before = 0.0, middle = 0.0;
    for (int64_t k = pulses->phases - 1; k >= 0; k--) {
        double next = before + 0.5 * pulses->mass[k];
        if (behind <= next) {
            double share = k + 1 < pulses->phases ? (next - behind) / (next - middle) : 0.0;
            return (double)k + share;
        }
        middle = next;
        before += pulses->mass[k];
    }
    return 0.0;
}

/* Units of heat transfer from every cell's middle to the outlet, in one phase [-]. */
static void units_past(const Resolution *n, const March *row, double flow, double *past)
{
    double downstream = 0.0;
    for (int64_t i = n->tube_cells + n->channel_cells - 1; i >= 0; i--) {
        double both = row->outer[i] + (i >= n->tube_cells ? row->barrel[i - n->tube_cells] : 0.0);
        double units = both / (flow * CAPACITY);
        past[i] = downstream + 0.5 * units;
        downstream += units;
    }
}

static Parcel parcel_in(const Resolution *n, const Rested *r, double phase, int64_t cell)
{
    int64_t k = (int64_t)phase, above = (double)k < phase ? k + 1 : k;
    int64_t face = cell < n->tube_cells ? cell : cell + 1;
    double share = phase - (double)k;
    double low = 0.5 * (r->rows[k].T[face] + r->rows[k].T[face + 1]);
    double high = 0.5 * (r->rows[above].T[face] + r->rows[above].T[face + 1]);
    Parcel parcel = {low + share * (high - low),
                     r->past[k][cell] + share * (r->past[above][cell] - r->past[k][cell]), 0.0};
    return parcel;
}

/* What air that has `behind` of mass behind it brought to a cell, `cycles` after it came in. It
 * rested before where a pulse less stands behind, and loses of that excess on its way. */
static Parcel parcel_after(const Resolution *n, const Rested *r, const Pulses *pulses,
                           double behind, int64_t cycles, int64_t cell)
{
    double since = larger(behind - (double)cycles * r->pulse, 0.0), at = behind - r->pulse;
    Parcel parcel = parcel_in(n, r, phase_of(pulses, since), cell);
    if (cycles == 0 || cell == 0)
        return parcel;
    int64_t j = 0;
    while (j + 1 < cell && r->place[j + 1] <= at)
        j++;
    double excess = r->excess[j], past = r->own_past[j];
    if (j + 1 < cell) {
        double share = within((at - r->place[j]) / (r->place[j + 1] - r->place[j]), 0.0, 1.0);
        excess += share * (r->excess[j + 1] - excess);
        past += share * (r->own_past[j + 1] - past);
    }
    parcel.excess = excess * exp(-larger(past - parcel.past, 0.0));
    return parcel;
}

/* The air in a cell that has `behind` of mass behind it; where two pulses meet in it, both. */
static Parcel parcel_of(const Resolution *n, const Rested *r, const Pulses *pulses, double behind,
                        double held, int64_t cell)
{
    int64_t cycles = (int64_t)(behind / r->pulse);
    double meet = (double)(cycles + 1) * r->pulse;
    double share = within((behind + held - meet) / held, 0.0, 1.0);
    Parcel own = parcel_after(n, r, pulses, behind + 0.5 * (1.0 - share) * held, cycles, cell);
    if (share > 0.0) {
        Parcel before = parcel_after(n, r, pulses, meet + 0.5 * share * held, cycles + 1, cell);
        own.T += share * (before.T - own.T);
        own.past += share * (before.past - own.past);
        own.excess += share * (before.excess - own.excess);
    }
    return own;
}

/* Mean conductances of air at rest in a cell and what its walls take from it.
 *
 * The cells hold the end of a pulse, the last of it nearest to the port. A passage that holds more
 * than a pulse holds the end of the one before too, which has rested already, further upstream. */
static void air_at_rest(const Gas *air, const Resolution *n, const Passage *g,
                        const Pulses *pulses, const March *rows, const PassageWalls *walls,
                        double period, PassageHeat *heat)
{
    int64_t tube = n->tube_cells, count = tube + n->channel_cells;
    double dx_tube = g->tube_length / (double)tube, dx = g->length / (double)n->channel_cells;
    double behind = 0.0;
    Rested r;
    const March *last = &rows[AT(pulses->phases - 1, MAX_PHASES)];
    double p = smaller(last->p[0], last->p[count + 1]);
    r.rows = rows;
    r.pulse = 0.0;
    for (int64_t k = 0; k < pulses->phases; k++) {
        units_past(n, &rows[k], pulses->mass[k] / pulses->time[k], r.past[k]);
        r.pulse += pulses->mass[k];
    }
    heat->rest_barrel = heat->rest_outer = 0.0;
    for (int64_t i = 0; i < count; i++) {
        int64_t k = i - tube, face = i < tube ? i : i + 1;
        double inner = 0.0, outer, volume = i < tube ? g->tube_area * dx_tube : g->area * dx;
        double left = 0.5 * (last->T[face] + last->T[face + 1]);
        double held = larger(thermo(air, left, p).rho * volume, 1e-15);
        Parcel own = parcel_of(n, &r, pulses, behind, held, i);
        double T = own.T + own.excess;
        Transport carried;
        Thermo gas = properties(air, T, p, &carried);
        if (i < tube) {
            outer = g->still_tube * carried.conductivity * PI * dx_tube;
        } else {
            double h = g->still_channel * carried.conductivity / g->hydraulic_diameter;
            inner = h * (g->barrel_perimeter + g->fin_perimeter) * dx * walls->heat;
            outer = h * g->shell_perimeter * dx;
        }
        double both = inner + outer, pull = outer * walls->outer[i];
        if (i >= tube)
            pull += inner * walls->barrel[k];
        double level = both > 0.0 ? pull / both : T;
        double units = both * pulses->rest / larger(gas.rho * gas.h_T * volume, 1e-12);
        double mean = units > 1e-9 ? -expm1(-units) / units : 1.0;
        double T_rest = level - (level - T) * mean;
        r.place[i] = behind + 0.5 * held;
        r.own_past[i] = own.past;
        r.excess[i] = own.excess + (level - T) * -expm1(-units);
        behind += held;
        /* Of what it gains the walls downstream take back what its own march has given it there. */
        double share = pulses->rest / period * exp(-own.past);
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
static void passage_heat(const Gas *air, const Resolution *n, const Passage *g,
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
