/* From a machine to its running state: the fixed point of
 *
 *     walls and contents -> flow curves of the passages -> both strokes -> exhaust in phases
 *         -> heat to barrels, tubes and shells -> wall balances -> walls and contents.
 *
 * Coarse steps settle contents and walls first; what mixing learns there helps on the fine ones.
 * The machine has settled when no unknown changes any more and its watts sum to nothing.
 */

#define TEMPERATURE_SCALE 60.0 /* weighs walls against contents [K] */
#define SETTLED_CHANGE 2e-7    /* largest change of any scaled unknown at the end [-] */
#define CLOSED 3e-7            /* sum of the energy balance at the end, over the drive's power [-] */
#define MOST_ITERATIONS 300    /* on the final steps; some with slow lines take 200 */
#define START_FILL 0.5         /* interstage pressure to start from, over equal masses' [-]: a line
                                  that is too full stalls the stage that fills it */
#define LARGEST_AREA_RATIO 40.0
#define FIRST_INSTANTS 8       /* instants of the travel that a piston may take to pick up speed */
#define CREEP 0.02             /* speed over the highest below which a piston all but stops [-] */
#define RESPITE 6              /* plain iterations after a stall from extrapolated contents */
#define TOWARDS 0.5            /* cosine of a drift towards contents that stalled [-] */
#define PLAIN 2                /* iterations before mixing starts */
#define DOUBT 30               /* iterations after which steps are solved to SHARPER of the tolerance */
#define SHARPER 0.01
#define NEARER 0.5             /* a residual below this share of the last one noted is progress [-] */
#define STRAYED 10             /* iterations without, after which mixing forgets */
#define REGAIN 8               /* and so many go on plainly */

static const struct { double steps, change; int most; } COARSE[] = {{0.12, 0.03, 15}, {0.34, 1e-3, 40}};

/* All that one solution works in. */
typedef struct Workspace {
    Sizes sizes;
    Mixing mixing;
    Exhaust exhaust;
    Unknowns next, like;
    Contents near;
    March level[MAX_NODES][MAX_LEVELS + AGAIN];
    double y[MOST_ROWS], g[MOST_ROWS], sound[MOST_ROWS], beyond[MOST_ROWS], mixed[MOST_ROWS];
    double scale[MOST_ROWS];
    int64_t group[MOST_ROWS];
    Storage still; /* of steady walls: all nought */
    Solution opening;
} Workspace;

typedef struct Solver {
    const Machine *machine;
    const Gas *air;
    Resolution steps;
    Workspace *work;
    Solution *out;
    Side side[2];
    const Storage *then; /* where walls and contents come from */
    const volatile int32_t *stop;
    double settled;
    int64_t rows;
} Solver;

/* Whether the line before a stage has a wall that is followed. */
static int walled(const Stage *s) { return s->line >= 0 && s->line_length > 0.0; }

/* Call `each` on every unknown in use, in one fixed order. */
typedef void (*Visit)(double *value, int64_t row, int64_t group, void *context);

static int64_t visit_unknowns(const Machine *m, const Resolution *n, Unknowns *u, Visit each,
                              void *context)
{
    int64_t row = 0, cells = n->tube_cells + n->channel_cells;
    for (int64_t v = 0; v < m->volumes; v++)
        each(&u->mass[v], row++, 0, context);
    for (int64_t v = 0; v < m->volumes; v++)
        each(&u->energy[v], row++, 1, context);
    for (int64_t i = 0; i < m->stages; i++) {
        for (int64_t k = 0; k < n->rings; k++)
            each(&u->inside[i][k], row++, 2, context);
        for (int64_t k = 0; k < n->rings; k++)
            each(&u->outside[i][k], row++, 3, context);
        each(&u->head[i], row++, 4, context);
        each(&u->crown[i], row++, 5, context);
    }
    each(&u->drive_wall, row++, 6, context);
    for (int64_t node = 0; node < m->nodes; node++) {
        for (int64_t k = 0; k < cells; k++)
            each(&u->outer[node][k], row++, 7, context);
        each(&u->port_temperature[node], row++, 8, context);
    }
    each(&u->period, row++, 9, context);
    each(&u->wait, row++, 10, context);
    for (int64_t i = 0; i < m->stages; i++)
        if (walled(&m->stage[AT(i, MAX_STAGES)]))
            each(&u->line_wall[i], row++, 11, context);
    return row;
}

