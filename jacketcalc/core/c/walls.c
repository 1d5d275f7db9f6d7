/* Walls: the rings of each barrel, its head and the piston's crown, tubes and shells, the drive
 * cylinder. Gas enters as cycle means of h A and h A T over the time each face is exposed.
 *
 * Balance of a ring at mid-wall temperature T (radial resistances R stand in series):
 *
 *     (g - a T) / (1 + a R in) + (q - b T) / (1 + b R out)
 *         + axial (T above - T) + axial (T below - T) = 0
 *     a = h A of the gas + skirt,   g = h A T of the gas + seal friction + skirt x crown
 *     b, q = the same of jacket and surroundings outside
 *
 * Head:  gas + its ports' air + ambient + end x (T of ring 1 - head) = 0.
 * Crown: gas + skirt + seal friction = 0.
 * Line:  gas + loss x (ambient - wall) = 0.
 * The skirt ties the crown to every ring: rings are solved for a crown of 0 K, and for what each
 * kelvin of crown adds; the crown's own balance then gives the crown.
 *
 * Where a machine is followed through time, each of these gains a term of the step from then to now,
 *
 *     capacity x rate x (T then - T),     rate = 1 / length of the step,
 *
 * which is Euler's implicit rule; of steady walls the rate is 0.
 */

#define SEAL_HEAT_TO_BARREL 0.5 /* share of seal friction that enters the barrel: judgement [-] */
#define SKIN_PASSES 3           /* passes over the skin of a shell without flow */
#define COVER_PLACES 9          /* places of the piston at which the skirt's cover is taken */

/* Length of ring k between two places [m]. */
static double overlap(double ring, int64_t k, double start, double end)
{
    double low = larger((double)k * ring, start), high = smaller((double)(k + 1) * ring, end);
    return larger(high - low, 0.0);
}

static void place_channel(const Machine *m, const Resolution *n, int64_t node, int64_t stage,
                          Sizes *z)
{
    const Passage *g = &m->passage[AT(node, MAX_NODES)];
    for (int64_t c = 0; c < n->channel_cells; c++) {
        double from = g->start + g->advance * (double)c / (double)n->channel_cells;
        double to = g->start + g->advance * (double)(c + 1) / (double)n->channel_cells;
        double low = smaller(from, to), high = larger(from, to);
        for (int64_t k = 0; k < n->rings; k++) {
            double over = overlap(z->ring[stage], k, low, high);
            z->placed[node][c][k] = over / larger(high - low, 1e-12);
            z->covered[stage][k] += over / z->ring[stage] * g->present;
        }
    }
}

/* Sizes of the walls, worked out once for a machine. */
static void set_sizes(const Machine *m, const Resolution *n, Sizes *z)
{
    memset(z, 0, sizeof *z);
    for (int64_t i = 0; i < m->stages; i++) {
        const Stage *s = &m->stage[AT(i, MAX_STAGES)];
        double middle = s->bore + s->wall_thickness, outside = s->bore + 2.0 * s->wall_thickness;
        double ring = s->barrel_length / (double)n->rings, rubbed = 0.0;
        double round = 2.0 * PI * s->conductivity * ring;
        z->ring[i] = ring;
        z->outside[i] = outside;
        z->area_in[i] = PI * s->bore * ring;
        z->area_out[i] = PI * outside * ring;
        z->resistance_in[i] = log(middle / s->bore) / round;
        z->resistance_out[i] = log(outside / middle) / round;
        z->axial[i] = s->conductivity * PI / 4.0 * (square(outside) - square(s->bore)) / ring;
        z->head_outside[i] = PI / 4.0 * square(outside) + PI * outside * s->head_thickness;
        for (int64_t k = 0; k < n->rings; k++) {
            double over = overlap(ring, k, s->idle_start, s->idle_start + s->idle_length);
            z->idle[i][k] = over / ring;
            double covers = 0.0;
            for (int place = 0; place < COVER_PLACES; place++) {
                double face = s->clearance_length + (place + 0.5) / COVER_PLACES * m->stroke;
                covers += overlap(ring, k, face, face + s->piston_length) / COVER_PLACES;
            }
            z->skirt[i][k] = m->piston_film * PI * s->bore * covers;
            z->rubbed[i][k] = overlap(ring, k, s->clearance_length, s->clearance_length + m->stroke);
            rubbed += z->rubbed[i][k];
        }
        for (int64_t k = 0; k < n->rings; k++)
            z->rubbed[i][k] /= rubbed;
        if (s->node >= 0)
            place_channel(m, n, s->node, i, z);
    }
    for (int64_t node = 0; node < m->nodes; node++)
        set_levels(m, n, node, z->level[node]);
    for (int64_t k = 0; k <= n->travel; k++)
        z->fraction[k] = travel_share(k, n->travel);
}

