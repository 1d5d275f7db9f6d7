/* One stroke of the machine: the contents of all volumes and the piston, from one reversal of the
 * control valve to the next.
 *
 * Three phases, each with its own independent variable, so that switching instants are met
 * exactly: the force on the piston that still rests at its stop, the piston's place, and time at
 * the far stop. A step is the two-stage, L-stable, stiffly accurate DIRK method of second order
 * (Alexander 1977). In each of its instants, with a = weight, w = duration of the step:
 *
 *     mass     rho V - a w (sum of flows in - out)                        = m at the start
 *     energy   m h - p V - a [ w (sum of h F in - out - G (T - Twall))
 *                              - p dV - phase lead ]                      = U at the start
 *              air that comes through a port brings its heat with it (ports.c)
 *     piston   travel:   M (dx/w)^2 / 2 - a dx x net force                = E at the start
 *              at rest:  net force = the force asked for, or w is given
 *
 *     net force = sum of area x (p - ambient) over all faces, less friction
 *
 * Unknown are pressure and temperature of every volume, and w. Newton's method solves the
 * contents for their answer to the residuals and to a longer step (dense elimination), then the
 * piston's balance for the step's duration. What is carried forward are mass, energy and kinetic
 * energy by the same fluxes on both sides of every path, so that they close whatever Newton's
 * tolerance is.
 */

#define DIAGONAL 0.29289321881345254 /* 1 - sqrt(1/2): the method's diagonal [-] */
#define LEAST_LEFT 0.6      /* least contents a step's second instant starts from, over the first's [-] */
#define PATIENCE 12         /* Newton iterations after which half steps are taken */
#define MOST_NEWTON 60      /* Newton iterations before a step is called rough */
#define LONGEST_STEP 60.0   /* a step that takes longer is a stalled piston [s] */
#define GUESS_CONTENTS 0.1  /* largest relative change of p and T that is extrapolated [-] */
#define GUESS_SPEED 0.3     /* largest relative change of speed that is [-] */
#define LEAST_SPEED 0.2     /* least extrapolated speed over the one before [-] */
#define LEAST_WAIT 1e-6     /* shortest duration that a speed is read from [s] */
#define FIRST_DURATION 2e-3 /* guess for the first step of a stroke [s] */
#define SHORTENING 0.75     /* largest relative shortening of a step in one iteration [-] */
#define LENGTHENING 3.0     /* and lengthening [-] */
#define LEAST_DURATION 1e-12
#define LARGEST_CHANGE 0.3  /* largest relative change of p or T in one Newton iteration [-] */
#define NODE_WARMS 0.1      /* and of a node's temperature: it is small and its inflow switches [-] */
#define NEAR_AMBIENT 0.01   /* excess over ambient, relative, below which a node must be exact */
#define EXACT 0.1           /* change of such a pressure, over ambient, that counts as 1 [-] */
#define SEAT_MATTERS 1e-4   /* relative change below which a step is not held at a valve's seat [-] */
#define NODE_ZONE 2.0       /* excess over ambient within which a node's outflow may close [Pa] */
#define LONGEST_CHANGE 0.05 /* of travel in one Newton iteration, over the stroke [-] */
#define UNKNOWN (2 * MAX_VOLUMES)

enum { RELEASE, TRAVEL, REST, BOUNCE };

/* Paths, areas and volumes of one stroke. */
typedef struct Side {
    int64_t number, fed, emptied;
    int64_t up[MAX_PATHS], down[MAX_PATHS]; /* volumes; from `volumes` on supply, receiver, source */
    int64_t paths;
    double rate[MAX_VOLUMES];         /* change of volume with piston travel [m2] */
    double push[MAX_VOLUMES];         /* area that each volume's pressure pushes on [m2] */
    double rub[MAX_VOLUMES];          /* friction for each volume's pressure [m2] */
    double start_volume[MAX_VOLUMES]; /* at the reversal [m3] */
} Side;

/* Pressures and temperatures at an instant, ends included, and the step's duration. */
typedef struct Point {
    double p[MAX_VOLUMES + ENDS], T[MAX_VOLUMES + ENDS], h[MAX_VOLUMES + ENDS];
    double w;
} Point;

/* What the step starts from. */
typedef struct Base {
    double mass[MAX_VOLUMES], energy[MAX_VOLUMES], kinetic;
    double place, speed; /* of a piston that time leads [m], [m/s] */
} Base;

/* Everything given at an instant. */
typedef struct Instant {
    int phase;      /* RELEASE, TRAVEL, REST or BOUNCE */
    int fixed;      /* the duration is given */
    double share;   /* weight a of the instant in its step [-] */
    double dx;      /* travel of the whole step [m] */
    double target;  /* force asked for [N] */
    double rub;     /* direction that friction is against [-] */
    double volume[MAX_VOLUMES], conductance[MAX_VOLUMES], wall[MAX_VOLUMES], lead[MAX_VOLUMES];
    Port port[MAX_PATHS]; /* of a stage's paths */
} Instant;

typedef struct Fluxes {
    double F[MAX_PATHS];  /* along the paths [kg/s] */
    double X[MAX_NODES];  /* out of the nodes [kg/s] */
    double port[MAX_PATHS]; /* heat taken up in the paths' ports, for a kelvin [J/(kg K)] */
    double h[MAX_VOLUMES + ENDS]; /* enthalpy of every volume and end [J/kg] */
} Fluxes;