typedef struct Packing { Workspace *work; double *rows; const Machine *machine; const Gas *air; } Packing;

static void measure_row(double *value, int64_t row, int64_t group, void *context)
{
    Packing *c = context;
    const Machine *m = c->machine;
    double energy = m->supply_pressure * m->drive_area[0] * m->stroke;
    double of_mass = gas_in(m, c->air, row)->energy; /* masses come first */
    double scale = group == 0 ? energy / of_mass : group == 1 ? energy
                   : group == 9 || group == 10 ? 1.0 : TEMPERATURE_SCALE;
    double weight = group <= 1 ? 10.0
                    : group == 4 || group == 5 || group == 6 || group == 9 ? 4.0 : 1.0;
    (void)value;
    c->work->scale[AT(row, MOST_ROWS)] = scale;
    c->work->mixing.weight[row] = weight;
    c->work->group[row] = group;
}

static void pack_row(double *value, int64_t row, int64_t group, void *context)
{
    Packing *c = context;
    (void)group;
    c->rows[AT(row, MOST_ROWS)] = *value / c->work->scale[row];
}

static void unpack_row(double *value, int64_t row, int64_t group, void *context)
{
    Packing *c = context;
    (void)group;
    *value = c->rows[AT(row, MOST_ROWS)] * c->work->scale[row];
}

static int64_t pack(Solver *s, Unknowns *u, double *rows, Visit each)
{
    Packing context = {s->work, rows, s->machine, s->air};
    return visit_unknowns(s->machine, &s->steps, u, each, &context);
}

/* Pressure of every volume at the reversal to stroke 1 of a machine that has just been filled. */
static void start_pressures(const Machine *m, double *p)
{
    int64_t first = 2 + m->nodes;
    for (int64_t v = 0; v < m->volumes; v++)
        p[v] = 1.05 * m->ambient_pressure;
    p[1] = 0.95 * m->supply_pressure;
    for (int64_t i = 0; i < m->stages; i++)
        p[first + i] = feed_pressure(m, &m->stage[AT(i, MAX_STAGES)]);
    for (int64_t i = 0; i < m->stages; i++) {
        int64_t after = m->stage[i].after;
        if (after < 0)
            continue;
        /* The stage that draws from this line. */
        int64_t next = i + 1;
        for (int64_t j = 0; j < m->stages; j++)
            if (m->stage[j].line == after)
                next = j;
        double ratio = smaller(m->stage[i].area / m->stage[next].area, LARGEST_AREA_RATIO);
        double before = m->stage[i].line < 0 ? feed_pressure(m, &m->stage[i]) : p[m->stage[i].line];
        p[after] = START_FILL * before * ratio;
        p[first + next] = p[after];
    }
    for (int64_t i = 0; i < m->stages; i++)
        if (m->stage[i].compresses_on == 2)
            p[first + i] = m->stage[i].after >= 0 ? p[m->stage[i].after] : m->receiver_pressure;
}

/* Walls near the surroundings, stages at suction, interstage lines at a middle pressure. */
static void first_guess(Solver *s, Unknowns *u)
{
    const Machine *m = s->machine;
    double p[MAX_VOLUMES], ambient = m->ambient_temperature;
    start_pressures(m, p);
    memset(u, 0, sizeof *u);
    for (int64_t v = 0; v < m->volumes; v++) {
        int64_t i = v - 2 - m->nodes; /* its stage, where it is one */
        double T = i >= 0 && i < m->stages ? feed_temperature(m, &m->stage[AT(i, MAX_STAGES)])
                                           : m->supply_temperature;
        Thermo gas = thermo(gas_in(m, s->air, v), T, p[v]);
        u->mass[v] = gas.rho * s->side[0].start_volume[v];
        u->energy[v] = u->mass[v] * gas.h - p[v] * s->side[0].start_volume[v];
    }
    for (int64_t i = 0; i < m->stages; i++) {
        for (int64_t k = 0; k < s->steps.rings; k++)
            u->inside[i][k] = u->outside[i][k] = ambient + 20.0;
        u->head[i] = u->crown[i] = u->line_wall[i] = ambient + 20.0;
    }
    u->drive_wall = ambient - 8.0;
    for (int64_t node = 0; node < m->nodes; node++) {
        for (int64_t k = 0; k < s->steps.tube_cells + s->steps.channel_cells; k++)
            u->outer[node][k] = ambient - 10.0;
        u->port_temperature[node] = ambient - 20.0;
    }
    u->period = 1.0;
}