/* What the gas of a stage sees of its walls. */
static GasSide gas_side_of(const Stage *s, const Resolution *n, double ring, const double *inside,
                           double head, double crown)
{
    GasSide g;
    g.ends = s->area * (head + crown);
    g.area_ends = 2.0 * s->area;
    g.perimeter = PI * s->bore;
    g.ring = ring;
    g.rings = n->rings;
    g.sum[0] = 0.0;
    for (int64_t k = 0; k < n->rings; k++)
        g.sum[k + 1] = g.sum[k] + inside[k] * ring;
    return g;
}

/* Cycle means of what air on its way through the head's ports does to the head. */
static void ports_load(const Machine *m, const Stroke *strokes, int64_t i, double period,
                       Barrel *out)
{
    const Stage *s = &m->stage[AT(i, MAX_STAGES)];
    int64_t v = 2 + m->nodes + i;
    for (int half = 0; half < 2; half++) {
        const Stroke *r = &strokes[half];
        for (int64_t k = 0; k < r->instants; k++) {
            double drawn = s->line < 0 ? feed_temperature(m, s) : r->T[k][s->line];
            double in = r->port[k][2 + 2 * i] * r->dt[k] / period;
            double out_of = r->port[k][3 + 2 * i] * r->dt[k] / period;
            out->head_gas += in + out_of;
            out->head_pull += in * drawn + out_of * r->T[k][v];
        }
    }
}

/* Cycle means of the gas at rings, head and crown of a stage, from both strokes. */
static void gas_load(const Machine *m, const Resolution *n, const Sizes *z, const Stroke *strokes,
                     int64_t i, double period, Barrel *out)
{
    const Stage *s = &m->stage[AT(i, MAX_STAGES)];
    int64_t v = 2 + m->nodes + i;
    memset(out->gas, 0, sizeof out->gas);
    memset(out->gas_pull, 0, sizeof out->gas_pull);
    out->head_gas = out->head_pull = out->seal = 0.0;
    for (int half = 0; half < 2; half++) {
        const Stroke *r = &strokes[half];
        int compresses = s->compresses_on == half + 1;
        for (int64_t k = 0; k < r->instants; k++) {
            double towards = compresses ? m->stroke - r->place[k] : r->place[k];
            double open = within(s->clearance_length + towards, 0.0, s->barrel_length);
            double total = PI * s->bore * open + 2.0 * s->area;
            double h = r->conductance[k][v] * r->dt[k] / total / period;
            double q = h * r->T[k][v] + r->lead[k][i] / total / period;
            int64_t whole = (int64_t)(open / z->ring[i]);
            whole = whole < n->rings ? whole : n->rings;
            /* Rings bared whole are summed up below, from the flange to the head. */
            double left = open - (double)whole * z->ring[i];
            if (whole > 0) {
                out->gas[whole - 1] += h * z->area_in[i];
                out->gas_pull[whole - 1] += q * z->area_in[i];
            }
            if (whole < n->rings) {
                /* The bared part of a ring counts for itself only. */
                out->gas[whole] += h * PI * s->bore * left;
                out->gas_pull[whole] += q * PI * s->bore * left;
                if (whole > 0) {
                    out->gas[whole - 1] -= h * PI * s->bore * left;
                    out->gas_pull[whole - 1] -= q * PI * s->bore * left;
                }
            }
            out->head_gas += s->area * h;
            out->head_pull += s->area * q;
            out->seal += s->seal_friction * s->area * (r->p[k][v] - m->ambient_pressure) * r->dx[k]
                         * r->rub[k];
        }
    }
    for (int64_t k = n->rings - 2; k >= 0; k--) {
        out->gas[k] += out->gas[k + 1];
        out->gas_pull[k] += out->gas_pull[k + 1];
    }
    out->crown_gas = out->head_gas;
    out->crown_pull = out->head_pull;
    out->seal /= period;
    ports_load(m, strokes, i, period, out);
}

