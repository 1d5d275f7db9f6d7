/* A piston that turns back within its stroke: time leads, and place is what is found.
 *
 *     M dv/dt = net force, friction against the motion,     dx/dt = v
 *
 * Strokes are led by place (stroke.c), which cannot turn back: where no duration balances a step
 * any more, the piston has spent its energy on gas that its valves do not let go fast enough. From
 * there it is followed in time until it arrives, or until nothing moves any more: then, and only
 * then, the forces at that place cannot be overcome. Steps are led by how far place and pressures
 * change; the last one is led by place again, so that the piston lands where the stroke ends.
 */

#define BOUNCE_TRAVEL 0.025   /* travel aimed at in a step, over the stroke [-] */
#define BOUNCE_PRESSURE 0.12  /* change of pressure aimed at in a step [-] */
#define BOUNCE_TOO_FAR 3.0    /* a step that goes so much farther than aimed at is taken again [-] */
#define BOUNCE_LONGEST 5e-3   /* first step, at most [s] */
#define BOUNCE_SHORTEST 1e-8  /* a step that has to be shorter has failed [s] */
#define LONGEST_STROKE 1e5    /* a stroke that takes longer is a stalled one: a day [s] */

/* How much farther than aimed at the last step went: above 1 where too far [-]. */
static double went_too_far(const Walk *before, const Walk *walk)
{
    double most = fabs(walk->base.place - before->base.place)
                  / (BOUNCE_TRAVEL * walk->set->machine->stroke);
    for (int64_t v = 0; v < walk->set->machine->volumes; v++)
        most = larger(most, fabs(walk->point.p[v] / before->point.p[v] - 1.0) / BOUNCE_PRESSURE);
    return most;
}

/* One step of given time; false where it has to be taken shorter. */
static int step_in_time(Walk *walk, double w)
{
    Walk before = *walk;
    Stroke *out = walk->out;
    int64_t noted = out->instants;
    double rough = out->rough;
    walk->point.w = w;
    walk->has_before = 0;
    take_step(walk, BOUNCE, walk->base.place, walk->base.speed * w, 1, 0.0, 0.0);
    int failed = out->ended == BROKEN || out->rough > rough;
    if (!failed && went_too_far(&before, walk) <= BOUNCE_TOO_FAR)
        return 1;
    *walk = before;
    out->instants = noted;
    out->ended = SOLVED;
    out->rough = rough;
    return 0;
}

/* Land at the end of the stroke, led by place; false where the piston turns back before it. */
static int land(Walk *walk, double *drift)
{
    const Machine *m = walk->set->machine;
    Walk before = *walk;
    Stroke *out = walk->out;
    int64_t noted = out->instants;
    double rough = out->rough, dx = m->stroke - walk->base.place;
    double kinetic = 0.5 * m->moving_mass * square(walk->base.speed);
    *drift = walk->base.kinetic - kinetic;
    walk->base.kinetic = kinetic;
    walk->travelling = 1;
    walk->has_before = 0;
    walk->known = 0;
    walk->point.w = dx / larger(walk->base.speed, 1e-6);
    take_step(walk, TRAVEL, walk->base.place, dx, 0, 0.0, 0.0);
    if (!walk->stalled && out->ended == SOLVED && out->rough == rough)
        return 1;
    *walk = before;
    out->instants = noted;
    out->ended = SOLVED;
    out->rough = rough;
    return 0;
}

/* Follow the piston in time from `place` on until it lands or nothing moves any more. */
static void bounce_on(Walk *walk, double place)
{
    const Machine *m = walk->set->machine;
    Stroke *out = walk->out;
    int64_t room = MAX_INSTANTS - 2 * walk->set->resolution->rest - 8;
    double w = within(walk->point.w, BOUNCE_SHORTEST, BOUNCE_LONGEST), drift = 0.0;
    double began = walk->elapsed;
    int going_on = 1;
    walk->known = 0;
    walk->base.place = place;
    walk->base.speed = sqrt(2.0 * larger(walk->base.kinetic, 0.0) / m->moving_mass);
    while (out->instants < room) {
        Walk before = *walk;
        int64_t noted = out->instants;
        if (!step_in_time(walk, w)) {
            w *= 0.4;
            if (w < BOUNCE_SHORTEST) {
                out->ended = BROKEN;
                return;
            }
            continue;
        }
        double far = went_too_far(&before, walk);
        if (walk->base.place >= m->stroke) {
            Walk beyond = *walk;
            *walk = before;
            out->instants = noted;
            if (land(walk, &drift)) {
                walk->base.kinetic += drift;
                return;
            }
            /* It does not quite get there: in shorter steps. */
            w *= 0.4;
            if (w >= BOUNCE_SHORTEST)
                continue;
            *walk = beyond;
            out->ended = BROKEN;
            return;
        }
        if (walk->base.place <= 0.0 && walk->base.speed < 0.0) {
            /* Back at its stop: it rests there until the forces let it go again. */
            walk->base.place = 0.0;
            walk->base.speed = 0.0;
        }
        if (going_on && walk->base.speed < -EASE)
            out->turns++;
        going_on = walk->base.speed > -EASE;
        if (walk->elapsed - began > LONGEST_STROKE) {
            walk->stalled = 1;
            return;
        }
        w *= within(0.8 / larger(far, 1e-3), 0.5, 2.0);
    }
    out->ended = STOPS_AND_GOES;
}

/* A whole stroke from given contents; `contents` are advanced to its end. */
static void run_stroke(const Setting *set, const Side *side, Contents *contents, Stroke *out,
                       int64_t *newton)
{
    const Machine *m = set->machine;
    int64_t steps = set->resolution->travel, n = m->volumes;
    Walk walk;
    start_walk(&walk, set, side, contents, out);
    release_piston(&walk);
    out->first_travel = out->instants;
    for (int64_t k = 0; k < steps && !walk.stalled && out->ended == SOLVED; k++) {
        double from = set->sizes->fraction[k] * m->stroke;
        Walk before = walk;
        int64_t noted = out->instants;
        double rough = out->rough;
        travel_on(&walk, from, (set->sizes->fraction[k + 1] - set->sizes->fraction[k]) * m->stroke);
        if (walk.stalled || out->ended == BROKEN || out->rough > rough) {
            walk = before;
            out->instants = out->by_place = noted;
            out->ended = SOLVED;
            out->rough = rough;
            bounce_on(&walk, from);
            break;
        }
        out->by_place = out->instants;
    }
    out->first_rest = out->instants;
    out->impact = walk.base.kinetic;
    walk.base.kinetic = 0.0;
    walk.has_before = walk.travelling = 0;
    if (walk.stalled)
        out->ended = STALLED;
    if (out->ended == SOLVED)
        take_rest(&walk);
    *newton += walk.newton;
    for (int64_t v = 0; v < n; v++) {
        out->end_mass[v] = contents->mass[v] = walk.base.mass[v];
        out->end_energy[v] = contents->energy[v] = walk.base.energy[v];
        out->end_pressure[v] = contents->pressure[v] = walk.point.p[v];
        out->end_temperature[v] = contents->temperature[v] = walk.point.T[v];
    }
}
