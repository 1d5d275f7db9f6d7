/* A piston that turns back within its stroke: time leads, and place is what is found.
 *
 *     M dv/dt = net force, friction against the motion,     dx/dt = v
 *
 * Strokes are led by place (stroke.c), which cannot turn back: where no duration balances a step
 * any more, the piston has spent its energy on gas that its valves do not let go fast enough. From
 * there it is followed in time until it arrives, or until nothing moves any more: then, and only
 * then, the forces at that place cannot be overcome. Steps are led by how far place and pressures
 * change. A step that would pass a stop is led by place again, so that the piston lands on it.
 *
 * Lengths of steps chosen anew would make each iteration of the machine a little different from the
 * one before. So they are kept: a stroke goes in the steps of the iteration before while these fit.
 */

#define BOUNCE_TRAVEL 0.015   /* travel aimed at in a step, over the stroke [-] */
#define BOUNCE_PRESSURE 0.06  /* change of pressure aimed at in a step [-] */
#define BOUNCE_AIM 0.8        /* a new step is led to this share of both [-] */
#define BOUNCE_TOO_FAR 2.0    /* a step that goes so much farther than aimed at is taken again [-] */
#define BOUNCE_KEPT 4.0       /* and one of the steps kept [-] */
#define BOUNCE_LONGEST 5e-3   /* first step, at most [s] */
#define BOUNCE_SHORTEST 1e-8  /* a step that has to be shorter has failed [s] */
#define SHORTER 0.4           /* a step that failed is taken again so much shorter [-] */
#define TURNS_AT 1e-3         /* speed from which going back counts as turning [m/s] */
#define HESITATES 3.0         /* duration of a step, over that at the speed before, of a bounce [-] */
#define BOUNCE_COUNTS 1e-5    /* kinetic energy before it, over the drive's work, that matters [-] */
#define LONGEST_STROKE 1e5    /* a stroke that takes longer is a stalled one: a day [s] */

/* Steps in time of the same stroke an iteration ago. */
typedef struct Track {
    int64_t from, to; /* instants */
    double w[MAX_INSTANTS];
    int64_t led[MAX_INSTANTS];
} Track;

/* A place to go back to when a step is given up. */
typedef struct Mark {
    Walk walk;
    int64_t instants;
    double rough;
} Mark;

static void read_track(const Stroke *r, Track *out)
{
    out->from = out->to = 0;
    if (!sound(r) || r->by_place >= r->first_rest)
        return;
    out->from = r->by_place;
    out->to = r->first_rest;
    for (int64_t k = out->from; k + 1 < out->to; k += 2) {
        out->w[k] = r->dt[k] + r->dt[k + 1];
        out->led[k] = r->led[k];
    }
}

static Mark set_mark(const Walk *walk)
{
    Mark mark = {*walk, walk->out->instants, walk->out->rough};
    return mark;
}

static void go_back(Walk *walk, const Mark *mark)
{
    *walk = mark->walk;
    walk->out->instants = mark->instants;
    walk->out->ended = SOLVED;
    walk->out->rough = mark->rough;
}

static int failed(const Walk *walk, const Mark *mark)
{
    return walk->stalled || walk->out->ended != SOLVED || walk->out->rough > mark->rough;
}

/* How much farther than aimed at the last step went: above 1 where too far [-]. */
static double went_too_far(const Walk *before, const Walk *walk)
{
    double most = fabs(walk->base.place - before->base.place)
                  / (BOUNCE_TRAVEL * walk->set->machine->stroke);
    for (int64_t v = 0; v < walk->set->machine->volumes; v++)
        most = larger(most, fabs(walk->point.p[v] / before->point.p[v] - 1.0) / BOUNCE_PRESSURE);
    return most;
}

/* One step of given time; returns how far it went, or infinity where it failed and was given up. */
static double step_in_time(Walk *walk, double w, double too_far)
{
    Mark mark = set_mark(walk);
    walk->point.w = w;
    walk->has_before = 0;
    take_step(walk, BOUNCE, walk->base.place, walk->base.speed * w, 1, 0.0, 0.0);
    double far = failed(walk, &mark) ? INFINITY : went_too_far(&mark.walk, walk);
    if (far <= too_far)
        return far;
    go_back(walk, &mark);
    return INFINITY;
}