/* Temperature of the wall of the line before a stage: its air's against that of the surroundings [K]. */
static double solve_line_wall(const Machine *m, const Stroke *strokes, int64_t i,
                              const Storage *then, double period)
{
    const Stage *s = &m->stage[AT(i, MAX_STAGES)];
    double stored = then->rate * then->line[i];
    double pull = s->line_loss * s->line_sink + stored * then->before.line_wall[i];
    double both = s->line_loss + stored;
    for (int half = 0; half < 2; half++)
        for (int64_t k = 0; k < strokes[half].instants; k++) {
            double h = strokes[half].conductance[k][s->line] * strokes[half].dt[k] / period;
            both += h;
            pull += h * strokes[half].T[k][s->line];
        }
    return pull / both;
}

/* Coefficient from a barrel to ambient through the gap of an unfed jacket and its shell: still air
 * and radiation side by side, then the shell's wall and the ambient film, all on the barrel. */
static double idle_film(const Machine *m, const Gas *air, const Stage *s, double outside,
                        double surface)
{
    double share = 0.5, h = 0.0, ambient = m->ambient_temperature, shell = ambient + share * (surface - ambient);
    for (int pass = 0; pass < SKIN_PASSES; pass++) {
        double gap = 1.0 / (s->idle_still + radiation(s->idle_exchange, surface, shell));
        double skin = ambient + share * (surface - ambient);
        h = s->idle_spread
            * ambient_coefficient(m, air, outside * s->idle_spread, s->idle_emissivity, skin);
        share = 1.0 / (1.0 + h * (gap + s->idle_solid));
        shell = surface - h * share * gap * (surface - ambient);
    }
    return h * share;
}

/* Coefficient from the bare outside of a barrel or head to the surroundings: still air, or a stream
 * of it that takes the place of natural convection [W/(m2 K)]. */
static double bare_coefficient(const Machine *m, const Gas *air, const Stage *s, double diameter,
                               double surface)
{
    if (s->blown > 0.0)
        return s->blown + radiation(s->emissivity, surface, m->ambient_temperature);
    return ambient_coefficient(m, air, diameter, s->emissivity, surface);
}

/* What jacket and ambient, or a liquid in place of ambient, do to the outside of a barrel's rings. */
static void outside_load(const Machine *m, const Gas *air, const Resolution *n, const Sizes *z,
                         const Unknowns *u, const PassageHeat *heat, int64_t i, Barrel *out)
{
    const Stage *s = &m->stage[AT(i, MAX_STAGES)];
    double sink = s->bathed > 0.0 ? s->bath_temperature : m->ambient_temperature;
    for (int64_t k = 0; k < n->rings; k++) {
        double surface = u->outside[i][k];
        double bared = 1.0 - (z->covered[i][k] * (double)m->heat + z->idle[i][k]);
        double free = bared * (s->bathed > 0.0 ? s->bathed
                                               : bare_coefficient(m, air, s, z->outside[i], surface));
        if (z->idle[i][k] > 0.0)
            free += z->idle[i][k] * idle_film(m, air, s, z->outside[i], surface);
        free *= z->area_out[i];
        out->air[k] = free;
        out->air_pull[k] = free * sink;
        if (s->node >= 0) {
            const PassageHeat *h = &heat[AT(s->node, MAX_NODES)];
            for (int64_t c = 0; c < n->channel_cells; c++) {
                out->air[k] += z->placed[s->node][c][k] * h->barrel[c];
                out->air_pull[k] += z->placed[s->node][c][k] * h->barrel_pull[c];
            }
        }
    }
    out->head_ambient = bare_coefficient(m, air, s, z->outside[i], u->head[i])
                     * z->head_outside[i];
}