/* Temperatures of the walls round a passage. */
static void passage_walls(Solver *s, const Unknowns *u, int64_t node, PassageWalls *out)
{
    const Machine *m = s->machine;
    out->heat = (double)m->heat * m->passage[AT(node, MAX_NODES)].present;
    memcpy(out->outer, u->outer[node], sizeof out->outer);
    for (int64_t c = 0; c < s->steps.channel_cells; c++) {
        double under = 0.0, lying = 0.0;
        for (int64_t i = 0; i < m->stages; i++) {
            if (m->stage[i].node != node)
                continue;
            for (int64_t k = 0; k < s->steps.rings; k++) {
                double share = s->work->sizes.placed[node][c][k];
                under += share * u->outside[i][k];
                lying += share;
            }
        }
        out->barrel[c] = lying > 0.5 ? under / lying : m->ambient_temperature;
    }
}

static Setting stroke_setting(Solver *s, const Unknowns *u)
{
    const Machine *m = s->machine;
    Setting set;
    set.machine = m;
    set.air = s->air;
    set.resolution = &s->steps;
    set.sizes = &s->work->sizes;
    set.curve = s->out->curve;
    set.settled = s->settled;
    set.period = u->period;
    set.drive_wall = u->drive_wall;
    set.rest = m->hold + u->wait;
    memcpy(set.head, u->head, sizeof set.head);
    memcpy(set.line_wall, u->line_wall, sizeof set.line_wall);
    for (int64_t i = 0; i < m->stages; i++)
        set.gas_side[i] = gas_side_of(&m->stage[i], &s->steps, s->work->sizes.ring[i],
                                      u->inside[i], u->head[i], u->crown[i]);
    return set;
}

/* Both strokes from the unknowns' contents; `near` holds pressures and temperatures near them. */
static int run_cycle(Solver *s, const Unknowns *u, Contents *near)
{
    Setting set = stroke_setting(s, u);
    Solution *out = s->out;
    memcpy(near->mass, u->mass, sizeof near->mass);
    memcpy(near->energy, u->energy, sizeof near->energy);
    settle_contents(s->machine, s->air, s->side[0].start_volume, near);
    out->stalled_on = 0;
    for (int half = 0; half < 2; half++) {
        run_stroke(&set, &s->side[half], near, &out->stroke[half], &out->newton);
        if (out->stroke[half].ended != SOLVED) {
            out->stalled_on = out->stroke[half].ended == STALLED ? half + 1 : 0;
            return (int)out->stroke[half].ended;
        }
    }
    return SOLVED;
}

/* Exhaust in phases, their march, and what they do to the walls. */
static void pass_exhaust(Solver *s, int64_t node)
{
    const Machine *m = s->machine;
    const Passage *g = &m->passage[AT(node, MAX_NODES)];
    Solution *out = s->out;
    gather_exhaust(m, out->stroke, node, &s->work->exhaust);
    int64_t phases = s->steps.phases * (m->nodes == 1 ? 2 : 1);
    cut_pulses(&s->work->exhaust, phases, out->period, &out->pulses[node]);
    if (g->obstructs <= 0.0) {
        memset(&out->heat[node], 0, sizeof out->heat[node]);
        return;
    }
    for (int64_t k = 0; k < phases; k++)
        march(m, s->air, &s->steps, g, &out->around[node],
              out->pulses[node].mass[k] / out->pulses[node].time[k], out->pulses[node].T0[k], 1,
              &out->march[node][AT(k, MAX_PHASES)]);
    passage_heat(s->air, &s->steps, g, &out->pulses[node], out->march[node], &out->around[node],
                 out->period, &out->heat[node]);
}

