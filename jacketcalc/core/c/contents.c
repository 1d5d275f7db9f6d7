/* Pressure and temperature of given contents: mass m and internal energy U in a volume V,
 *
 *     m = rho V,     U = m h - p V.
 */

#define CONTENTS_SETTLED 1e-11 /* relative change of p and T that ends the search [-] */
#define CONTENTS_STEPS 40      /* Newton steps allowed; 2 or 3 are usual from a near state */

static void settle_contents(const Machine *m, const Gas *air, const double *volume, Contents *c)
{
    for (int64_t v = 0; v < m->volumes; v++) {
        const Gas *held = gas_in(m, air, v);
        double p = c->pressure[v], T = c->temperature[v], V = volume[v];
        for (int step = 0; step < CONTENTS_STEPS; step++) {
            Thermo gas = thermo(held, T, p);
            double short_m = c->mass[v] - gas.rho * V;
            double short_U = c->energy[v] - (c->mass[v] * gas.h - p * V);
            double mp = gas.rho_p * V, mT = gas.rho_T * V;
            double Up = c->mass[v] * gas.h_p - V, UT = c->mass[v] * gas.h_T;
            double det = mp * UT - mT * Up;
            double dp = within((UT * short_m - mT * short_U) / det, -0.3 * p, 0.3 * p);
            double dT = within((mp * short_U - Up * short_m) / det, -0.2 * T, 0.2 * T);
            p += dp;
            T += dT;
            if (fabs(dp / p) < CONTENTS_SETTLED && fabs(dT / T) < CONTENTS_SETTLED)
                break;
        }
        c->pressure[v] = p;
        c->temperature[v] = T;
    }
}

/* The state of contents of which nothing else is known. */
static void guess_contents(const Machine *m, const Gas *air, const double *volume, Contents *c)
{
    for (int64_t v = 0; v < m->volumes; v++) {
        c->temperature[v] = 280.0;
        double R = gas_in(m, air, v)->gas_constant;
        c->pressure[v] = larger(c->mass[v] * R * 280.0 / volume[v], 6e4);
    }
    settle_contents(m, air, volume, c);
}
