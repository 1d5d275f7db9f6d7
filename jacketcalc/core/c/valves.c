/* Flow through valves and fittings after ISO 6358-1:2013, index 0.5.
 *
 *     choked     F = C rho0 p_up sqrt(T0 / T_up)
 *     subsonic   F = choked x sqrt(1 - ((p_down/p_up - b)/(1 - b))^2)
 *     near equal pressures, linear in the difference (common practice)
 *
 * With an opening pressure the difference that drives the flow is less by it.
 */

#define REFERENCE_DENSITY 1.185      /* of the standard reference atmosphere, ISO 6358 [kg/m3] */
#define REFERENCE_TEMPERATURE 293.15 /* of the standard reference atmosphere, ISO 6358 [K] */
#define LINEAR_ZONE 0.005            /* share of the upstream pressure over which flow is linear [-] */
#define LARGEST_RATIO 0.9 /* largest critical ratio used, so that a stiffly loaded valve opens gradually */
#define TINY_PRESSURE 1e-3           /* keeps a ratio of pressures from a division by zero [Pa] */

static double reference_scale(void) { return REFERENCE_DENSITY * sqrt(REFERENCE_TEMPERATURE); }

static Flow valve_flow(double C, double b, double p_up, double p_down, double T_up, double opening)
{
    double loaded = larger(p_up - opening, TINY_PRESSURE);
    int narrow = b * p_up >= LARGEST_RATIO * loaded;
    double span = loaded - (narrow ? LARGEST_RATIO * loaded : b * p_up);
    double span_slope = narrow ? 1.0 - LARGEST_RATIO : 1.0 - b;
    double opened = smaller(larger(loaded - p_down, 0.0) / span, 1.0);
    Flow flow = {0.0, 0.0, 0.0};
    if (opened <= 0.0)
        return flow;
    double edge = LINEAR_ZONE * loaded / span;
    int linear = opened < edge;
    double root = sqrt(2.0 / larger(opened, edge) - 1.0);
    double scale = reference_scale() * C / sqrt(T_up);
    double share = scale * opened * root;
    double rise = (linear ? root : root * (1.0 - opened) / (2.0 - opened)) * scale * p_up / span;
    flow.F = share * p_up;
    flow.F_down = -rise;
    flow.F_up = share + rise * (1.0 - opened * span_slope);
    if (linear && opening > 0.0) {
        /* An opening pressure lets the edge of the linear zone move with p_up. */
        double drift = opened * (LINEAR_ZONE - edge * span_slope);
        flow.F_up -= drift * scale * p_up / (span * square(edge) * root);
    }
    return flow;
}

/* Stagnation pressure upstream that drives a given mass flow [Pa]. */
static double pressure_upstream(double C, double b, double flow, double p_down, double T_up)
{
    double choked = flow * sqrt(T_up) / (reference_scale() * C);
    double back = larger(p_down, b * choked), rest = 1.0 - b;
    double root = rest * sqrt(larger(square(back) + (1.0 - 2.0 * b) * square(choked), 0.0));
    double ellipse = (square(back) + square(rest * choked)) / (b * back + root);
    double linear = p_down + rest * choked / sqrt(2.0 * rest / LINEAR_ZONE - 1.0);
    return larger(ellipse, linear);
}
