/* Flow through a passage as a function of the pressure at its port.
 *
 *     s = ln((p / p_ambient)^2 - 1)         ln F = y(s) + exponent x ln(T0 / T)
 *
 * A long passage is not well fitted by the ISO 6358 ellipse, so strokes read the passage's own
 * curve, nearly straight in these coordinates, through the levels that were marched, by a
 * monotone cubic. Below the lowest level flow is laminar, in proportion to p^2 - p_ambient^2.
 */

#define LOWEST_S (-14.0)
#define STEEPEST 3.0 /* largest slope of ln(flow) over s between levels; 1/2 to 1 are usual [-] */
#define AGAIN 4      /* levels marched again with colder air */
#define COLDER 40.0  /* how much colder: a pulse ends some 60 K below its mean [K] */
#define LOWEST_LEVEL 3e-3 /* lowest level, as a share of the valve's choked flow at supply pressure [-] */
#define CHOKED_FACTOR 0.0404 /* choked mass flow x sqrt(T) / (pressure x area) of air [sqrt(K) s/m] */
#define OPEN_SONIC 5e-6 /* C of a hole so wide that it resists next to nothing [m3/(s Pa)] */
#define OPEN_RATIO 0.5  /* its critical ratio [-] */

static const double AGAIN_AT[AGAIN] = {0.6, 0.73, 0.87, 1.0};

typedef struct Outflow {
    double X;   /* mass flow out of the node [kg/s] */
    double X_p; /* its slope in the node's pressure [kg/(s Pa)] */
    double X_T; /* its slope in the node's temperature [kg/(s K)] */
} Outflow;

/* Flow at a port pressure and temperature. Below ambient pressure air is drawn back in. */
static Outflow curve_flow(const Curve *c, double p, double T)
{
    double ratio = p / c->ambient_pressure, excess = square(ratio) - 1.0;
    double positive = larger(fabs(excess), 1e-12), s = log(positive);
    int64_t last = c->levels - 1, k = 0, top = last;
    double y, rise;
    if (s <= c->s[0]) {
        y = c->y[0] + (s - c->s[0]);
        rise = 1.0;
    } else if (s > c->s[last]) {
        y = c->y[last] + c->slope[last] * (s - c->s[last]);
        rise = c->slope[last];
    } else {
        while (top - k > 1) {
            int64_t middle = (k + top) / 2;
            if (s > c->s[AT(middle, MAX_LEVELS)])
                k = middle;
            else
                top = middle;
        }
        double width = c->s[k + 1] - c->s[k], secant = (c->y[k + 1] - c->y[k]) / width;
        double d0 = c->slope[k], d1 = c->slope[k + 1];
        double second = (3.0 * secant - 2.0 * d0 - d1) / width;
        double third = (d0 + d1 - 2.0 * secant) / square(width), u = s - c->s[k];
        y = c->y[k] + u * (d0 + u * (second + u * third));
        rise = d0 + u * (2.0 * second + 3.0 * u * third);
    }
    double flow = exp(y + c->exponent * log(c->temperature / T));
    Outflow out;
    out.X = excess < 0.0 ? -flow : excess > 0.0 ? flow : 0.0;
    out.X_p = flow * rise * 2.0 * ratio / (c->ambient_pressure * positive);
    out.X_T = -out.X * c->exponent / T;
    return out;
}

/* Slopes of the parabolas through three levels, held where a cubic stays monotone: at most three
 * times the smaller secant (Fritsch and Carlson 1980). */
static void set_slopes(Curve *c)
{
    int64_t last = c->levels - 1;
    for (int64_t k = 0; k <= last; k++) {
        int64_t below = k > 0 ? k - 1 : 0, above = k < last ? k : last - 1;
        double before_step = larger(c->s[below + 1] - c->s[below], 1e-9);
        double after_step = larger(c->s[above + 1] - c->s[above], 1e-9);
        double before = (c->y[below + 1] - c->y[below]) / before_step;
        double after = (c->y[above + 1] - c->y[above]) / after_step;
        double middle = (after_step * before + before_step * after) / (after_step + before_step);
        c->slope[k] = k == 0 || k == last ? before : smaller(middle, 3.0 * smaller(before, after));
    }
    c->slope[0] = (c->y[1] - c->y[0]) / larger(c->s[1] - c->s[0], 1e-9);
}