/* A whole stroke on its way. */
typedef struct Walk {
    const Setting *set;
    const Side *side;
    Point point;
    Base base;
    Stroke *out;
    double flow[MAX_PATHS];        /* along the paths at the last instant [kg/s] */
    double before_p[MAX_VOLUMES], before_T[MAX_VOLUMES], before_speed;
    int has_before, travelling, stalled;
    int64_t known; /* instants of the same stroke an iteration ago, still in the record */
    double last_dx, elapsed;
    int64_t newton;
} Walk;

static Side stroke_side(const Machine *m, int64_t number)
{
    Side s;
    memset(&s, 0, sizeof s);
    int64_t supply = m->volumes, receiver = supply + 1, source = supply + 2, first = 2 + m->nodes;
    s.number = number;
    s.fed = number == 1 ? 0 : 1;
    s.emptied = 1 - s.fed;
    s.paths = 2 + 2 * m->stages;
    s.up[0] = supply;
    s.down[0] = s.fed;
    s.up[1] = s.emptied;
    s.down[1] = 2 + (s.emptied == 1 ? m->nodes - 1 : 0);
    s.rate[s.fed] = m->drive_area[s.fed];
    s.rate[s.emptied] = -m->drive_area[s.emptied];
    s.push[s.fed] = m->drive_area[s.fed];
    s.push[s.emptied] = -m->drive_area[s.emptied];
    s.rub[s.fed] = m->friction_share * m->drive_area[s.fed];
    for (int64_t i = 0; i < m->stages; i++) {
        const Stage *stage = &m->stage[AT(i, MAX_STAGES)];
        int64_t v = first + i;
        double sign = stage->compresses_on == number ? -1.0 : 1.0;
        int64_t feed = stage->line == FROM_SOURCE ? source : supply;
        s.up[2 + 2 * i] = stage->line < 0 ? feed : stage->line;
        s.down[2 + 2 * i] = v;
        s.up[3 + 2 * i] = v;
        s.down[3 + 2 * i] = stage->after < 0 ? receiver : stage->after;
        s.rate[v] = sign * stage->area;
        s.push[v] = sign * stage->area;
        s.rub[v] = stage->seal_friction * stage->area;
    }
    for (int64_t v = 0; v < m->volumes; v++)
        s.start_volume[v] = m->fixed_volume[v] + larger(-s.rate[v], 0.0) * m->stroke;
    return s;
}

/* The piston's force balance: what is left over for acceleration along the stroke [N]. `rub` is the
 * direction that friction is against: 1 where the piston goes on, -1 where it goes back. */
static double force_against(const Machine *m, const Side *s, const double *p, double rub)
{
    double force = -rub * m->friction;
    for (int64_t v = 0; v < m->volumes; v++)
        force += (s->push[v] - rub * s->rub[v]) * (p[v] - m->ambient_pressure);
    return force;
}

static double net_force(const Machine *m, const Side *s, const double *p)
{
    return force_against(m, s, p, 1.0);
}

/* Heat that a path's air takes up in its port [W]. */
static double port_heat(const Point *at, const Instant *in, const Fluxes *f, int64_t path,
                        int64_t up)
{
    return f->F[path] * f->port[path] * (in->port[path].wall - at->T[up]);
}

/* Rates at given fluxes: mass [kg/s] and enthalpy less heat [W], and over the whole step internal
 * energy and the phase lead's heat [J]. */
static void step_rates(const Machine *m, const Side *s, const Point *at, const Instant *in,
                       const Thermo *gas, const Fluxes *f, double *dm, double *dH, double *dU,
                       double *lead)
{
    int64_t n = m->volumes, first = 2 + m->nodes;
    for (int64_t v = 0; v < n; v++)
        dm[v] = dH[v] = 0.0;
    for (int64_t j = 0; j < s->paths; j++) {
        int64_t u = s->up[j], d = s->down[j];
        double carried = f->F[j] * f->h[u];
        if (u < n) {
            dm[u] -= f->F[j];
            dH[u] -= carried;
        }
        if (d < n) {
            dm[d] += f->F[j];
            dH[d] += carried + port_heat(at, in, f, j, u);
        }
    }
    for (int64_t i = 0; i < m->nodes; i++) {
        /* What is drawn back in is ambient air. */
        dm[2 + i] -= f->X[i];
        dH[2 + i] -= f->X[i] * (f->X[i] >= 0.0 ? f->h[2 + i] : m->ambient_enthalpy);
    }
    for (int64_t v = 0; v < n; v++) {
        double swept = s->rate[v] * in->dx, squeezed = swept;
        /* The lead follows the gas that is squeezed: what is pushed out is not. */
        if (v >= first && v < first + m->stages)
            squeezed += at->w * f->F[3 + 2 * (v - first)] / gas[v].rho;
        lead[v] = in->lead[v] * at->T[v] * gas[v].rho_T / gas[v].rho_p * squeezed;
        dH[v] -= in->conductance[v] * (at->T[v] - in->wall[v]);
        dU[v] = at->w * dH[v] - at->p[v] * swept - lead[v];
    }
}

/* Linear equations of an instant: contents and their answer to a longer step. */
typedef struct Linear {
    double A[UNKNOWN][UNKNOWN]; /* slopes of mass and energy in ln p and ln T */
    double r[UNKNOWN];          /* residuals */
    double w[UNKNOWN];          /* slopes in the duration, or in the travel of a bouncing piston, with
                                   the other sign */
    Fluxes f;
    double F_up[MAX_PATHS], F_down[MAX_PATHS], X_p[MAX_NODES], X_T[MAX_NODES];
} Linear;

