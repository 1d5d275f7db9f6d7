/* Inside the core: what its parts know of one another.
 *
 * The core solves one machine, in SI, in memory that its caller gives. A part is a file of its
 * own; `core.c` includes them all, so that everything but what it exports stays private.
 */
#ifndef JACKETCALC_CORE_H
#define JACKETCALC_CORE_H

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "layout.h"

#define PI 3.14159265358979323846
#define GRAVITY 9.80665 /* standard gravity [m/s2] */
#define STEFAN_BOLTZMANN 5.670374419e-8 /* CODATA 2018 [W/(m2 K4)] */

/* With -DCHECK_INDICES an index into what a pointer stands for, or one that was worked out, is held
 * to its array; a wrong one traps. Counts are held at the border; a sanitiser checks the rest. */
#ifdef CHECK_INDICES
#define AT(i, n) ((size_t)(i) < (size_t)(n) ? (i) : (__builtin_trap(), 0))
#else
#define AT(i, n) (i)
#endif

static double larger(double a, double b) { return a > b ? a : b; }
static double smaller(double a, double b) { return a < b ? a : b; }
static double within(double x, double low, double high) { return smaller(larger(x, low), high); }
static double square(double x) { return x * x; }

#define FROM_SOURCE (-2) /* `line` of a stage that draws from the source; -1 from the supply */
#define ENDS 3           /* ends of paths beyond the volumes: supply, receiver, source */

/* What a stage draws from that has no line before it [Pa], [K]. */
static double feed_pressure(const Machine *m, const Stage *s)
{
    return s->line == FROM_SOURCE ? m->source_pressure : m->supply_pressure;
}
static double feed_temperature(const Machine *m, const Stage *s)
{
    return s->line == FROM_SOURCE ? m->source_temperature : m->supply_temperature;
}

/* What a volume holds: drive chambers and exhaust nodes air, stages and their lines the gas. */
static const Gas *gas_in(const Machine *m, const Gas *air, int64_t volume)
{
    return volume < 2 + m->nodes ? air : m->gas;
}

typedef struct Thermo {
    double rho;   /* density [kg/m3] */
    double h;     /* enthalpy [J/kg] */
    double rho_T; /* slope of density in temperature [kg/(m3 K)] */
    double rho_p; /* slope of density in pressure [kg/(m3 Pa)] */
    double h_T;   /* slope of enthalpy in temperature, which is cp [J/(kg K)] */
    double h_p;   /* slope of enthalpy in pressure [J/(kg Pa)] */
} Thermo;

typedef struct Transport {
    double viscosity;    /* [Pa s] */
    double conductivity; /* [W/(m K)] */
} Transport;

typedef struct Flow {
    double F;      /* mass flow [kg/s] */
    double F_up;   /* its slope in the pressure upstream [kg/(s Pa)] */
    double F_down; /* its slope in the pressure downstream [kg/(s Pa)] */
} Flow;

/* The walls that the gas of a stage sees, as a function of how much barrel is bared. */
typedef struct GasSide {
    double ends;                      /* head and crown, area x temperature [m2 K] */
    double area_ends;                 /* head and crown [m2] */
    double perimeter;                 /* of the bore [m] */
    double ring;                      /* height of a ring [m] */
    int64_t rings;                    /* rings [-] */
    double sum[MAX_RINGS + 1];        /* integral of the barrel's temperature from the head [m K] */
} GasSide;

/* Contents of all volumes at a reversal. */
typedef struct Contents {
    double mass[MAX_VOLUMES];        /* [kg] */
    double energy[MAX_VOLUMES];      /* internal energy [J] */
    double pressure[MAX_VOLUMES];    /* [Pa] */
    double temperature[MAX_VOLUMES]; /* [K] */
} Contents;

/* What one stroke goes on between. */
typedef struct Setting {
    const Machine *machine;
    const Gas *air;
    const Resolution *resolution;
    const Sizes *sizes;
    const Curve *curve;              /* of each node */
    double settled;                  /* largest change in the last Newton iteration [-] */
    double period;                   /* cycle time that the heat laws assume [s] */
    double drive_wall;               /* [K] */
    double head[MAX_STAGES];         /* [K] */
    double line_wall[MAX_STAGES];    /* of the line before each stage [K] */
    double rest;                     /* time at the far stop [s] */
    GasSide gas_side[MAX_STAGES];
} Setting;

#endif
