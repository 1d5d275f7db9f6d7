/* The march along tube, helical channel and outlet: one dimension, compressible, heat on both sides.
 *
 * Pressure is marched upstream from the outlet, where it is known (ambient, or sonic), and
 * stagnation temperature downstream from the port:
 *
 *     T0 out = Te + (T0 in - Te) exp(-(hA barrel + hA outer) / (m cp)) - throttling
 *     Te     = (hA barrel x T barrel + hA outer x T outer) / (hA both) + recovery lag
 *
 * A few sweeps over both settle a passage; one does from a warm start. Cells run in flow
 * direction, the tube's first; faces likewise, and the joint of tube and channel counts twice.
 */

#define COLDEST 100.0       /* properties are taken at least at this temperature [K] */
#define LARGEST_FALL 10.0   /* largest fall of temperature by throttling into a tube [K] */
#define LEAK_ENTRY_LOSS 1.5 /* of a sharp slot, entry and exit together (common practice, no source) */
#define SLOT_LAMINAR 96.0   /* Darcy f Re between parallel plates, exact [-] */
#define SWEEPS_COLD 4

/* Coefficients of the cells, from the profile of the sweep before. */
typedef struct Cells {
    double cp[MAX_CELLS], R[MAX_CELLS]; /* [J/(kg K)] */
    double throttling[MAX_CELLS];       /* fall of temperature with pressure [K/Pa] */
    double G[MAX_CELLS];                /* mass flux along the passage [kg/(m2 s)] */
    double drag[MAX_CELLS];             /* f G^2 dx / (2 D) [kg2/(m4 s2)] */
    double lag[MAX_CELLS];              /* recovery temperature less stagnation temperature [K] */
} Cells;

/* Share of the flow that crosses the rib tips instead of spiralling. The drop along the channel
 * between neighbouring ribs drives both, V along the channel and w through the slots:
 *
 *     (entry + 96 mu / (rho w 2 c) x rib / 2 c) w^2 = f turn / Dh V^2,     V + areas w = U
 *
 * U is the speed without a leak; what is left is a quadratic in w. */
static double leak_share(const Passage *g, double friction, double total, double rho, double mu)
{
    if (g->leak_area <= 0.0)
        return 0.0;
    double drop = friction * g->leak_share_of_turn / g->hydraulic_diameter;
    double areas = g->leak_area / g->area, speed = total / rho;
    double drag = SLOT_LAMINAR * mu / (rho * 2.0 * g->leak_height) * g->leak_slot;
    double square_term = LEAK_ENTRY_LOSS - drop * square(areas);
    double linear = drag + 2.0 * drop * areas * speed, right = drop * square(speed);
    double root = sqrt(square(linear) + 4.0 * square_term * right);
    double slot_speed = 2.0 * right / (linear + root);
    return areas * slot_speed / speed;
}

#define LOWEST_RE 1.0 /* laws are held below it, so that standing air gives no infinity [-] */

/* Factor on the channel's coefficient for a gas that is heated by a warmer wall: the power of
 * bulk over wall temperature grows from none, laminar, to the whole one, turbulent. */
static double heating_factor(const Passage *g, double bulk, double wall, double ln_re)
{
    if (bulk >= wall)
        return 1.0;
    double share = smooth_step((ln_re - g->heating_from) / g->heating_span);
    return share > 0.0 ? pow(bulk / wall, g->heating_exponent * share) : 1.0;
}

static void tube_cell(const Passage *g, Cells *cells, March *out, int64_t i, double flow,
                      double dx, double rho, Transport carried, double pr)
{
    double G = flow / g->tube_area, re = larger(G * g->tube_bore / carried.viscosity, LOWEST_RE);
    double ln_re = log(re);
    double f = law_value(&g->tube_friction, re, ln_re, 0.0);
    double nu = law_value(&g->tube_nusselt, re, ln_re, log(pr / PRANDTL_MIDDLE));
    cells->G[i] = G;
    cells->drag[i] = f * square(G) * dx / (2.0 * g->tube_bore);
    cells->lag[i] = (1.0 - cbrt(pr)) * square(G / rho) / (2.0 * cells->cp[i]);
    out->outer[i] = nu * carried.conductivity / g->tube_bore * (PI * g->tube_bore * dx);
}