/* Walls that the cycle leads to. */
static void answer_of_walls(Solver *s, const Unknowns *u, Unknowns *next)
{
    const Machine *m = s->machine;
    const Resolution *n = &s->steps;
    Solution *out = s->out;
    int64_t cells = n->tube_cells + n->channel_cells;
    for (int64_t i = 0; i < m->stages; i++) {
        Barrel *b = &out->barrel[i];
        gas_load(m, n, &s->work->sizes, out->stroke, i, out->period, b);
        outside_load(m, s->air, n, &s->work->sizes, u, out->heat, i, b);
        solve_barrel(m, n, &s->work->sizes, i, s->then, u->drive_wall, b);
        memcpy(next->inside[i], b->inside, sizeof b->inside);
        memcpy(next->outside[i], b->outside, sizeof b->outside);
        next->head[i] = b->head;
        next->crown[i] = b->crown;
        if (walled(&m->stage[i]))
            next->line_wall[i] = out->line_wall[i]
                = solve_line_wall(m, out->stroke, i, s->then, out->period);
    }
    for (int64_t node = 0; node < m->nodes; node++) {
        const PassageHeat *h = &out->heat[node];
        const Pulses *pulses = &out->pulses[node];
        double mass = 0.0, heat = 0.0;
        outer_to_ambient(m, s->air, n, &m->passage[node], u->outer[node], out->outer_ambient[node]);
        for (int64_t k = 0; k < cells; k++) {
            double stored = s->then->rate * s->then->outer[node][k];
            double both = larger(h->outer[k] + out->outer_ambient[node][k] + stored, 1e-12);
            double wall = (h->outer_pull[k] + out->outer_ambient[node][k] * m->ambient_temperature
                           + stored * s->then->before.outer[node][k]) / both;
            next->outer[node][k] = out->outer_wall[node][k]
                = h->outer[k] > 0.0 || stored > 0.0 ? wall : m->ambient_temperature;
        }
        for (int64_t k = 0; k < pulses->phases; k++) {
            mass += pulses->mass[k];
            heat += pulses->mass[k] * pulses->T0[k];
        }
        next->port_temperature[node] = heat / mass;
    }
    out->drive_ambient = drive_to_ambient(m, s->air, u->drive_wall);
    next->drive_wall = solve_drive_wall(m, n, &s->work->sizes, out->stroke, out->barrel, s->then,
                                        out->period, out->drive_ambient);
}

/* Contents at the reversal that a cycle leads to: all of what it ends with, or what is followed in
 * steps of time, whose change in a cycle is that of the step over the step's cycles. */
static void answer_of_contents(const Solver *s, const Contents *end, Unknowns *next)
{
    const Storage *then = s->then;
    for (int64_t v = 0; v < s->machine->volumes; v++) {
        double cycles = then->rate * then->kept[v] * s->out->period;
        next->mass[v] = (end->mass[v] + cycles * then->before.mass[v]) / (1.0 + cycles);
        next->energy[v] = (end->energy[v] + cycles * then->before.energy[v]) / (1.0 + cycles);
    }
}

/* Supply air that drive and stages take in a cycle [kg]. */
static double taken_in(const Machine *m, const Stroke *strokes)
{
    double sum = 0.0;
    for (int half = 0; half < 2; half++)
        for (int64_t k = 0; k < strokes[half].instants; k++) {
            sum += strokes[half].flow[k][0] * strokes[half].dt[k];
            for (int64_t i = 0; i < m->stages; i++)
                if (m->stage[i].line < 0 && m->stage[i].line != FROM_SOURCE)
                    sum += strokes[half].flow[k][2 + 2 * i] * strokes[half].dt[k];
        }
    return sum;
}

/* Extra rest at each end that brings the cycle to its imposed rate, and intake to capacity [s]. */
static double wait_wanted(const Machine *m, const Stroke *strokes, double wait, double period)
{
    double least = m->imposed ? 1.0 / m->imposed_rate : 0.0;
    if (m->capacity > 0.0)
        least = larger(least, taken_in(m, strokes) / m->capacity);
    return larger(0.5 * (least - (period - 2.0 * wait)), 0.0);
}

