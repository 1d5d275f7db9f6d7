/* Anderson's acceleration of a fixed-point iteration y = g(y).
 *
 * With f = g - y and the differences dY, dF of past iterates, the next guess is
 *
 *     y = g - sum of theta_k (dY_k + dF_k),    theta least squares of f against dF, rows weighed
 *
 * The pairs stand for the slope of g - y. They stay useful when g changes a little, as when the
 * steps of a stroke are refined.
 */

#define MEMORY 10      /* differences looked back on: longer memories gained nothing */
#define REGULAR 1e-13  /* relative ridge on the normal equations [-] */
#define GROWTH 3.0     /* a residual that grows by more than this takes a plain step [-] */
#define MOST_ROWS (2 * MAX_VOLUMES + MAX_STAGES * (2 * MAX_RINGS + 3) + MAX_NODES * (MAX_CELLS + 1) + 3)

typedef struct Mixing {
    int64_t rows, kept, has_last;
    double weight[MOST_ROWS];
    double dY[MEMORY][MOST_ROWS], dF[MEMORY][MOST_ROWS];
    double last_y[MOST_ROWS], last_f[MOST_ROWS];
} Mixing;

static double largest(const double *value, int64_t count)
{
    double top = 0.0;
    for (int64_t i = 0; i < count; i++) {
        if (!isfinite(value[i]))
            return INFINITY;
        top = larger(top, fabs(value[i]));
    }
    return top;
}

static void remember(Mixing *x, const double *y, const double *f)
{
    if (x->has_last) {
        if (x->kept == MEMORY) {
            memmove(x->dY[0], x->dY[1], sizeof x->dY - sizeof x->dY[0]);
            memmove(x->dF[0], x->dF[1], sizeof x->dF - sizeof x->dF[0]);
            x->kept--;
        }
        for (int64_t i = 0; i < x->rows; i++) {
            x->dY[x->kept][i] = y[i] - x->last_y[i];
            x->dF[x->kept][i] = f[i] - x->last_f[i];
        }
        x->kept++;
    }
    memcpy(x->last_y, y, (size_t)x->rows * sizeof(double));
    memcpy(x->last_f, f, (size_t)x->rows * sizeof(double));
    x->has_last = 1;
}

/* Solve the normal equations for theta by Gauss' elimination; false where singular. */
static int solve_normal(int64_t n, double A[MEMORY][MEMORY], double *b)
{
    for (int64_t k = 0; k < n; k++) {
        if (!(fabs(A[k][k]) > 1e-300))
            return 0;
        for (int64_t i = k + 1; i < n; i++) {
            double factor = A[i][k] / A[k][k];
            for (int64_t j = k; j < n; j++)
                A[i][j] -= factor * A[k][j];
            b[i] -= factor * b[k];
        }
    }
    for (int64_t k = n - 1; k >= 0; k--) {
        for (int64_t j = k + 1; j < n; j++)
            b[k] -= A[k][j] * b[j];
        b[k] /= A[k][k];
    }
    return 1;
}

/* Write the next guess from the point y and its image g to `next`. */
static void mix(Mixing *x, const double *y, const double *g, double *next)
{
    double f[MOST_ROWS], A[MEMORY][MEMORY], theta[MEMORY], scale[MEMORY];
    for (int64_t i = 0; i < x->rows; i++)
        f[i] = g[i] - y[i];
    int grown = x->has_last && largest(f, x->rows) > GROWTH * largest(x->last_f, x->rows);
    remember(x, y, f);
    memcpy(next, g, (size_t)x->rows * sizeof(double));
    if (x->kept == 0 || grown)
        return;
    for (int64_t a = 0; a < x->kept; a++) {
        theta[a] = 0.0;
        for (int64_t b = 0; b <= a; b++) {
            double sum = 0.0;
            for (int64_t i = 0; i < x->rows; i++)
                sum += square(x->weight[i]) * x->dF[a][i] * x->dF[b][i];
            A[a][b] = A[b][a] = sum;
        }
        for (int64_t i = 0; i < x->rows; i++)
            theta[a] += square(x->weight[i]) * x->dF[a][i] * f[i];
        scale[a] = A[a][a] > 0.0 ? sqrt(A[a][a]) : 1.0;
    }
    for (int64_t a = 0; a < x->kept; a++) {
        for (int64_t b = 0; b < x->kept; b++)
            A[a][b] /= scale[a] * scale[b];
        A[a][a] += REGULAR;
        theta[a] /= scale[a];
    }
    if (!solve_normal(x->kept, A, theta))
        return;
    for (int64_t a = 0; a < x->kept; a++)
        for (int64_t i = 0; i < x->rows; i++)
            next[i] -= theta[a] / scale[a] * (x->dY[a][i] + x->dF[a][i]);
}