/* Rings and head for given heat from inside, with `ambient` 1 for all else, or 0 for none. */
static void solve_rings(const Machine *m, const Resolution *n, const Sizes *z, int64_t i,
                        const Storage *then, const Barrel *load, const double *inward,
                        double ambient, double drive, Barrel *out)
{
    const Stage *s = &m->stage[AT(i, MAX_STAGES)];
    int64_t rings = n->rings;
    double axial = z->axial[i], end = 2.0 * axial;
    double flange = 1.0 / (1.0 / larger(s->flange, 1e-9) + 1.0 / end);
    double pivot[MAX_RINGS], value[MAX_RINGS], to_mid[MAX_RINGS], to_out[MAX_RINGS];
    double stored = then->rate * then->ring[i], head_stored = then->rate * then->head[i];
    for (int64_t k = rings - 1; k >= 0; k--) {
        double a = load->gas[k] + z->skirt[i][k], b = load->air[k];
        double pull = ambient * load->air_pull[k];
        to_mid[k] = 1.0 + a * z->resistance_in[i];
        to_out[k] = 1.0 + b * z->resistance_out[i];
        pivot[k] = a / to_mid[k] + b / to_out[k] + (k == rings - 1 ? flange : axial)
                   + (k == 0 ? end : axial) + stored;
        value[k] = inward[k] / to_mid[k] + pull / to_out[k] + stored * ambient * then->middle[i][k];
        if (k == rings - 1) {
            value[k] += flange * ambient * drive;
        } else {
            pivot[k] -= axial * axial / pivot[k + 1];
            value[k] += axial * value[k + 1] / pivot[k + 1];
        }
    }
    double head_right = ambient * (load->head_pull + load->head_ambient * m->ambient_temperature
                                   + head_stored * then->before.head[i]);
    double head_diagonal = load->head_gas + load->head_ambient + end + head_stored;
    out->head = (head_right + end * value[0] / pivot[0]) / (head_diagonal - end * end / pivot[0]);
    for (int64_t k = 0; k < rings; k++) {
        double above = k == 0 ? end * out->head : axial * out->middle[k - 1];
        out->middle[k] = (value[k] + above) / pivot[k];
        out->inside[k] = (inward[k] * z->resistance_in[i] + out->middle[k]) / to_mid[k];
        out->outside[k] = (ambient * load->air_pull[k] * z->resistance_out[i] + out->middle[k])
                          / to_out[k];
    }
}

/* Balance rings, head and crown of a stage for given gas and outside. */
static void solve_barrel(const Machine *m, const Resolution *n, const Sizes *z, int64_t i,
                         const Storage *then, double drive, Barrel *b)
{
    Barrel alone, each;
    double inward[MAX_RINGS] = {0.0};
    for (int64_t k = 0; k < n->rings; k++)
        inward[k] = b->gas_pull[k] + SEAL_HEAT_TO_BARREL * b->seal * z->rubbed[i][k];
    solve_rings(m, n, z, i, then, b, inward, 1.0, drive, &alone);
    solve_rings(m, n, z, i, then, b, z->skirt[i], 0.0, 0.0, &each);
    double stored = then->rate * then->crown[i];
    double heat = b->crown_pull + (1.0 - SEAL_HEAT_TO_BARREL) * b->seal
                  + stored * then->before.crown[i];
    double bottom = b->crown_gas + stored;
    for (int64_t k = 0; k < n->rings; k++) {
        heat += z->skirt[i][k] * alone.inside[k];
        bottom += z->skirt[i][k] * (1.0 - each.inside[k]);
    }
    b->crown = heat / bottom;
    b->head = alone.head + b->crown * each.head;
    for (int64_t k = 0; k < n->rings; k++) {
        b->inside[k] = alone.inside[k] + b->crown * each.inside[k];
        b->middle[k] = alone.middle[k] + b->crown * each.middle[k];
        b->outside[k] = alone.outside[k] + b->crown * each.outside[k];
    }
}