/* Once round the whole machine; SOLVED, STALLED or BROKEN. */
static int go_round(Solver *s, const Unknowns *u, Contents *near, Unknowns *next)
{
    const Machine *m = s->machine;
    Solution *out = s->out;
    out->start = *u;
    *next = *u;
    for (int64_t node = 0; node < m->nodes; node++) {
        passage_walls(s, u, node, &out->around[node]);
        node_curve(m, s->air, &s->steps, node, s->work->sizes.level[node], &out->around[node],
                   u->port_temperature[node], s->work->level[node], &out->curve[node]);
    }
    int ended = run_cycle(s, u, near);
    if (ended != SOLVED)
        return ended;
    out->period = 0.0;
    for (int half = 0; half < 2; half++)
        for (int64_t k = 0; k < out->stroke[half].instants; k++)
            out->period += out->stroke[half].dt[k];
    for (int64_t node = 0; node < m->nodes; node++)
        pass_exhaust(s, node);
    answer_of_walls(s, u, next);
    answer_of_contents(s, near, next);
    next->period = out->period;
    next->wait = m->imposed || m->capacity > 0.0
                     ? wait_wanted(m, out->stroke, u->wait, out->period) : 0.0;
    return SOLVED;
}

/* Whether a piston all but stops between its ends. */
static int creeps(const Solution *s)
{
    for (int half = 0; half < 2; half++) {
        const Stroke *r = &s->stroke[half];
        double highest = 0.0, slowest = INFINITY;
        for (int64_t k = r->first_travel; k < r->first_rest; k++) {
            double speed = r->dx[k] / larger(r->dt[k], 1e-12);
            highest = larger(highest, speed);
            if (k >= r->first_travel + FIRST_INSTANTS)
                slowest = smaller(slowest, speed);
        }
        if (slowest < CREEP * highest)
            return 1;
    }
    return 0;
}

/* How an iteration goes on: plainly, mixed, or back to what was sound. */
typedef struct Course {
    int natural;       /* it started from contents the machine came to by itself */
    int64_t respite;   /* plain iterations still to go */
    double noted;      /* residual last noted as progress */
    int64_t since;     /* iterations since */
    int stopped_once;  /* `beyond` holds contents that stalled */
} Course;

static int drifts_beyond(const Solver *s, const Course *c)
{
    const Workspace *w = s->work;
    double along = 0.0, drift2 = 0.0, far2 = 0.0;
    if (!c->stopped_once)
        return 0;
    for (int64_t i = 0; i < s->rows; i++) {
        double drift = w->g[i] - w->y[i], far = w->beyond[i] - w->y[i];
        along += drift * far;
        drift2 += drift * drift;
        far2 += far * far;
    }
    return along > TOWARDS * sqrt(drift2 * far2);
}

/* Choose the next point from y and its image g; true where the contents must be guessed anew. */
static int choose_next(Solver *s, Course *c, double residual, int lost, int early, int last)
{
    Workspace *w = s->work;
    size_t bytes = (size_t)s->rows * sizeof(double);
    c->respite = lost ? RESPITE : c->respite > 0 ? c->respite - 1 : 0;
    int nearer = residual <= NEARER * c->noted;
    if (nearer)
        c->noted = residual;
    c->since = nearer || c->respite > 0 ? 0 : c->since + 1;
    if (c->since >= STRAYED) {
        c->noted = INFINITY;
        c->since = 0;
        c->respite = REGAIN;
        w->mixing.kept = 0;
    }
    if (lost) {
        memcpy(w->g, w->sound, bytes);
        memcpy(w->y, w->sound, bytes);
    }
    int plain = c->respite > 0;
    if (early) {
        memcpy(w->mixed, w->g, bytes);
    } else {
        mix(&w->mixing, w->y, w->g, w->mixed);
        /* Drive chambers and exhaust nodes forget within a cycle: never extrapolated. */
        for (int64_t i = 0; i < s->rows; i++)
            if (w->group[i] <= 1 && i % s->machine->volumes < 2 + s->machine->nodes)
                w->mixed[i] = w->g[i];
    }
    c->natural = plain || early;
    int tried = last && drifts_beyond(s, c);
    memcpy(w->sound, w->g, bytes);
    memcpy(w->y, tried ? w->beyond : plain ? w->g : w->mixed, bytes);
    c->natural = c->natural || tried;
    return lost || tried;
}