static void channel_cell(const Passage *g, const PassageWalls *walls, Cells *cells, March *out,
                         int64_t i, int64_t k, double flow, double dx, double T, double rho,
                         Transport carried, double pr)
{
    double mu = carried.viscosity, Dh = g->hydraulic_diameter, total = flow / g->area;
    double re = larger(total * Dh / mu, LOWEST_RE), ln_re = log(re);
    double f = law_value(&g->friction, re, ln_re, 0.0);
    double leak = leak_share(g, f, total, rho, mu);
    double G = total * (1.0 - leak);
    if (leak > 0.0) {
        re = larger(G * Dh / mu, LOWEST_RE);
        ln_re = log(re);
        f = law_value(&g->friction, re, ln_re, 0.0);
    }
    double nu = g->channel_factor * law_value(&g->nusselt, re, ln_re, log(pr / PRANDTL_MIDDLE));
    double h = nu * heating_factor(g, T, walls->barrel[k], ln_re) * carried.conductivity / Dh;
    double surface = g->barrel_perimeter;
    if (g->fin_perimeter > 0.0)
        surface += g->fin_perimeter
                   * fin_efficiency(h, g->fin_conductivity, g->fin_thickness, g->fin_height);
    cells->G[i] = G;
    cells->drag[i] = f * square(G) * dx / (2.0 * Dh);
    cells->lag[i] = (1.0 - cbrt(pr)) * square(G / rho) / (2.0 * cells->cp[i]);
    out->leak[k] = leak;
    out->reynolds[k] = G * Dh / mu;
    out->coefficient[k] = h;
    out->barrel[k] = h * surface * dx * walls->heat;
    out->outer[i] = h * g->shell_perimeter * dx;
}

/* Friction, heat and leak of every cell, at the middle of its faces in the last sweep. */
static void set_cells(const Gas *air, const Resolution *n, const Passage *g,
                      const PassageWalls *walls, double flow, March *out, Cells *cells)
{
    int64_t tube = n->tube_cells, count = tube + n->channel_cells;
    double tube_dx = g->tube_length / (double)tube, dx = g->length / (double)n->channel_cells;
    for (int64_t i = 0; i < count; i++) {
        int64_t face = i < tube ? i : i + 1;
        double p = clipped_p(air, 0.5 * (out->p[face] + out->p[face + 1]));
        double T = within(0.5 * (out->T[face] + out->T[face + 1]), COLDEST, air->highest_temperature);
        Transport carried;
        Thermo gas = properties(air, T, p, &carried);
        double pr = carried.viscosity * gas.h_T / carried.conductivity;
        cells->cp[i] = gas.h_T;
        cells->R[i] = p / (gas.rho * T);
        cells->throttling[i] = -gas.h_p / gas.h_T;
        if (i < tube)
            tube_cell(g, cells, out, i, flow, tube_dx, gas.rho, carried, pr);
        else
            channel_cell(g, walls, cells, out, i, i - tube, flow, dx, T, gas.rho, carried, pr);
    }
}

/* Stagnation pressure before the tube's fitting [Pa]. */
static double port_pressure(const Passage *g, const Cells *cells, const March *out)
{
    Section tube = section(cells->G[0], out->T0[0], cells->cp[0], cells->R[0]);
    return stagnation_pressure(&tube, out->p[0]) + g->tube_loss * dynamic_pressure(&tube, out->p[0]);
}

/* Carry stagnation temperature downstream, and note what each wall sees of it. */
static void sweep_temperature(const Resolution *n, const PassageWalls *walls, const Cells *cells,
                              double flow, double T0_port, double port, March *out)
{
    int64_t tube = n->tube_cells, count = tube + n->channel_cells, face = 0;
    double fall = smaller(cells->throttling[0] * (port - out->p[0]), LARGEST_FALL);
    out->T0[0] = T0_port - larger(fall, 0.0);
    for (int64_t i = 0; i < count; i++) {
        if (i == tube) {
            double joint = cells->throttling[tube] * (out->p[face] - out->p[face + 1]);
            out->T0[face + 1] = out->T0[face] - joint;
            face++;
        }
        double inner = i < tube ? 0.0 : out->barrel[i - tube], both = inner + out->outer[i];
        double pull = out->outer[i] * walls->outer[i];
        if (i >= tube)
            pull += inner * walls->barrel[i - tube];
        double level = (both > 0.0 ? pull / both : 0.0) + cells->lag[i];
        double units = both / (flow * cells->cp[i]);
        double lost = -expm1(-units), mean = units > 1e-9 ? lost / units : 1.0;
        double above = out->T0[face] - level;
        double cooled = cells->throttling[i] * (out->p[face] - out->p[face + 1]);
        out->T0[face + 1] = level + above * (1.0 - lost) - cooled;
        out->seen[i] = level + above * mean - cells->lag[i];
        face++;
    }
}