/* Write the balances of all volumes, linear in the change of ln p, ln T and w. */
static void write_balances(const Machine *m, const Side *s, const Curve *curve, Point *at,
                           const Instant *in, const Base *base, const Thermo *gas, Linear *e)
{
    int64_t n = m->volumes, first = 2 + m->nodes;
    double a = in->share, aw = a * at->w;
    double dm[MAX_VOLUMES], dH[MAX_VOLUMES], dU[MAX_VOLUMES], lead[MAX_VOLUMES];
    for (int64_t v = 0; v < n; v++)
        at->h[v] = gas[v].h;
    for (int64_t j = 0; j < s->paths; j++) {
        int64_t u = s->up[j], d = s->down[j];
        Flow flow = valve_flow(m->C[j], m->b[j], at->p[u], at->p[d], at->T[u], m->opening[j]);
        e->f.F[j] = flow.F;
        e->F_up[j] = flow.F_up;
        e->F_down[j] = flow.F_down;
        e->f.port[j] = port_exchange(&m->pipe, &in->port[j], flow.F);
    }
    for (int64_t i = 0; i < m->nodes; i++) {
        Outflow out = curve_flow(&curve[i], at->p[2 + i], at->T[2 + i]);
        e->f.X[i] = out.X;
        e->X_p[i] = out.X_p;
        e->X_T[i] = out.X_T;
    }
    memcpy(e->f.h, at->h, sizeof e->f.h);
    step_rates(m, s, at, in, gas, &e->f, dm, dH, dU, lead);
    for (int64_t v = 0; v < 2 * n; v++)
        memset(e->A[v], 0, (size_t)(2 * n) * sizeof(double));
    for (int64_t v = 0; v < n; v++) {
        double V = in->volume[v], mass = gas[v].rho * V, energy = mass * gas[v].h - at->p[v] * V;
        double swept = s->rate[v] * in->dx, heat = in->conductance[v];
        e->r[v] = base->mass[v] - (mass - aw * dm[v]);
        e->r[n + v] = base->energy[v] - (energy - a * dU[v]);
        e->w[v] = in->phase == BOUNCE ? -a * s->rate[v] * gas[v].rho : a * dm[v];
        e->w[n + v] = in->phase == BOUNCE ? -a * s->rate[v] * gas[v].rho * gas[v].h : a * dH[v];
        e->A[v][v] = V * gas[v].rho_p;
        e->A[v][n + v] = V * gas[v].rho_T;
        /* T (drho/dT) / (drho/dp) is nearly -p: the lead's slope in pressure. */
        e->A[n + v][v] = V * gas[v].rho_p * gas[v].h + mass * gas[v].h_p - V + a * swept
                         + a * lead[v] / at->p[v];
        e->A[n + v][n + v] = V * gas[v].rho_T * gas[v].h + mass * gas[v].h_T + aw * heat;
        if (v >= first && v < first + m->stages) {
            int64_t j = 3 + 2 * (v - first), d = s->down[j];
            double squeeze = in->lead[v] * at->T[v] * gas[v].rho_T / gas[v].rho_p / gas[v].rho;
            e->w[n + v] -= a * squeeze
                           * (in->phase == BOUNCE ? gas[v].rho * s->rate[v] : e->f.F[j]);
            e->A[n + v][v] += aw * squeeze * e->F_up[j];
            if (d < n)
                e->A[n + v][d] += aw * squeeze * e->F_down[j];
        }
    }
    for (int64_t j = 0; j < s->paths; j++) {
        int64_t u = s->up[j], d = s->down[j];
        double F = e->f.F[j], h = at->h[u], up = aw * e->F_up[j], down = aw * e->F_down[j];
        double by_T = u < n ? -aw * F / (2.0 * at->T[u]) : 0.0;
        double h_p = u < n ? aw * F * gas[u].h_p : 0.0, h_T = u < n ? aw * F * gas[u].h_T : 0.0;
        for (int end = 0; end < 2; end++) {
            int64_t v = end ? d : u;
            double sign = end ? -1.0 : 1.0;
            if (v >= n)
                continue;
            /* That the share exchanged changes with flow is left out of the slopes. */
            double by_port = end ? e->f.port[j] : 0.0;
            double brings = h + by_port * (in->port[j].wall - at->T[u]);
            if (u < n) {
                e->A[v][u] += sign * up;
                e->A[v][n + u] += sign * by_T;
                e->A[n + v][u] += sign * (up * brings + h_p);
                e->A[n + v][n + u] += sign * (by_T * brings + h_T - aw * F * by_port);
            }
            if (d < n) {
                e->A[v][d] += sign * down;
                e->A[n + v][d] += sign * down * brings;
            }
        }
    }
    for (int64_t i = 0; i < m->nodes; i++) {
        int64_t v = 2 + i;
        double X = e->f.X[i], p = aw * e->X_p[i], T = aw * e->X_T[i];
        double h = X >= 0.0 ? at->h[v] : m->ambient_enthalpy;
        e->A[v][v] += p;
        e->A[v][n + v] += T;
        e->A[n + v][v] += p * h + (X >= 0.0 ? aw * X * gas[v].h_p : 0.0);
        e->A[n + v][n + v] += T * h + (X >= 0.0 ? aw * X * gas[v].h_T : 0.0);
    }
    /* Energy less own enthalpy x mass: temperature then stands in it with m cp whatever the datum
     * of enthalpy. Rows and columns are brought to about 1. */
    for (int64_t v = 0; v < n; v++) {
        double h = at->h[v], mass = gas[v].rho * in->volume[v];
        double of_mass = 1.0 / mass, of_energy = 1.0 / (mass * gas[v].h_T * at->T[v]);
        for (int64_t c = 0; c < n; c++) {
            double p = at->p[c], T = at->T[c];
            e->A[n + v][c] = (e->A[n + v][c] - h * e->A[v][c]) * p * of_energy;
            e->A[n + v][n + c] = (e->A[n + v][n + c] - h * e->A[v][n + c]) * T * of_energy;
            e->A[v][c] *= p * of_mass;
            e->A[v][n + c] *= T * of_mass;
        }
        e->r[n + v] = (e->r[n + v] - h * e->r[v]) * of_energy;
        e->w[n + v] = (e->w[n + v] - h * e->w[v]) * of_energy;
        e->r[v] *= of_mass;
        e->w[v] *= of_mass;
    }
}

