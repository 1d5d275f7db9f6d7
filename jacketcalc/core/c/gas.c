/* A gas from its table: bicubic cells through CoolProp's values and slopes.
 *
 *     x = (ln(T - pole) - x_start) x_rate          y = (asinh((p - ridge)/width) - y_start) y_rate
 *     rho/p, h, viscosity, conductivity = sum over i, j of c_ij x^i y^j in the cell
 *
 * Beyond the table density goes with p/T and enthalpy with T from the nearest edge, so that a
 * search that strays comes back; what ends out there is refused or marked by the caller.
 */

#define COEFFICIENTS 64 /* of a cell: 4 quantities x 4 powers of x x 4 powers of y */

typedef struct Place {
    const double *cell; /* coefficients of the cell */
    double x, y;        /* position within it [-] */
    double x_T;         /* slope of x in temperature [1/K] */
    double y_p;         /* slope of y in pressure [1/Pa] */
} Place;

static Place locate(const Gas *table, double T, double p)
{
    double above = T - table->pole;
    double ridge = (p - table->ridge) / table->width;
    double root = sqrt(ridge * ridge + 1.0);
    double x = (log(above) - table->x_start) * table->x_rate;
    double y = (log(ridge + root) - table->y_start) * table->y_rate;
    int64_t row = (int64_t)x, column = (int64_t)y;
    Place at;
    at.cell = table->cells + COEFFICIENTS * (row * table->pressure_cells + column);
    at.x = x - (double)row;
    at.y = y - (double)column;
    at.x_T = table->x_rate / above;
    at.y_p = table->y_rate / (table->width * root);
    return at;
}

/* Value, slope in x and slope in y of one quantity in its cell. */
static void bicubic(const double *c, double x, double y, double *value, double *v_x, double *v_y)
{
    double a[4], a_y[4];
    for (int i = 0; i < 4; i++) {
        const double *k = c + 4 * i;
        a[i] = k[0] + y * (k[1] + y * (k[2] + y * k[3]));
        a_y[i] = k[1] + y * (2.0 * k[2] + 3.0 * y * k[3]);
    }
    *value = a[0] + x * (a[1] + x * (a[2] + x * a[3]));
    *v_x = a[1] + x * (2.0 * a[2] + 3.0 * x * a[3]);
    *v_y = a_y[0] + x * (a_y[1] + x * (a_y[2] + x * a_y[3]));
}

static double bicubic_value(const double *c, double x, double y)
{
    double a[4];
    for (int i = 0; i < 4; i++) {
        const double *k = c + 4 * i;
        a[i] = k[0] + y * (k[1] + y * (k[2] + y * k[3]));
    }
    return a[0] + x * (a[1] + x * (a[2] + x * a[3]));
}

static double clipped_T(const Gas *table, double T)
{
    return within(T, table->lowest_temperature, table->highest_temperature);
}

static double clipped_p(const Gas *table, double p)
{
    return within(p, table->lowest_pressure, table->highest_pressure);
}

static Thermo air_at(const Place *at, double p)
{
    double ratio, ratio_x, ratio_y, h, h_x, h_y;
    bicubic(at->cell, at->x, at->y, &ratio, &ratio_x, &ratio_y);
    bicubic(at->cell + 16, at->x, at->y, &h, &h_x, &h_y);
    Thermo found;
    found.rho = ratio * p;
    found.h = h;
    found.rho_T = ratio_x * at->x_T * p;
    found.rho_p = ratio + ratio_y * at->y_p * p;
    found.h_T = h_x * at->x_T;
    found.h_p = h_y * at->y_p;
    return found;
}

/* Density and enthalpy with their slopes, continued smoothly beyond the table. */
static Thermo thermo(const Gas *table, double T, double p)
{
    double near_T = clipped_T(table, T), near_p = clipped_p(table, p);
    Place at = locate(table, near_T, near_p);
    Thermo found = air_at(&at, near_p);
    if (near_T == T && near_p == p)
        return found;
    double thin = near_T / T, dense = p / near_p;
    found.rho *= thin * dense;
    found.h += found.h_T * (T - near_T);
    found.rho_T = near_T != T ? -found.rho / T : found.rho_T * dense;
    found.rho_p = near_p != p ? found.rho / p : found.rho_p * thin;
    if (near_p != p)
        found.h_p = 0.0;
    return found;
}

static Transport transport(const Gas *table, double T, double p)
{
    Place at = locate(table, clipped_T(table, T), clipped_p(table, p));
    Transport found;
    found.viscosity = bicubic_value(at.cell + 32, at.x, at.y);
    found.conductivity = bicubic_value(at.cell + 48, at.x, at.y);
    return found;
}

/* All properties of a state, clipped to the table. */
static Thermo properties(const Gas *table, double T, double p, Transport *carried)
{
    double near_p = clipped_p(table, p);
    Place at = locate(table, clipped_T(table, T), near_p);
    carried->viscosity = bicubic_value(at.cell + 32, at.x, at.y);
    carried->conductivity = bicubic_value(at.cell + 48, at.x, at.y);
    return air_at(&at, near_p);
}