static int newton_of(int64_t cell, int64_t cells)
{
    return cell >= cells - 2 ? END_NEWTON : CELL_NEWTON;
}

/* Carry pressure upstream from the outlet. */
static void sweep_pressure(const Machine *m, const Resolution *n, const Passage *g,
                           const Cells *cells, double flow, March *out)
{
    int64_t tube = n->tube_cells, channel = n->channel_cells, count = tube + channel;
    int64_t last = count + 1, joint = tube + 1;
    double silenced = pressure_upstream(g->silencer_sonic, g->silencer_ratio, flow,
                                        m->ambient_pressure, out->T0[last]);
    Section outlet = section(flow / g->outlet_area, out->T0[last], cells->cp[count - 1],
                           cells->R[count - 1]);
    double p_outlet = larger(silenced, sonic_pressure(&outlet));
    double mach = mach_squared(&outlet, p_outlet);
    Section end = section(cells->G[count - 1], out->T0[last], cells->cp[count - 1],
                          cells->R[count - 1]);
    out->p[last] = pressure_before(&outlet, p_outlet, g->outlet_loss, &end, g->area / g->outlet_area,
                                   &out->chokes_end);
    out->T[last] = static_temperature(&end, out->p[last]);
    mach = larger(mach, mach_squared(&end, out->p[last]));
    for (int64_t k = channel - 1; k >= 0; k--) {
        int64_t i = tube + k, face = i + 1;
        Section here = section(cells->G[i], out->T0[face], cells->cp[i], cells->R[i]);
        out->p[face] = step_up(&here, cells->drag[i], out->p[face + 1], out->T[face + 1],
                               newton_of(k, channel));
        out->T[face] = static_temperature(&here, out->p[face]);
    }
    Section entry = section(cells->G[tube], out->T0[joint], cells->cp[tube], cells->R[tube]);
    Section tube_end = section(cells->G[tube - 1], out->T0[tube], cells->cp[tube - 1],
                               cells->R[tube - 1]);
    out->p[tube] = pressure_before(&entry, out->p[joint], g->inlet_loss, &tube_end,
                                   g->tube_area / g->area, &out->chokes_inside);
    out->T[tube] = static_temperature(&tube_end, out->p[tube]);
    mach = larger(mach, mach_squared(&tube_end, out->p[tube]));
    for (int64_t i = tube - 1; i >= 0; i--) {
        Section here = section(cells->G[i], out->T0[i], cells->cp[i], cells->R[i]);
        out->p[i] = step_up(&here, cells->drag[i], out->p[i + 1], out->T[i + 1],
                            newton_of(i, tube));
        out->T[i] = static_temperature(&here, out->p[i]);
    }
    out->mach_peak = sqrt(mach);
    out->port_pressure = port_pressure(g, cells, out);
}

/* A uniform profile to start from. */
static void cold_profile(const Resolution *n, double T0, double p, March *out)
{
    for (int64_t i = 0; i < n->tube_cells + n->channel_cells + 2; i++) {
        out->T0[i] = T0;
        out->T[i] = T0 - 1.0;
        out->p[i] = p;
    }
}

static int profile_usable(const Resolution *n, const March *out)
{
    double sum = 0.0;
    for (int64_t i = 0; i < n->tube_cells + n->channel_cells + 2; i++)
        sum += out->T0[i] + out->T[i] + out->p[i];
    return isfinite(sum) && sum > 0.0;
}

/* Follow the air of one flow through its passage, from the profile that `out` holds. */
static void march(const Machine *m, const Gas *air, const Resolution *n, const Passage *g,
                  const PassageWalls *walls, double flow, double T0_port, int sweeps, March *out)
{
    Cells cells;
    if (!profile_usable(n, out)) {
        cold_profile(n, T0_port, 1.2 * m->ambient_pressure, out);
        sweeps = SWEEPS_COLD;
    }
    for (int sweep = 0; sweep < sweeps; sweep++) {
        set_cells(air, n, g, walls, flow, out, &cells);
        double port = port_pressure(g, &cells, out);
        sweep_temperature(n, walls, &cells, flow, T0_port, port, out);
        sweep_pressure(m, n, g, &cells, flow, out);
    }
}