/* Gauss' elimination with row pivots, for two right-hand sides at once; false where singular. */
static int solve_dense(int64_t n, double A[UNKNOWN][UNKNOWN], double *r, double *w)
{
    for (int64_t k = 0; k < n; k++) {
        int64_t best = k;
        for (int64_t i = k + 1; i < n; i++)
            if (fabs(A[i][k]) > fabs(A[best][k]))
                best = i;
        if (!(fabs(A[best][k]) > 0.0))
            return 0;
        if (best != k) {
            double swap;
            for (int64_t j = k; j < n; j++) {
                swap = A[k][j];
                A[k][j] = A[best][j];
                A[best][j] = swap;
            }
            swap = r[k], r[k] = r[best], r[best] = swap;
            swap = w[k], w[k] = w[best], w[best] = swap;
        }
        double inverse = 1.0 / A[k][k];
        for (int64_t i = k + 1; i < n; i++) {
            double factor = A[i][k] * inverse;
            if (factor == 0.0)
                continue;
            for (int64_t j = k + 1; j < n; j++)
                A[i][j] -= factor * A[k][j];
            r[i] -= factor * r[k];
            w[i] -= factor * w[k];
        }
    }
    for (int64_t k = n - 1; k >= 0; k--) {
        double inverse = 1.0 / A[k][k];
        for (int64_t j = k + 1; j < n; j++) {
            r[k] -= A[k][j] * r[j];
            w[k] -= A[k][j] * w[j];
        }
        r[k] *= inverse;
        w[k] *= inverse;
    }
    return 1;
}

/* A Newton step: changes of pressure [Pa], temperature [K] and duration [s]. */
typedef struct Change {
    double p[MAX_VOLUMES + ENDS], T[MAX_VOLUMES + ENDS], w, dx;
    double rub; /* direction that friction is against, 0 where it holds the piston [-] */
    Fluxes fluxes; /* after the step, by their slopes: what is carried is what was solved */
} Change;

/* The change of the step's duration from the piston's balance [s]. */
static double change_duration(const Machine *m, const Side *s, const Point *at, const Instant *in,
                              const Base *base, const double *alpha, const double *beta)
{
    double force = force_against(m, s, at->p, in->rub), a = in->share;
    double short_of, own = 0.0, pull = 1.0;
    if (in->phase == RELEASE) {
        short_of = force - in->target;
    } else {
        double kinetic = 0.5 * m->moving_mass * square(in->dx / larger(at->w, LEAST_DURATION));
        short_of = base->kinetic - (kinetic - a * force * in->dx);
        own = 2.0 * kinetic / larger(at->w, LEAST_DURATION);
        pull = a * in->dx;
    }
    double by_contents = 0.0, bottom = own;
    for (int64_t v = 0; v < m->volumes; v++) {
        double slope = pull * (s->push[v] - in->rub * s->rub[v]) * at->p[v];
        by_contents += slope * alpha[v];
        bottom += slope * beta[v];
    }
    /* With no duration that balances in reach, go on growing: the piston is stalling. */
    double change = bottom > 0.0 ? -(short_of + by_contents) / bottom : at->w;
    return within(change, -SHORTENING * at->w, LENGTHENING * at->w);
}

/* The change of a piston's travel in a step of given time while friction is against `rub` [m]. */
static double slide(const Machine *m, const Side *s, const Point *at, const Instant *in,
                    const Base *base, const double *alpha, const double *beta, double rub)
{
    double w = at->w, a = in->share;
    double short_of = m->moving_mass * (base->speed - in->dx / w) + a * w * force_against(m, s, at->p, rub);
    double bottom = m->moving_mass / w;
    for (int64_t i = 0; i < m->volumes; i++) {
        double slope = a * w * (s->push[i] - rub * s->rub[i]) * at->p[i];
        short_of += slope * alpha[i];
        bottom -= slope * beta[i];
    }
    return short_of / larger(bottom, 1e-300);
}

/* The change of a bouncing piston's travel in a step of given time, from
 *
 *     M v - a w x net force = M v at the start,     v = dx / w        [m]
 *
 * Friction is against the motion that it leaves; where it leaves none it holds the piston.
 */
static double change_travel(const Machine *m, const Side *s, const Point *at, const Instant *in,
                            const Base *base, const double *alpha, const double *beta, double *rub)
{
    double most = LONGEST_CHANGE * m->stroke, change = -in->dx;
    *rub = 0.0;
    for (double way = 1.0; way > -2.0; way -= 2.0) {
        double by = slide(m, s, at, in, base, alpha, beta, way);
        if (way * (in->dx + by) > 0.0) {
            change = by;
            *rub = way;
            break;
        }
    }
    return within(change, -most, most);
}

