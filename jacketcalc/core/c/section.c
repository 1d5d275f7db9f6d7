/* Cross-sections of a passage: what flux, stagnation temperature and pressure say of each.
 *
 *     energy      cp T0 = cp T + (G R T / p)^2 / 2          (a quadratic in T)
 *     a cell      integral of rho dp + G^2 ln(v_out / v_in) + f G^2 dx / (2 D) = 0
 *     narrowing   p0 upstream = p0 below + loss x dynamic pressure below
 *     widening    p + rho V^2 is kept (Borda and Carnot), plus the loss
 *
 * rho(p) stays smooth up to the sonic point, so choking needs no fine cells.
 */

#define CELL_NEWTON 2 /* Newton iterations on a cell's pressure inside a part: within 1e-9 */
#define END_NEWTON 4  /* and in the two cells before its end, where it may choke: within 1e-6 */
#define STAGNATION_NEWTON 8

typedef struct Section {
    double G, T0, cp, R;
    double motion; /* kinetic energy is cp motion T^2 / (2 p^2) */
} Section;

static Section section(double G, double T0, double cp, double R)
{
    Section s = {G, T0, cp, R, square(G * R) / cp};
    return s;
}

static double static_temperature(const Section *s, double p)
{
    double twice = 2.0 * s->T0;
    return twice / (1.0 + sqrt(1.0 + s->motion * twice / (p * p)));
}

static double mach_squared(const Section *s, double p)
{
    double gamma = s->cp / (s->cp - s->R);
    return square(s->G) * s->R * static_temperature(s, p) / (gamma * p * p);
}

static double sonic_pressure(const Section *s)
{
    double gamma = s->cp / (s->cp - s->R);
    return s->G * sqrt(s->R * s->T0 * 2.0 / (gamma * (gamma + 1.0)));
}

static double stagnation_pressure(const Section *s, double p)
{
    return p * pow(s->T0 / static_temperature(s, p), s->cp / s->R);
}

static double dynamic_pressure(const Section *s, double p)
{
    return 0.5 * square(s->G) * s->R * static_temperature(s, p) / p;
}

/* Pressure before a sudden widening from the impulse p + rho V^2 behind it; sonic where the
 * impulse is too small. `share` is the section here over the one behind. */
static double before_widening(const Section *s, double impulse, double share, int64_t *chokes)
{
    double floor = sonic_pressure(s), p = larger(impulse, floor);
    for (int i = 0; i < STAGNATION_NEWTON; i++) {
        double flux = 2.0 * share * dynamic_pressure(s, p);
        double rate = larger(1.0 - flux / p, 0.05);
        double next = larger(p - (p + flux - impulse) / rate, floor);
        double change = fabs(next - p);
        p = next;
        if (change < 1e-13 * p)
            break;
    }
    *chokes = impulse < floor + 2.0 * share * dynamic_pressure(s, floor);
    return p;
}

/* Subsonic static pressure at a stagnation pressure; sonic where that is too low. */
static double static_pressure(const Section *s, double stagnation, int64_t *chokes)
{
    double floor = sonic_pressure(s), p = larger(stagnation, floor), power = s->cp / s->R;
    for (int i = 0; i < STAGNATION_NEWTON; i++) {
        double T = static_temperature(s, p);
        double twice = square(s->G * s->R / p) * T / s->cp;
        double value = p * pow(s->T0 / T, power);
        double rate = value / p * (1.0 - power * twice / (1.0 + twice));
        double next = larger(p - (value - stagnation) / larger(rate, 0.02), floor);
        double change = fabs(next - p);
        p = next;
        if (change < 1e-13 * p)
            break;
    }
    *chokes = stagnation < stagnation_pressure(s, floor);
    return p;
}

/* Pressure at the end of a part from that where the next begins. */
static double pressure_before(const Section *below, double p, double loss, const Section *above,
                              double share, int64_t *chokes)
{
    double lost = loss * dynamic_pressure(below, p);
    if (share < 1.0) {
        double impulse = p + 2.0 * dynamic_pressure(below, p) + lost;
        return before_widening(above, impulse, share, chokes);
    }
    return static_pressure(above, stagnation_pressure(below, p) + lost, chokes);
}

/* The march's pressure step: one cell's momentum balance for the pressure at its upstream face. */
static double step_up(const Section *here, double drag, double p_down, double T_down,
                      int iterations)
{
    double R = here->R, GG = square(here->G);
    double rho_down = p_down / (R * T_down);
    double slope = larger(rho_down * (1.0 - mach_squared(here, p_down)), 0.0);
    double bend = rho_down / p_down + GG / (p_down * p_down);
    double p = p_down + 2.0 * drag / (slope + sqrt(slope * slope + 2.0 * bend * drag) + 1e-300);
    for (int i = 0; i < iterations; i++) {
        double T = static_temperature(here, p), rho = p / (R * T);
        double fall = 1.0 / (p * (1.0 + here->motion * T / (p * p)));
        double mean = 0.5 * (rho + rho_down), rise = p - p_down;
        double balance = mean * rise - GG * log(rho / rho_down) - drag;
        double rate = mean + (0.5 * rise * rho - GG) * fall;
        p = larger(p - balance / larger(rate, 0.02 * rho), p_down);
    }
    return p;
}