/* Land on a stop, led by place; false where the piston does not get there in one step. */
static int land(Walk *walk, double stop)
{
    Mark mark = set_mark(walk);
    double dx = stop - walk->base.place;
    double kinetic = 0.5 * walk->set->machine->moving_mass * square(walk->base.speed);
    if (dx * walk->base.speed <= 0.0)
        return 0;
    double drift = walk->base.kinetic - kinetic; /* work of the steps in time less what it gave */
    walk->base.kinetic = kinetic;
    walk->has_before = 0;
    walk->travelling = 1;
    walk->point.w = dx / walk->base.speed;
    take_step(walk, TRAVEL, walk->base.place, dx, 0, 0.0, 0.0);
    walk->travelling = 0;
    if (failed(walk, &mark)
        || went_too_far(&mark.walk, walk) > BOUNCE_KEPT) {
        go_back(walk, &mark);
        return 0;
    }
    /* What it brings to the stop is lost there. */
    walk->out->impact += walk->base.kinetic + drift;
    walk->base.kinetic = walk->base.speed = 0.0;
    walk->base.place = stop;
    return 1;
}

/* Instants that a stroke may take before its rest at the far stop. */
static int64_t room_for(const Walk *walk)
{
    return MAX_INSTANTS - 2 * (walk->set->resolution->rest + walk->set->resolution->release) - 8;
}

/* Rest at the stop, led by time, until the forces let the piston go, or for ever. */
static void wait_at_stop(Walk *walk)
{
    const Machine *m = walk->set->machine;
    double w = FIRST_DURATION, began = walk->elapsed;
    while (walk->out->instants < room_for(walk)) {
        Mark mark = set_mark(walk);
        double from = net_force(m, walk->side, walk->point.p);
        walk->point.w = w;
        walk->has_before = 0;
        take_step(walk, REST, 0.0, 0.0, 1, 0.0, 0.0);
        double far = failed(walk, &mark) ? INFINITY : went_too_far(&mark.walk, walk);
        int lets_go = isfinite(far) && net_force(m, walk->side, walk->point.p) >= 0.0;
        if (lets_go) {
            go_back(walk, &mark);
            walk->has_before = 0;
            walk->point.w = w;
            take_step(walk, RELEASE, 0.0, 0.0, 0, from, 0.0);
            if (!failed(walk, &mark))
                return;
        }
        if (far > BOUNCE_TOO_FAR || lets_go) {
            go_back(walk, &mark);
            w *= SHORTER;
            if (w < BOUNCE_SHORTEST) {
                walk->out->ended = BROKEN;
                return;
            }
            continue;
        }
        if (walk->elapsed - began > LONGEST_STROKE) {
            walk->stalled = 1;
            return;
        }
        w *= within(BOUNCE_AIM / larger(far, 1e-3), 0.5, 2.0);
    }
    walk->out->ended = STOPS_AND_GOES;
}

/* Rest at the stop until the forces let the piston go: led by the force while that only rises. */
static void leave_stop(Walk *walk)
{
    Mark mark = set_mark(walk);
    release_piston(walk);
    if (!failed(walk, &mark))
        return;
    go_back(walk, &mark);
    wait_at_stop(walk);
}

/* The next step: in the time that is kept, or in `w`, which is led to the next one's. Returns
 * whether the piston landed on the stop that the step, or the one kept, goes to. */