static int newton_step(const Setting *set, const Side *s, Point *at, const Instant *in,
                       const Base *base, const Thermo *gas, Change *out)
{
    const Machine *m = set->machine;
    int64_t n = m->volumes;
    Linear e;
    write_balances(m, s, set->curve, at, in, base, gas, &e);
    if (!solve_dense(2 * n, e.A, e.r, e.w))
        return 0;
    out->w = in->fixed ? 0.0 : change_duration(m, s, at, in, base, e.r, e.w);
    out->rub = in->rub;
    out->dx = in->phase == BOUNCE ? change_travel(m, s, at, in, base, e.r, e.w, &out->rub) : 0.0;
    for (int64_t v = 0; v < n; v++) {
        out->p[v] = at->p[v] * (e.r[v] + (out->w + out->dx) * e.w[v]);
        out->T[v] = at->T[v] * (e.r[n + v] + (out->w + out->dx) * e.w[n + v]);
    }
    for (int64_t v = n; v < n + ENDS; v++)
        out->p[v] = out->T[v] = 0.0;
    for (int64_t j = 0; j < s->paths; j++)
        out->fluxes.F[j] = e.f.F[j] + e.F_up[j] * out->p[s->up[j]] + e.F_down[j] * out->p[s->down[j]]
                           - e.f.F[j] / (2.0 * at->T[s->up[j]]) * out->T[s->up[j]];
    for (int64_t i = 0; i < m->nodes; i++)
        out->fluxes.X[i] = e.f.X[i] + e.X_p[i] * out->p[2 + i] + e.X_T[i] * out->T[2 + i];
    memcpy(out->fluxes.port, e.f.port, sizeof e.f.port);
    memcpy(out->fluxes.h, at->h, sizeof at->h);
    for (int64_t v = 0; v < n; v++)
        out->fluxes.h[v] += gas[v].h_T * out->T[v] + gas[v].h_p * out->p[v];
    return 1;
}

/* Share of a Newton step after which a valve that crosses its seat stands just off it: flow is
 * nearly a root of the pressure difference, and full steps would swing between open and shut. */
static double share_to_seat(const Machine *m, const Side *s, const Point *at, const Change *by)
{
    double share = 1.0;
    for (int64_t j = 0; j < s->paths + m->nodes; j++) {
        double before, moves, zone;
        if (j < s->paths) {
            int64_t u = s->up[j], d = s->down[j];
            before = at->p[u] - at->p[d] - m->opening[j];
            moves = by->p[u] - by->p[d];
            zone = 0.5 * LINEAR_ZONE * at->p[u];
        } else {
            int64_t v = 2 + j - s->paths;
            before = at->p[v] - m->ambient_pressure;
            moves = by->p[v];
            zone = NODE_ZONE;
        }
        double after = before + moves;
        int crosses = (before <= 0.0 && after > zone) || (before > zone && after < 0.0);
        if (crosses)
            share = smaller(share, (0.5 * zone - before) / moves);
    }
    return share;
}

/* Move the point by a Newton step, within limits; return the largest relative change [-]. */
static double advance(Walk *walk, Instant *in, Change *by, double pull)
{
    const Machine *m = walk->set->machine;
    Point *at = &walk->point;
    int64_t n = m->volumes;
    double top = 0.0;
    for (int64_t i = 2; i < 2 + m->nodes; i++)
        by->T[i] = within(by->T[i], -NODE_WARMS * at->T[i], NODE_WARMS * at->T[i]);
    for (int64_t v = 0; v < n; v++)
        top = larger(top, larger(fabs(by->p[v] / at->p[v]), fabs(by->T[v] / at->T[v])));
    if (!isfinite(top))
        return INFINITY;
    double share = LARGEST_CHANGE / larger(top, 1e-300);
    if (top > SEAT_MATTERS)
        share = smaller(share, share_to_seat(m, walk->side, at, by));
    if (share < 1.0)
        top = 1.0;
    share = smaller(1.0, share);
    /* Flow is a root of a node's excess over ambient: near it the pressure must be exact. */
    for (int64_t i = 2; i < 2 + m->nodes; i++)
        if (fabs(at->p[i] - m->ambient_pressure) < NEAR_AMBIENT * m->ambient_pressure)
            top = larger(top, fabs(by->p[i]) / (EXACT * m->ambient_pressure));
    if (top > walk->set->settled)
        share *= pull;
    double w = at->w, dw = share * by->w;
    in->dx += share * by->dx;
    in->rub = by->rub;
    top = larger(top, fabs(by->dx) / walk->set->machine->stroke);
    for (int64_t v = 0; v < n; v++) {
        at->p[v] += share * by->p[v];
        at->T[v] += share * by->T[v];
    }
    at->w = w + dw;
    if (at->w > LONGEST_STEP && !in->fixed) {
        walk->stalled = 1;
        return 0.0;
    }
    return larger(top, fabs(dw) / larger(w, 1e-9));
}

/* Extrapolate pressures, temperatures and speed in a straight line to the next instant. */
static void predict(Walk *walk, int first)
{
    Point *at = &walk->point;
    int64_t n = walk->set->machine->volumes;
    double reach = first ? DIAGONAL / (1.0 - DIAGONAL) : (1.0 - DIAGONAL) / DIAGONAL;
    double speed = 1.0 / larger(at->w, 1e-9);
    for (int64_t v = 0; v < n; v++) {
        double p = at->p[v], T = at->T[v], most_p = GUESS_CONTENTS * walk->before_p[v];
        double most_T = GUESS_CONTENTS * walk->before_T[v];
        if (walk->has_before) {
            at->p[v] += within(reach * (p - walk->before_p[v]), -most_p, most_p);
            at->T[v] += within(reach * (T - walk->before_T[v]), -most_T, most_T);
        }
        walk->before_p[v] = p;
        walk->before_T[v] = T;
    }
    if (walk->has_before && walk->travelling) {
        double most = GUESS_SPEED * walk->before_speed;
        double ahead = speed + within(reach * (speed - walk->before_speed), -most, most);
        at->w = 1.0 / larger(ahead, LEAST_SPEED * speed);
    }
    walk->before_speed = speed;
    walk->has_before = 1;
}

