/* Correlations as Python tabled them, and the blends that join their bases.
 *
 *     ln value = a + z (b + z c),  z = ln(Pr / 0.72),   a, b, c cubics of ln Re in each interval
 *
 * A base is smooth and is held at the ends of its own range. Where two bases meet in a kink or a
 * blend, each has a table of its own and they are joined here: tabling the kink would cost a
 * per cent or more beside it.
 */

#define PRANDTL_MIDDLE 0.72 /* Prandtl number that tables are made about [-] */

static double smooth_step(double x)
{
    double clipped = within(x, 0.0, 1.0);
    return clipped * clipped * (3.0 - 2.0 * clipped);
}

static double cubic_at(const double *c, double x) { return c[0] + x * (c[1] + x * (c[2] + x * c[3])); }

/* Value of a base at ln Re; `z` is ln(Pr / PRANDTL_MIDDLE). */
static double table_value(const Table *t, double ln_re, double z)
{
    double place = within((ln_re - t->start) / t->step, 0.0, (double)t->intervals);
    int64_t k = (int64_t)place;
    if (k >= t->intervals)
        k = t->intervals - 1;
    const double *c = t->cubic[AT(k, MAX_INTERVALS)];
    double x = place - (double)k;
    double value = cubic_at(c, x);
    if (t->by_prandtl)
        value += z * (cubic_at(c + 4, x) + z * cubic_at(c + 8, x));
    return exp(value);
}

static double law_value(const Law *law, double re, double ln_re, double z)
{
    double share;
    switch (law->join) {
    case JOIN_LARGER:
        return larger(law->least, larger(table_value(&law->slow, ln_re, z),
                                         table_value(&law->fast, ln_re, z)));
    case JOIN_LINEAR:
        share = within((re - law->from) / law->span, 0.0, 1.0);
        break;
    case JOIN_SMOOTH:
        share = smooth_step((re - law->from) / law->span);
        break;
    case JOIN_SMOOTH_LOG:
        share = smooth_step((ln_re - law->from) / law->span);
        break;
    default:
        share = 0.0;
    }
    if (share <= 0.0)
        return larger(law->least, table_value(&law->slow, ln_re, z));
    double fast = table_value(&law->fast, ln_re, z);
    if (share >= 1.0)
        return larger(law->least, fast);
    double slow = table_value(&law->slow, ln_re, z);
    return larger(law->least, slow + share * (fast - slow));
}

static double power_law(const Power *law, double re, double pr)
{
    return law->coefficient * pow(re, law->reynolds) * pow(pr, law->prandtl);
}

/* Efficiency of a straight fin that loses nothing at its tip: tanh(m L) / (m L). */
static double fin_efficiency(double h, double k, double thickness, double height)
{
    double slender = larger(height * sqrt(2.0 * h / (k * thickness)), 1e-6);
    return tanh(slender) / slender;
}

/* Radiation coefficient of a surface in large surroundings [W/(m2 K)]. */
static double radiation(double emissivity, double surface, double ambient)
{
    return emissivity * STEFAN_BOLTZMANN * (surface * surface + ambient * ambient) * (surface + ambient);
}

#define SMALLEST_DIFFERENCE 0.5 /* natural convection is taken as at this difference below it [K] */
#define COLDEST_FILM 160.0      /* properties of a film are taken at least here [K] */

/* Natural convection, times the case's factor for draughts, and radiation of a horizontal cylinder in
 * still ambient air [W/(m2 K)]. */
static double ambient_coefficient(const Machine *m, const Gas *air, double diameter,
                               double emissivity, double surface)
{
    double ambient = m->ambient_temperature, gap = surface - ambient;
    double apart = fabs(gap) < SMALLEST_DIFFERENCE ? SMALLEST_DIFFERENCE : gap;
    double film = larger(ambient + 0.5 * apart, COLDEST_FILM);
    Transport carried;
    Thermo gas = properties(air, film, m->ambient_pressure, &carried);
    double pr = carried.viscosity * gas.h_T / carried.conductivity;
    double grashof = GRAVITY * fabs(apart) / (ambient + 0.5 * apart) * diameter * diameter * diameter
                     * square(gas.rho / carried.viscosity);
    double nu = m->film_factor * table_value(&m->film, log(grashof), log(pr / PRANDTL_MIDDLE));
    return nu * carried.conductivity / diameter + radiation(emissivity, surface, ambient);
}