static int go_on(Walk *walk, double *w, Track *track)
{
    const Machine *m = walk->set->machine;
    int64_t k = walk->out->instants;
    int kept = k >= track->from && k + 1 < track->to;
    double stop = walk->base.speed < 0.0 ? 0.0 : m->stroke;
    if (kept && track->led[k] == TRAVEL && land(walk, stop))
        return 1;
    if (kept && track->led[k] != BOUNCE)
        kept = 0;
    Mark mark = set_mark(walk);
    double far = INFINITY;
    if (kept) {
        *w = track->w[k];
        far = step_in_time(walk, *w, BOUNCE_KEPT);
        kept = isfinite(far);
    }
    if (!kept)
        track->to = 0;
    if (!isfinite(far))
        far = step_in_time(walk, *w, BOUNCE_TOO_FAR);
    if (!isfinite(far)) {
        *w *= SHORTER;
        return 0;
    }
    double place = walk->base.place;
    if (place >= m->stroke || (place <= 0.0 && walk->base.speed < 0.0)) {
        go_back(walk, &mark);
        if (land(walk, place >= m->stroke ? m->stroke : 0.0))
            return 1;
        track->to = 0;
        *w *= SHORTER; /* It does not quite get there: in shorter steps. */
        return 0;
    }
    if (!kept)
        *w *= within(BOUNCE_AIM / larger(far, 1e-3), 0.5, 2.0);
    return 0;
}

/* Follow the piston in time from `place` on until it lands or nothing moves any more. */
static void bounce_on(Walk *walk, double place, Track *track)
{
    const Machine *m = walk->set->machine;
    Stroke *out = walk->out;
    double w = within(walk->point.w, BOUNCE_SHORTEST, BOUNCE_LONGEST), began = walk->elapsed;
    int going_on = 1;
    walk->known = 0;
    walk->travelling = 0;
    walk->base.place = place;
    walk->base.speed = sqrt(2.0 * larger(walk->base.kinetic, 0.0) / m->moving_mass);
    while (out->instants < room_for(walk)) {
        int landed = go_on(walk, &w, track);
        if (landed && walk->base.place > 0.0)
            return;
        if (landed && net_force(m, walk->side, walk->point.p) < 0.0)
            leave_stop(walk);
        if (walk->stalled || out->ended != SOLVED)
            return;
        if (w < BOUNCE_SHORTEST) {
            out->ended = BROKEN;
            return;
        }
        if (going_on && walk->base.speed < -TURNS_AT)
            out->turns++;
        going_on = walk->base.speed > -TURNS_AT;
        if (walk->elapsed - began > LONGEST_STROKE) {
            walk->stalled = 1;
            return;
        }
    }
    out->ended = STOPS_AND_GOES;
}

/* Whether the piston took so long over its step that it must have turned back within it: at rest
 * at the step's end, and braked evenly, it takes twice what its speed before would have taken. */
static int hesitates(const Walk *before, const Walk *walk, double dx)
{
    const Machine *m = walk->set->machine;
    double kinetic = before->base.kinetic, whole = m->supply_pressure * m->drive_area[walk->side->fed] * m->stroke;
    double speed = sqrt(2.0 * larger(kinetic, 0.0) / m->moving_mass);
    return kinetic > BOUNCE_COUNTS * whole && (walk->elapsed - before->elapsed) * speed > HESITATES * dx;
}

/* A whole stroke from given contents; `contents` are advanced to its end. */
static void run_stroke(const Setting *set, const Side *side, Contents *contents, Stroke *out,
                       int64_t *newton)
{
    const Machine *m = set->machine;
    int64_t steps = set->resolution->travel, n = m->volumes;
    Track track;
    Walk walk;
    read_track(out, &track);
    start_walk(&walk, set, side, contents, out);
    leave_stop(&walk);
    out->first_travel = out->by_place = out->instants;
    for (int64_t k = 0; k < steps && !walk.stalled && out->ended == SOLVED; k++) {
        double from = set->sizes->fraction[k] * m->stroke;
        double dx = set->sizes->fraction[k + 1] * m->stroke - from;
        Mark mark = set_mark(&walk);
        if (track.to == 0 || out->instants < track.from)
            travel_on(&walk, from, dx);
        if (failed(&walk, &mark) || out->instants == mark.instants
            || hesitates(&mark.walk, &walk, dx)) {
            go_back(&walk, &mark);
            bounce_on(&walk, from, &track);
            break;
        }
        out->by_place = out->instants;
    }
    out->first_rest = out->instants;
    out->impact += walk.base.kinetic;
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