/* Angle from least volume that a stroke has come to by time: half a turn at the cycle's angular
 * speed, then at rest at the dead point [rad]. */
static double stage_angle(const Walk *walk, const Stage *stage)
{
    double turned = smaller(2.0 * PI * walk->elapsed / walk->set->period, PI);
    return stage->compresses_on == walk->side->number ? PI - turned : turned;
}

/* Mean temperature of the walls that a stage's gas wets with the piston at a place [K]. */
static double stage_wall(const Walk *walk, int64_t i, double place)
{
    const Machine *m = walk->set->machine;
    const Stage *stage = &m->stage[AT(i, MAX_STAGES)];
    double towards = stage->compresses_on == walk->side->number ? m->stroke - place : place;
    return wetted_wall(&walk->set->gas_side[i], stage->clearance_length + towards);
}

/* The wall that a line's air exchanges heat with, and how well. */
static void set_line(const Walk *walk, Instant *in, int64_t i)
{
    const Machine *m = walk->set->machine;
    const Stage *stage = &m->stage[AT(i, MAX_STAGES)];
    int64_t v = stage->line;
    in->conductance[v] = stage->line_loss;
    in->wall[v] = stage->line_sink;
    if (stage->line_length <= 0.0)
        return;
    double through = walk->flow[2 + 2 * i];
    for (int64_t k = 0; k < m->stages; k++)
        if (m->stage[k].after == v)
            through += walk->flow[3 + 2 * k];
    in->wall[v] = walk->set->line_wall[i];
    Port tube = port_at(m->gas, stage->line_bore, stage->line_length, stage->line_entrance,
                        walk->point.T[v], walk->point.p[v], in->wall[v]);
    in->conductance[v] = port_conductance(&m->pipe, &tube, 0.5 * through);
}

/* Suction and delivery port of every stage. */
static void set_ports(const Walk *walk, Instant *in)
{
    const Machine *m = walk->set->machine;
    const Port none = {0.0, 0.0, 0.0, 1.0, 0.0};
    in->port[0] = in->port[1] = none;
    for (int64_t i = 0; i < m->stages; i++)
        for (int k = 0; k < 2; k++) {
            const Stage *stage = &m->stage[AT(i, MAX_STAGES)];
            int64_t path = 2 + 2 * i + k, up = walk->side->up[path];
            in->port[path] = port_at(m->gas, stage->port_bore[k], stage->port_length[k],
                                     stage->port_entrance[k], walk->point.T[up], walk->point.p[up],
                                     walk->set->head[i]);
        }
}

/* Heat laws of all volumes at the point predicted. */
static void set_heat(Walk *walk, Instant *in, double place)
{
    const Setting *set = walk->set;
    const Machine *m = set->machine;
    const Point *at = &walk->point;
    int64_t first = 2 + m->nodes;
    for (int64_t v = 0; v < m->volumes; v++) {
        in->conductance[v] = in->lead[v] = 0.0;
        in->wall[v] = m->ambient_temperature;
    }
    for (int64_t v = 0; v < 2; v++) {
        in->wall[v] = set->drive_wall;
        in->conductance[v] = drive_conductance(m, v, at->p[v], at->T[v], in->volume[v], set->period);
    }
    for (int64_t i = 0; i < m->stages; i++) {
        const Stage *stage = &m->stage[AT(i, MAX_STAGES)];
        int64_t v = first + i;
        StageGas s;
        s.p = at->p[v];
        s.T = at->T[v];
        s.volume = in->volume[v];
        s.area = 2.0 * stage->area + PI * stage->bore * s.volume / stage->area;
        s.wall = stage_wall(walk, i, place);
        s.inflow = walk->flow[2 + 2 * i];
        s.speed = in->dx / larger(at->w, LEAST_WAIT);
        s.angle = stage_angle(walk, stage);
        StageLaw law = stage_law(m, m->gas, stage, &s, set->period);
        in->wall[v] = s.wall;
        in->conductance[v] = law.coefficient * s.area;
        in->lead[v] = law.lead;
        if (stage->line >= 0)
            set_line(walk, in, i);
    }
    set_ports(walk, in);
}

/* Note a solved instant. */
static void note(Walk *walk, const Instant *in, double place, double weight, const Thermo *gas,
                 const Fluxes *f, const double *lead)
{
    const Machine *m = walk->set->machine;
    const Side *s = walk->side;
    Stroke *out = walk->out;
    int64_t k = AT(out->instants, MAX_INSTANTS), first = 2 + m->nodes;
    out->place[k] = place;
    out->dt[k] = weight * walk->point.w;
    out->dx[k] = weight * in->dx;
    out->rub[k] = in->rub;
    out->led[k] = in->phase;
    for (int64_t v = 0; v < m->volumes; v++) {
        out->p[k][v] = walk->point.p[v];
        out->T[k][v] = walk->point.T[v];
        out->volume[k][v] = in->volume[v];
        out->mass[k][v] = gas[v].rho * in->volume[v];
        out->conductance[k][v] = in->conductance[v];
    }
    for (int64_t j = 0; j < s->paths; j++) {
        out->flow[k][j] = f->F[j];
        out->enthalpy[k][j] = f->F[j] * f->h[s->up[j]];
        out->port[k][j] = f->F[j] * f->port[j];
        /* What is drawn counts before the suction port, what is delivered behind the other. */
        if (j >= 2 && j % 2 == 1)
            out->enthalpy[k][j] += port_heat(&walk->point, in, f, j, s->up[j]);
        walk->flow[j] = f->F[j];
    }
    for (int64_t i = 0; i < m->nodes; i++) {
        out->exhaust[k][i] = f->X[i];
        out->exhaust_enthalpy[k][i] = f->X[i] * (f->X[i] >= 0.0 ? f->h[2 + i] : m->ambient_enthalpy);
    }
    for (int64_t i = 0; i < m->stages; i++)
        out->lead[k][i] = weight * lead[first + i];
    walk->elapsed += out->dt[k];
    out->instants++;
}