/* Make a curve from rising levels of flow [kg/s] and the port pressures they need [Pa]. */
static void fit_curve(Curve *c, int64_t levels, const double *flow, const double *pressure,
                      double factor, double T0, double ambient_pressure)
{
    c->levels = levels;
    c->spare = 0;
    c->temperature = T0;
    c->ambient_pressure = ambient_pressure;
    c->exponent = 0.5;
    for (int64_t k = 0; k < levels; k++) {
        double excess = larger(square(pressure[AT(k, MAX_LEVELS)] / ambient_pressure) - 1.0, exp(LOWEST_S));
        c->s[k] = log(excess);
        c->y[k] = log(flow[k] * factor);
        /* Where friction drops at transition, more flow needs less pressure: no step is left. */
        if (k > 0)
            c->s[k] = larger(c->s[k], c->s[k - 1] + (c->y[k] - c->y[k - 1]) / STEEPEST);
    }
    set_slopes(c);
}

/* Let a curve fall with port temperature as marches with colder air show: walls warm cold air on
 * its way, so flow depends less on port temperature than a nozzle's. */
static void fit_exponent(Curve *c, const double *flow, const double *pressure, double T0)
{
    double sum = 0.0;
    for (int k = 0; k < AGAIN; k++) {
        double here = curve_flow(c, pressure[k], c->temperature).X;
        sum += log(flow[k] / here) / log(c->temperature / T0);
    }
    c->exponent = within(sum / AGAIN, 0.0, 0.7);
}

/* Flow levels of a node's curve [kg/s]. */
static void set_levels(const Machine *m, const Resolution *n, int64_t node, double *level)
{
    const Passage *g = &m->resisting[AT(node, MAX_NODES)];
    double p = m->supply_pressure, valve = m->C[1] * REFERENCE_DENSITY * p;
    double narrow = smaller(smaller(g->tube_area, g->area), g->outlet_area);
    int real = (g->tubed > 0.0 || g->present > 0.0) && m->resistance;
    double nozzle = CHOKED_FACTOR * narrow / sqrt(250.0), choked = 0.0;
    if (real) {
        /* No port stands above the supply: a narrow passage is not asked for the valve's flow. */
        valve = smaller(valve, 1.5 * p * nozzle);
        choked = 5.0 * m->ambient_pressure * nozzle;
    }
    double top = larger(1.5 * valve, choked), low = LOWEST_LEVEL * valve;
    for (int64_t k = 0; k < n->levels; k++)
        level[AT(k, MAX_LEVELS)] = low * pow(top / low, (double)k / (double)(n->levels - 1));
}

/* The flow curve of a node at given walls; `warm` holds the profiles of its levels. */
static void node_curve(const Machine *m, const Gas *air, const Resolution *n, int64_t node,
                       const double *level, const PassageWalls *walls, double port_temperature,
                       March *warm, Curve *curve)
{
    const Passage *g = &m->resisting[AT(node, MAX_NODES)];
    double pressure[MAX_LEVELS], again_flow[AGAIN], again_pressure[AGAIN];
    double T0 = port_temperature, factor = m->conductance_factor;
    int resists = m->resistance && g->obstructs > 0.0;
    for (int64_t k = 0; k < n->levels; k++) {
        if (resists) {
            march(m, air, n, g, walls, level[k], T0, 1, &warm[AT(k, MAX_LEVELS)]);
            pressure[k] = warm[k].port_pressure;
        } else {
            pressure[k] = pressure_upstream(OPEN_SONIC, OPEN_RATIO, level[k], m->ambient_pressure, T0);
        }
    }
    fit_curve(curve, n->levels, level, pressure, factor, T0, m->ambient_pressure);
    if (!resists)
        return;
    for (int k = 0; k < AGAIN; k++) {
        int64_t at = (int64_t)(AGAIN_AT[k] * (double)(n->levels - 1) + 0.5);
        March *row = &warm[AT(n->levels + k, MAX_LEVELS + AGAIN)];
        march(m, air, n, g, walls, level[AT(at, MAX_LEVELS)], T0 - COLDER, 1, row);
        again_flow[k] = level[at] * factor;
        again_pressure[k] = row->port_pressure;
    }
    fit_exponent(curve, again_flow, again_pressure, T0 - COLDER);
}