/* Conductance from the last ring's mid-wall to the drive's body [W/K]. */
static double flange_conductance(const Machine *m, const Sizes *z, int64_t i)
{
    return 1.0 / (1.0 / larger(m->stage[AT(i, MAX_STAGES)].flange, 1e-9) + 0.5 / z->axial[i]);
}

/* Conductances from tube wall and shell inside to the surroundings, film included [W/K]. */
static void outer_to_ambient(const Machine *m, const Gas *air, const Resolution *n, const Passage *g,
                          const double *outer, double *out)
{
    int64_t tube = n->tube_cells, count = tube + n->channel_cells;
    for (int64_t k = 0; k < count; k++) {
        int shell = k >= tube;
        double diameter = shell ? g->shell_outside : g->tube_outside;
        double length = shell ? fabs(g->advance) / (double)n->channel_cells
                              : g->tube_length / (double)tube;
        double wall = shell ? g->shell_resistance : g->tube_wall_resistance;
        out[k] = 0.0;
        if (length > 0.0) {
            double h = ambient_coefficient(m, air, diameter,
                                        shell ? g->shell_emissivity : g->tube_emissivity, outer[k]);
            out[k] = length / (wall + 1.0 / (h * PI * diameter));
        }
    }
}

/* Conductance from the drive's cylinders to the surroundings [W/K]. */
static double drive_to_ambient(const Machine *m, const Gas *air, double wall)
{
    double outside = m->drive_bore + 2.0 * m->drive_wall_thickness;
    double area = m->drive_cylinders * (PI * outside * m->stroke + PI / 2.0 * square(outside));
    return ambient_coefficient(m, air, outside, m->drive_emissivity, wall) * area;
}

/* Friction and impact heat of the drive [W]. */
static double drive_friction(const Machine *m, const Stroke *strokes, double period)
{
    double work = 0.0;
    for (int fed = 0; fed < 2; fed++) {
        const Stroke *r = &strokes[fed];
        work += r->impact;
        for (int64_t k = 0; k < r->instants; k++) {
            double push = (r->p[k][fed] - m->ambient_pressure) * m->drive_area[fed] * m->friction_share;
            work += (push + m->friction) * r->dx[k] * r->rub[k];
        }
    }
    return work / period;
}

/* Temperature of the drive cylinder's wall: gas, friction, ambient and the stages' flanges. */
static double solve_drive_wall(const Machine *m, const Resolution *n, const Sizes *z,
                               const Stroke *strokes, const Barrel *barrels, const Storage *then,
                               double period, double to_ambient)
{
    double stored = then->rate * then->drive;
    double top = drive_friction(m, strokes, period) + to_ambient * m->ambient_temperature
                 + stored * then->before.drive_wall;
    double bottom = to_ambient + stored;
    for (int half = 0; half < 2; half++)
        for (int64_t k = 0; k < strokes[half].instants; k++)
            for (int v = 0; v < 2; v++) {
                double h = strokes[half].conductance[k][v] * strokes[half].dt[k] / period;
                bottom += h;
                top += h * strokes[half].T[k][v];
            }
    for (int64_t i = 0; i < m->stages; i++) {
        double flange = flange_conductance(m, z, i);
        bottom += flange;
        top += flange * barrels[i].middle[n->rings - 1];
    }
    return top / bottom;
}