/* Weight of a step's first instant: 1 - DIAGONAL unless a volume empties within the step. At
 * DIAGONAL the step is two of Euler's implicit ones, which never overshoot. */
static double first_weight(const Machine *m, const Gas *air, const Base *base, const Base *rates)
{
    double weight = 1.0 - DIAGONAL;
    for (int64_t v = 0; v < m->volumes; v++) {
        double cold = gas_in(m, air, v)->cold_energy;
        double held[2] = {base->mass[v], base->energy[v] - cold * base->mass[v]};
        double rate[2] = {rates->mass[v], rates->energy[v] - cold * rates->mass[v]};
        for (int i = 0; i < 2; i++) {
            double drop = larger(-rate[i], 1e-30);
            weight = smaller(weight, (held[i] - LEAST_LEFT * (held[i] - DIAGONAL * drop)) / drop);
        }
    }
    return larger(weight, DIAGONAL);
}

#define RECALLED 0.03 /* last change allowed from a recalled start, over that from a guess [-]: steps that
                         start near settle in one iteration and would else differ by its error */

/* Start Newton's method from the same instant an iteration ago: it has hardly moved since. Returns
 * the change at which the instant has settled. */
static double recall(Walk *walk, const Instant *in)
{
    const Stroke *out = walk->out;
    int64_t k = AT(out->instants, MAX_INSTANTS);
    if (k >= walk->known)
        return walk->set->settled;
    for (int64_t v = 0; v < walk->set->machine->volumes; v++) {
        walk->point.p[v] = out->p[k][v];
        walk->point.T[v] = out->T[k][v];
    }
    if (in->phase == TRAVEL)
        walk->point.w = out->dt[k] / out->dx[k] * in->dx;
    return RECALLED * walk->set->settled;
}

static void set_volumes(const Walk *walk, Instant *in, double place)
{
    for (int64_t v = 0; v < walk->set->machine->volumes; v++)
        in->volume[v] = walk->side->start_volume[v] + walk->side->rate[v] * place;
}

/* Put volumes and walls where a piston that time leads has come to; returns its place [m]. */
static double follow_piston(const Walk *walk, Instant *in)
{
    double place = walk->base.place + in->share * in->dx;
    set_volumes(walk, in, place);
    for (int64_t i = 0; i < walk->set->machine->stages; i++)
        in->wall[2 + walk->set->machine->nodes + i] = stage_wall(walk, i, place);
    return place;
}

/* Solve one instant; leaves rates over the whole step, fluxes and properties. */
static void solve_instant(Walk *walk, Instant *in, double *place, Base *rates, Thermo *gas,
                          Fluxes *fluxes, double *lead)
{
    const Setting *set = walk->set;
    const Machine *m = set->machine;
    int64_t n = m->volumes;
    double top = INFINITY, dm[MAX_VOLUMES], dH[MAX_VOLUMES], dU[MAX_VOLUMES];
    set_volumes(walk, in, *place);
    set_heat(walk, in, *place);
    double settled = recall(walk, in);
    Change change;
    for (int count = 0; count < MOST_NEWTON && top > settled && !walk->stalled; count++) {
        walk->newton++;
        for (int64_t v = 0; v < n; v++)
            gas[v] = thermo(gas_in(m, set->air, v), walk->point.T[v], walk->point.p[v]);
        if (!newton_step(set, walk->side, &walk->point, in, &walk->base, gas, &change)) {
            top = INFINITY;
            break;
        }
        top = advance(walk, in, &change, count < PATIENCE ? 1.0 : 0.5);
        if (!isfinite(top))
            break;
        if (in->phase == BOUNCE)
            *place = follow_piston(walk, in);
    }
    if (!isfinite(top)) {
        walk->out->ended = BROKEN;
        return;
    }
    if (top > settled)
        walk->out->rough = larger(walk->out->rough, top);
    *fluxes = change.fluxes;
    step_rates(m, walk->side, &walk->point, in, gas, fluxes, dm, dH, dU, lead);
    for (int64_t v = 0; v < n; v++) {
        rates->mass[v] = walk->point.w * dm[v];
        rates->energy[v] = dU[v];
    }
    double force = force_against(m, walk->side, walk->point.p, in->rub);
    rates->kinetic = force * in->dx;
    rates->place = in->dx;
    rates->speed = in->phase == BOUNCE ? (in->dx / walk->point.w - walk->base.speed) / in->share : 0.0;
}

