/* The opening of each stroke once more, in even steps of time, for the peak of back-pressure.
 *
 * The exhaust peaks within milliseconds while the piston picks up speed, where steps of place are
 * long in time. Nothing else is taken from here. The highest pressure is that of the parabola
 * through the highest instant and its neighbours.
 */

#define OPENING 0.1        /* share of the stroke in which the piston picks up speed [-] */
#define OPENING_STEPS 0.75 /* steps of that over those of the travel: within 0.15 % of ten times as many */
#define LOOSER 1.0

/* Place, as a root of its share, at a time since the piston's start; from rest place goes with the
 * square of time. */
static double root_at(const double *time, const double *root, int64_t count, double t)
{
    int64_t k = 1;
    while (k < count - 1 && time[k] < t)
        k++;
    double span = time[AT(k, MAX_INSTANTS)] - time[AT(k - 1, MAX_INSTANTS)];
    double part = span > 0.0 ? (t - time[k - 1]) / span : 0.0;
    return root[k - 1] + within(part, 0.0, 1.0) * (root[k] - root[k - 1]);
}

/* Places of the opening passed at even intervals of time, shares of the stroke. */
static void even_times(const Solver *s, const Stroke *r, int64_t steps, double *share)
{
    double time[MAX_INSTANTS], root[MAX_INSTANTS], passed = 0.0;
    int64_t count = (r->by_place - r->first_travel) / 2 + 1; /* of the steps led by place */
    time[0] = root[0] = 0.0;
    for (int64_t k = 1; k < count; k++) {
        int64_t at = r->first_travel + 2 * k - 1;
        passed += r->dt[at - 1] + r->dt[at];
        time[k] = passed;
        root[k] = sqrt(s->work->sizes.fraction[k]);
    }
    double whole = time[count - 1]; /* where time leads before the opening's end, up to there */
    for (int64_t k = 1; k < count; k++) {
        double low = square(root[k - 1]), high = square(root[k]);
        if (high >= OPENING) {
            whole = time[k - 1] + (OPENING - low) / (high - low) * (time[k] - time[k - 1]);
            break;
        }
    }
    for (int64_t k = 0; k <= steps; k++)
        share[AT(k, MAX_INSTANTS)] = square(root_at(time, root, count, whole * (double)k / (double)steps));
}

/* Highest pressure on the parabola through the highest instant and its neighbours [Pa]. */
static double summit(const double *p, const double *time, int64_t count)
{
    int64_t top = 0;
    for (int64_t k = 1; k < count; k++)
        if (p[k] > p[top])
            top = k;
    double highest = p[top];
    if (count < 3)
        return highest;
    top = top < 1 ? 1 : top > count - 2 ? count - 2 : top;
    double before = time[top] - time[AT(top - 1, MAX_INSTANTS)];
    double after = time[AT(top + 1, MAX_INSTANTS)] - time[top];
    if (!(before > 0.0) || !(after > 0.0))
        return highest;
    double rise = (p[top] - p[top - 1]) / before, then = (p[top + 1] - p[top]) / after;
    if (!(rise > 0.0 && then < 0.0))
        return highest;
    double bend = (then - rise) / (before + after), slope = rise + bend * before;
    /* At even intervals no parabola rises more above its highest point; at uneven ones some do. */
    double most = p[top] + (p[top] - smaller(p[top - 1], p[top + 1])) / 8.0;
    return smaller(p[top] - square(slope) / (4.0 * bend), most);
}

static void opening_of(Solver *s, int half, const Contents *from, Stroke *again)
{
    const Machine *m = s->machine;
    Solution *out = s->out;
    double share[MAX_INSTANTS], p[MAX_INSTANTS], time[MAX_INSTANTS], passed = 0.0;
    int64_t steps = (int64_t)(OPENING_STEPS * (double)s->steps.travel + 0.5);
    even_times(s, &out->stroke[half], steps, share);
    Setting set = stroke_setting(s, &out->start);
    set.settled = LOOSER * s->settled;
    Walk walk;
    again->instants = 0;
    start_walk(&walk, &set, &s->side[half], from, again);
    release_piston(&walk);
    for (int64_t k = 0; k < steps && !walk.stalled && again->ended == SOLVED; k++)
        if (share[k + 1] > share[k])
            travel_on(&walk, share[k] * m->stroke, (share[k + 1] - share[k]) * m->stroke);
    out->newton += walk.newton;
    for (int64_t node = 0; node < m->nodes; node++) {
        int64_t count = 0;
        passed = 0.0;
        for (int64_t k = 0; k < again->instants; k++) {
            passed += again->dt[k];
            if (k % 2 == 1) {
                p[count] = again->p[k][2 + node];
                time[count++] = passed;
            }
        }
        if (count > 0)
            out->peak[node] = larger(out->peak[node], summit(p, time, count));
    }
}

/* Highest pressure of every node: of the opening in fine steps, and of the rest as it stands. */
static void find_peaks(Solver *s)
{
    const Machine *m = s->machine;
    Solution *out = s->out;
    for (int64_t node = 0; node < m->nodes; node++) {
        out->peak[node] = 0.0;
        for (int half = 0; half < 2; half++)
            for (int64_t k = 0; k < out->stroke[half].instants; k++)
                if (out->stroke[half].place[k] > OPENING * m->stroke
                    || k >= out->stroke[half].by_place)
                    out->peak[node] = larger(out->peak[node], out->stroke[half].p[k][2 + node]);
    }
    Contents from;
    memcpy(from.mass, out->start.mass, sizeof from.mass);
    memcpy(from.energy, out->start.energy, sizeof from.energy);
    guess_contents(m, s->air, s->side[0].start_volume, &from);
    opening_of(s, 0, &from, &s->work->opening.stroke[0]);
    memcpy(from.mass, out->stroke[0].end_mass, sizeof from.mass);
    memcpy(from.energy, out->stroke[0].end_energy, sizeof from.energy);
    memcpy(from.pressure, out->stroke[0].end_pressure, sizeof from.pressure);
    memcpy(from.temperature, out->stroke[0].end_temperature, sizeof from.temperature);
    opening_of(s, 1, &from, &s->work->opening.stroke[0]);
}
