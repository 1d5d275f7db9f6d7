/* Heat between the gas and the walls of every volume, at one instant.
 *
 *     Q = G (T - Twall) + phase lead,      G = h x wetted area
 *     gas spring    h = max(Re Nu, floor) k / D, joined with natural convection by cubes
 *     suction       h + mixing x (jet - h), as far as the suction valve stands open
 *     phase lead    share L of the compression heat -T (dp/dT)_v dV, taken out at once
 *
 * A case's factor multiplies all heat of a stage's law, the phase lead included; drive chambers keep
 * theirs.
 *
 * Peclet number w D^2 / (4 alpha), w = 2 pi x cycle rate, D = 4 volume / wetted area.
 */

#define SUCTION_EDGE 0.1 /* inflow over what the piston displaces at which a chamber half draws [-] */
#define SPEED_FLOOR 0.2  /* floor on piston speed in the jet form, over the mean speed [-] */

/* What the laws see of a stage at an instant. */
typedef struct StageGas {
    double p, T;      /* gas [Pa], [K] */
    double volume;    /* [m3] */
    double area;      /* wetted: head, crown and barrel [m2] */
    double wall;      /* mean wall temperature over that area [K] */
    double inflow;    /* through the suction valve, an instant ago [kg/s] */
    double speed;     /* of the piston [m/s] */
    double angle;     /* from least volume, 0 to pi, that the stroke has come to by time [rad] */
} StageGas;

typedef struct StageLaw {
    double coefficient; /* on T - wall [W/(m2 K)] */
    double lead;        /* share of the compression heat taken out at once [-] */
} StageLaw;

static StageLaw swirl_law(const CylinderLaws *laws, const StageGas *s, Thermo gas, double mu,
                          double k, double omega)
{
    double diameter = 6.0 * s->volume / s->area;
    double near_head = cos(s->angle) > 0.0 ? 2.0 : 1.0;
    double swirl = larger(near_head * (laws->swirl_mean + cos(2.0 * s->angle)), laws->swirl_least);
    double re = gas.rho * square(diameter) * 0.5 * omega * swirl / mu;
    double h = power_law(&laws->swirl, re, mu * gas.h_T / k) * k / diameter;
    StageLaw law = {laws->factor * h, 0.0};
    return law;
}

static StageLaw spring_law(const CylinderLaws *laws, const StageGas *s, Thermo gas, double mu,
                           double k, double omega, double mean_speed, const Stage *stage)
{
    double cp = gas.h_T, rho = gas.rho, diameter = 4.0 * s->volume / s->area;
    double ln_peclet = log(omega * square(diameter) * rho * cp / (4.0 * k));
    double real = larger(table_value(&laws->spring_real, ln_peclet, 0.0), laws->spring_floor);
    double imaginary = table_value(&laws->spring_imaginary, ln_peclet, 0.0);
    double still = k / diameter * real;
    double group = GRAVITY * fabs(s->T - s->wall) / s->T * square(rho) * cp / (mu * k);
    double cubed = laws->natural * k;
    still = cbrt(still * still * still + cubed * cubed * cubed * group);
    double displaced = rho * stage->area * mean_speed;
    double shut = 1.0 / (1.0 + square(s->inflow / displaced / SUCTION_EDGE));
    double coefficient = still;
    if (s->inflow > 0.0 && laws->mixing > 0.0) {
        double piston = larger(fabs(s->speed), SPEED_FLOOR * mean_speed);
        double inflow_speed = s->inflow / (rho * stage->area);
        double speed = piston + pow(piston, laws->jet_piston) * pow(inflow_speed, laws->jet_inflow);
        double re = rho * speed * stage->bore / mu;
        double jet = power_law(&laws->jet, re, mu * cp / k) * k / stage->bore;
        coefficient += laws->mixing * (1.0 - shut) * larger(jet - still, 0.0);
    }
    double cv = cp - s->T * square(gas.rho_T) / (square(rho) * gas.rho_p);
    double lagging = laws->factor * shut * imaginary * k * s->area / (diameter * omega);
    StageLaw law;
    law.lead = lagging / (rho * s->volume * cv + lagging);
    law.coefficient = laws->factor * coefficient * (1.0 - law.lead);
    return law;
}

static StageLaw stage_law(const Machine *m, const Gas *table, const Stage *stage, const StageGas *s,
                          double period)
{
    Transport carried;
    Thermo gas = properties(table, s->T, s->p, &carried);
    if (s->T < table->lowest_temperature || s->T > table->highest_temperature
        || s->p < table->lowest_pressure || s->p > table->highest_pressure)
        gas = thermo(table, s->T, s->p);
    double mu = carried.viscosity, k = carried.conductivity;
    double omega = 2.0 * PI / period, mean_speed = 2.0 * m->stroke / period;
    const CylinderLaws *laws = &m->cylinder;
    if (laws->model == ADAIR)
        return swirl_law(laws, s, gas, mu, k, omega);
    if (laws->model == ANNAND) {
        double re = gas.rho * mean_speed * stage->bore / mu;
        double h = power_law(&laws->annand, re, mu * gas.h_T / k) * k / stage->bore;
        StageLaw law = {laws->factor * h, 0.0};
        return law;
    }
    return spring_law(laws, s, gas, mu, k, omega, mean_speed, stage);
}

/* h A of a drive chamber [W/K]. */
static double drive_conductance(const Machine *m, int64_t chamber, double p, double T,
                                double volume, double period)
{
    double size = m->drive_area[AT(chamber, 2)];
    double wetted = 2.0 * size + m->drive_cylinders * PI * m->drive_bore * volume / size;
    double speed = 2.0 * m->stroke / period;
    return m->cylinder.drive * cbrt(speed) * sqrt(p * 1e-5 * T) * wetted;
}

/* Mean temperature of the walls that the gas of a stage wets, `open` of the barrel bared [K]. */
static double wetted_wall(const GasSide *g, double open)
{
    double place = within(open / g->ring, 0.0, (double)g->rings);
    int64_t k = (int64_t)place;
    double sum = g->sum[AT(k, MAX_RINGS + 1)];
    if (k < g->rings)
        sum += (place - (double)k) * (g->sum[k + 1] - g->sum[k]);
    double bared = place * g->ring;
    return (g->perimeter * sum + g->ends) / (g->perimeter * bared + g->area_ends);
}