/* One step: its two instants. `from` and `to` are the forces a release steps between. */
static void take_step(Walk *walk, int phase, double place, double dx, int fixed, double from,
                      double to)
{
    int64_t n = walk->set->machine->volumes;
    double share = DIAGONAL, reached[2] = {DIAGONAL, 1.0};
    Thermo gas[MAX_VOLUMES];
    Fluxes fluxes;
    double lead[MAX_VOLUMES];
    for (int i = 0; i < 2; i++) {
        Instant in;
        Base rates;
        in.phase = phase;
        in.rub = dx < 0.0 ? -1.0 : 1.0;
        in.fixed = fixed;
        in.share = share;
        in.dx = dx;
        in.target = from + reached[i] * (to - from);
        predict(walk, i == 0);
        double here = place + reached[i] * dx;
        solve_instant(walk, &in, &here, &rates, gas, &fluxes, lead);
        if (walk->stalled || walk->out->ended == BROKEN)
            return;
        double own = i == 0 ? first_weight(walk->set->machine, walk->set->air, &walk->base, &rates) : share;
        note(walk, &in, here, own, gas, &fluxes, lead);
        for (int64_t v = 0; v < n; v++) {
            walk->base.mass[v] += own * rates.mass[v];
            walk->base.energy[v] += own * rates.energy[v];
        }
        walk->base.kinetic += own * rates.kinetic;
        walk->base.place += own * rates.place;
        walk->base.speed += own * rates.speed;
        share = 1.0 - own;
    }
}

#define START_GRADING 1.25 /* extra grading where the piston picks up speed [-] */
#define END_GRADING 0.5    /* grading of the travel: 0 even, 1 fully cosine [-] */
#define REST_LEAST 3.0     /* least grading of the rest: pressures settle in its first millisecond [-] */
#define REST_MOST 8.0      /* and largest [-] */
#define HALVING 2e5 /* volume over sonic conductance and the time a choked chamber takes to half-empty [Pa] */

/* Share of the stroke covered after k of `steps` steps of travel: finer near both ends. */
static double travel_share(int64_t k, int64_t steps)
{
    double u = pow((double)k / (double)steps, START_GRADING);
    return (1.0 - END_GRADING) * u + END_GRADING / 2.0 * (1.0 - cos(PI * u));
}

/* Rest at the far stop, short steps first: the first one half-empties the emptied chamber. */
static void take_rest(Walk *walk)
{
    const Setting *set = walk->set;
    const Machine *m = set->machine;
    int64_t steps = set->resolution->rest;
    double half = m->fixed_volume[walk->side->emptied] / (m->C[1] * HALVING);
    double power = within(log(set->rest / half + 1.0) / log((double)steps), REST_LEAST, REST_MOST);
    for (int64_t k = 0; k < steps && walk->out->ended == SOLVED; k++) {
        double from = pow((double)k / (double)steps, power);
        double to = pow((double)(k + 1) / (double)steps, power);
        walk->point.w = (to - from) * set->rest;
        take_step(walk, REST, m->stroke, 0.0, 1, 0.0, 0.0);
    }
}

/* Whether a record holds a whole stroke of the same steps. */
static int sound(const Stroke *r) { return r->instants > 0 && r->ended == SOLVED && r->rough == 0.0; }

static void start_walk(Walk *walk, const Setting *set, const Side *side, const Contents *from,
                       Stroke *out)
{
    const Machine *m = set->machine;
    int64_t n = m->volumes;
    memset(walk, 0, sizeof *walk);
    walk->set = set;
    walk->side = side;
    walk->out = out;
    walk->known = sound(out) ? out->by_place : 0;
    out->turns = 0;
    out->instants = 0;
    out->ended = SOLVED;
    out->impact = out->rough = 0.0;
    for (int64_t v = 0; v < n; v++) {
        walk->point.p[v] = from->pressure[v];
        walk->point.T[v] = from->temperature[v];
        walk->base.mass[v] = from->mass[v];
        walk->base.energy[v] = from->energy[v];
    }
    walk->point.p[n] = m->supply_pressure;
    walk->point.p[n + 1] = m->receiver_pressure;
    walk->point.p[n + 2] = m->source_pressure;
    walk->point.T[n] = walk->point.T[n + 1] = m->supply_temperature;
    walk->point.T[n + 2] = m->source_temperature;
    walk->point.h[n] = walk->point.h[n + 1] = m->supply_enthalpy;
    walk->point.h[n + 2] = m->source_enthalpy;
    walk->point.w = FIRST_DURATION;
    walk->last_dx = 1.0;
}

/* The drive chambers exchange pressure until the piston lets go of its stop. */
static void release_piston(Walk *walk)
{
    int64_t steps = walk->set->resolution->release;
    double start = smaller(net_force(walk->set->machine, walk->side, walk->point.p), 0.0);
    for (int64_t k = 0; k < steps && !walk->stalled && walk->out->ended == SOLVED; k++) {
        double from = start * (1.0 - (double)k / (double)steps);
        double to = start * (1.0 - (double)(k + 1) / (double)steps);
        int idle = start == 0.0;
        walk->point.w = idle ? 0.0 : larger(walk->point.w, 1e-9);
        take_step(walk, RELEASE, 0.0, 0.0, idle, from, to);
    }
}

/* The piston goes from `from` on by `dx` [m]. */
static void travel_on(Walk *walk, double from, double dx)
{
    if (!walk->travelling) {
        double mean_speed = 2.0 * walk->set->machine->stroke / walk->set->period;
        walk->point.w = dx / larger(mean_speed, 1e-3);
        walk->travelling = 1;
        walk->has_before = 0;
    } else {
        walk->point.w *= dx / walk->last_dx;
        walk->before_speed *= walk->last_dx / dx;
    }
    walk->last_dx = dx;
    take_step(walk, TRAVEL, from, dx, 0, 0.0, 0.0);
}