static void note_worst(Solver *s)
{
    double top = -1.0;
    for (int64_t i = 0; i < s->rows; i++) {
        double change = fabs(s->work->g[i] - s->work->y[i]);
        if (change > top) {
            top = change;
            s->out->worst = s->work->group[i];
        }
    }
}

/* What to call a machine that has not settled. */
static int64_t reason(const Solver *s, int broken, double residual)
{
    const Solution *out = s->out;
    int rough = out->stroke[0].rough > 0.0 || out->stroke[1].rough > 0.0;
    if (residual <= SETTLED_CHANGE)
        return rough ? ROUGH_STEP : UNBALANCED;
    if (creeps(out) || out->stroke[0].turns > 0 || out->stroke[1].turns > 0
        || out->stroke[0].ended == STOPS_AND_GOES
        || out->stroke[1].ended == STOPS_AND_GOES)
        return STOPS_AND_GOES;
    return broken ? BROKEN : NOT_SETTLED;
}

/* Iterate on one set of steps; SOLVED once changes are below `change`. */
static int64_t iterate(Solver *s, Unknowns *u, int64_t respite, int coldly, double change, int most)
{
    Workspace *w = s->work;
    Solution *out = s->out;
    int final = change <= SETTLED_CHANGE;
    Course course = {1, respite, INFINITY, 0, 0};
    s->rows = pack(s, u, w->y, pack_row);
    memcpy(w->sound, w->y, (size_t)s->rows * sizeof(double));
    memcpy(w->near.mass, u->mass, sizeof w->near.mass);
    memcpy(w->near.energy, u->energy, sizeof w->near.energy);
    guess_contents(s->machine, s->air, s->side[0].start_volume, &w->near);
    double settled = s->settled;
    for (int count = 1; count <= most; count++) {
        if (s->stop && *s->stop)
            return INTERRUPTED;
        if (count == DOUBT)
            s->settled = SHARPER * settled; /* what is left may be the steps' own noise */
        pack(s, u, w->y, unpack_row);
        out->iterations++;
        int ended = go_round(s, u, &w->near, &w->next);
        double residual = INFINITY;
        if (ended == SOLVED) {
            pack(s, &w->next, w->g, pack_row);
            for (int64_t i = 0; i < s->rows; i++)
                w->mixed[i] = w->g[i] - w->y[i];
            residual = largest(w->mixed, s->rows);
        }
        out->residual = residual;
        int stalled = ended == STALLED, broken = !stalled && !isfinite(residual);
        int lost = (stalled || broken) && !course.natural;
        int rough = out->stroke[0].rough > 0.0 || out->stroke[1].rough > 0.0;
        int settles = residual <= change && !rough && !lost;
        if (settles && final) {
            write_balance(s->machine, &s->steps, &w->sizes, s->then, &w->next, out);
            settles = fabs(out->closure) <= CLOSED;
        }
        if (settles) {
            *u = w->next;
            s->settled = settled;
            return SOLVED;
        }
        if (stalled && !lost) {
            s->settled = settled;
            return STALLED;
        }
        if ((broken && !lost) || count == most) {
            if (ended == SOLVED)
                note_worst(s);
            s->settled = settled;
            return reason(s, broken, residual);
        }
        if (lost && stalled) {
            memcpy(w->beyond, w->y, (size_t)s->rows * sizeof(double));
            course.stopped_once = 1;
        }
        int early = coldly && count <= PLAIN;
        if (choose_next(s, &course, residual, lost, early, count == most - 1)) {
            pack(s, u, w->y, unpack_row);
            memcpy(w->near.mass, u->mass, sizeof w->near.mass);
            memcpy(w->near.energy, u->energy, sizeof w->near.energy);
            guess_contents(s->machine, s->air, s->side[0].start_volume, &w->near);
        }
    }
    return NOT_SETTLED;
}

static int64_t coarser(int64_t steps, double by, int64_t least)
{
    int64_t fewer = (int64_t)((double)steps * by + 0.5);
    return fewer > least ? fewer : least;
}

static void use_steps(Solver *s, const Resolution *n, double by)
{
    s->steps = *n;
    s->steps.release = by < 1.0 ? coarser(n->release, by, 3) : n->release;
    s->steps.travel = by < 1.0 ? coarser(n->travel, by, 6) : n->travel;
    s->steps.rest = by < 1.0 ? coarser(n->rest, by, 5) : n->rest;
    s->settled = n->settled / square(smaller(by, 1.0));
    for (int64_t k = 0; k <= s->steps.travel; k++)
        s->work->sizes.fraction[k] = travel_share(k, s->steps.travel);
}

/* Sizes, sides and scales of a machine. */
static void prepare(Solver *s, const Resolution *n, Unknowns *u)
{
    set_sizes(s->machine, n, &s->work->sizes);
    s->side[0] = stroke_side(s->machine, 1);
    s->side[1] = stroke_side(s->machine, 2);
    use_steps(s, n, 1.0);
    s->work->mixing.rows = s->rows = pack(s, u, NULL, measure_row);
}

/* Solve a machine that is known to be near `near`: no coarse steps, and mixing goes on with what
 * it learnt. */
static void solve_near(Solver *s, const Resolution *n, const Unknowns *near)
{
    Unknowns u = *near;
    prepare(s, n, &u);
    s->work->mixing.has_last = 0;
    s->out->stroke[0].rough = s->out->stroke[1].rough = 0.0;
    s->out->iterations = s->out->newton = 0;
    s->out->ended = iterate(s, &u, 0, 0, SETTLED_CHANGE, MOST_ITERATIONS);
}

/* One cycle from what stands at its start, and what walls and contents come to by its end. */
static void pass_cycle(Solver *s, const Resolution *n, const Unknowns *start)
{
    Workspace *w = s->work;
    Unknowns u = *start;
    prepare(s, n, &u);
    memcpy(w->near.mass, u.mass, sizeof w->near.mass);
    memcpy(w->near.energy, u.energy, sizeof w->near.energy);
    guess_contents(s->machine, s->air, s->side[0].start_volume, &w->near);
    s->out->ended = go_round(s, &u, &w->near, &w->next);
    memcpy(w->next.mass, w->near.mass, sizeof w->next.mass);
    memcpy(w->next.energy, w->near.energy, sizeof w->next.energy);
    s->out->start = w->next;
}

/* Solve a machine: coarse steps, then the ones asked for. */
static void solve_machine(Solver *s, const Resolution *n)
{
    Workspace *w = s->work;
    Unknowns u;
    s->side[0] = stroke_side(s->machine, 1);
    s->side[1] = stroke_side(s->machine, 2);
    use_steps(s, n, 1.0);
    first_guess(s, &u);
    prepare(s, n, &u);
    int64_t respite = 0, grids = (int64_t)(sizeof COARSE / sizeof COARSE[0]);
    for (int64_t k = 0; k <= grids; k++) {
        double by = k < grids ? COARSE[k].steps : 1.0;
        double change = k < grids ? COARSE[k].change : SETTLED_CHANGE;
        int most = k < grids ? COARSE[k].most : MOST_ITERATIONS;
        Unknowns start = u;
        use_steps(s, n, by);
        s->out->stroke[0].instants = s->out->stroke[1].instants = 0; /* of other steps */
        w->mixing.has_last = 0;
        s->out->ended = iterate(s, &u, respite, k == 0, change, most);
        if (s->out->ended == INTERRUPTED)
            return;
        respite = 0;
        if (k < grids && s->out->ended != SOLVED) {
            /* A machine that fails on coarse steps starts the next ones afresh. */
            u = start;
            respite = RESPITE;
            w->mixing.kept = 0;
        }
    }
}
