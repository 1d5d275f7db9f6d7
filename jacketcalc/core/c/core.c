/* The whole core as one unit, and what it exports. See layout.h for what crosses the border. */

#include "core.h"

#include "gas.c"
#include "laws.c"
#include "valves.c"
#include "section.c"
#include "passage.c"
#include "curve.c"
#include "heat.c"
#include "ports.c"
#include "stroke.c"
#include "bounce.c"
#include "contents.c"
#include "pulses.c"
#include "walls.c"
#include "balance.c"
#include "mixing.c"
#include "solve.c"
#include "opening.c"
#include "rest.c"

#if defined(_WIN32)
#define EXPORT __declspec(dllexport)
#else
#define EXPORT __attribute__((visibility("default")))
#endif

#ifndef LAYOUT_HASH
#define LAYOUT_HASH "unknown"
#endif

/* Hash of the layout this library was built from. */
EXPORT const char *core_layout(void) { return LAYOUT_HASH; }

/* Bytes of work space that core_solve asks for. */
EXPORT int64_t core_workspace(void) { return (int64_t)sizeof(Workspace); }

static int between(int64_t value, int64_t least, int64_t most)
{
    return value >= least && value <= most;
}

/* Whether every count and every number of a volume or node lies within what the records hold: all
 * loops of the core end at these. */
static int fits(const Machine *m, const Resolution *n)
{
    int64_t steps = MAX_INSTANTS / 2, cells = n->tube_cells + n->channel_cells;
    int whole = m->gas && between(m->stages, 1, MAX_STAGES) && between(m->nodes, 1, MAX_NODES)
                && between(m->volumes, 2 + m->nodes + m->stages, MAX_VOLUMES)
                && between(n->release, 1, steps) && between(n->travel, 2, steps)
                && between(n->rest, 2, steps) && n->release + n->travel + n->rest <= steps
                && between(n->rings, 2, MAX_RINGS) && between(n->tube_cells, 2, MAX_CELLS)
                && between(n->channel_cells, 2, MAX_CELLS) && cells <= MAX_CELLS
                && between(n->levels, 2, MAX_LEVELS) && between(n->phases, 1, MAX_PHASES / 2);
    for (int64_t i = 0; whole && i < m->stages; i++) {
        const Stage *s = &m->stage[i];
        whole = between(s->line, FROM_SOURCE, m->volumes - 1) && between(s->after, -1, m->volumes - 1)
                && between(s->node, -1, m->nodes - 1) && between(s->compresses_on, 1, 2);
    }
    return whole;
}

/* Solve one machine. `stop` may be set by another thread to end it. Returns what it ended with; -1,
 * with nothing done, where the work space is too small or a record does not fit. */
EXPORT int64_t core_solve(const Machine *machine, const Gas *air, const Resolution *resolution,
                          const int32_t *stop, void *workspace, int64_t bytes, Solution *out)
{
    if (bytes < (int64_t)sizeof(Workspace) || !fits(machine, resolution))
        return -1;
    memset(workspace, 0, sizeof(Workspace));
    memset(out, 0, sizeof *out);
    Solver s;
    memset(&s, 0, sizeof s);
    s.machine = machine;
    s.air = air;
    s.work = workspace;
    s.out = out;
    s.then = &s.work->still;
    s.stop = stop;
    solve_machine(&s, resolution);
    if (out->ended == SOLVED)
        find_peaks(&s);
    return out->ended;
}

/* Solve one machine at the end of an implicit step of time from what `then` holds. `near` is where
 * to look, or NULL: as `core_solve` begins. Work space and `out` go on from the call before;
 * `out->start` is what the step came to. Returns as `core_solve` does; peaks are not looked for. */
EXPORT int64_t core_step(const Machine *machine, const Gas *air, const Resolution *resolution,
                         const Storage *then, const Unknowns *near, const int32_t *stop,
                         void *workspace, int64_t bytes, Solution *out)
{
    if (bytes < (int64_t)sizeof(Workspace) || !fits(machine, resolution))
        return -1;
    Solver s;
    memset(&s, 0, sizeof s);
    s.machine = machine;
    s.air = air;
    s.work = workspace;
    s.out = out;
    s.then = then;
    s.stop = stop;
    if (near) {
        solve_near(&s, resolution, near);
    } else {
        memset(workspace, 0, sizeof(Workspace));
        memset(out, 0, sizeof *out);
        solve_machine(&s, resolution);
    }
    if (out->ended == SOLVED)
        out->start = s.work->next;
    return out->ended;
}

/* Pass one cycle from `start`: its contents, and walls that `then` follows by implicit steps of one
 * cycle. `out->start` is what it came to. Returns as `core_solve` does. */
EXPORT int64_t core_cycle(const Machine *machine, const Gas *air, const Resolution *resolution,
                          const Storage *then, const Unknowns *start, void *workspace,
                          int64_t bytes, Solution *out)
{
    if (bytes < (int64_t)sizeof(Workspace) || !fits(machine, resolution))
        return -1;
    Solver s;
    memset(&s, 0, sizeof s);
    s.machine = machine;
    s.air = air;
    s.work = workspace;
    s.out = out;
    s.then = then;
    pass_cycle(&s, resolution, start);
    return out->ended;
}

/* Follow the walls of a machine that stands still over the step that `then` holds, from `start`.
 * `out->start` is what they came to. Returns as `core_solve` does. */
EXPORT int64_t core_rest(const Machine *machine, const Gas *air, const Resolution *resolution,
                         const Storage *then, const Unknowns *start, void *workspace,
                         int64_t bytes, Solution *out)
{
    if (bytes < (int64_t)sizeof(Workspace) || !fits(machine, resolution))
        return -1;
    Solver s;
    memset(&s, 0, sizeof s);
    s.machine = machine;
    s.air = air;
    s.work = workspace;
    s.out = out;
    s.then = then;
    rest_machine(&s, resolution, start);
    return out->ended;
}

/* Properties of a gas: rho, h, their slopes in T and p, viscosity, conductivity. */
EXPORT void core_gas(const Gas *air, double T, double p, double *out)
{
    Thermo gas = thermo(air, T, p);
    Transport carried = transport(air, T, p);
    double all[8] = {gas.rho, gas.h, gas.rho_T, gas.rho_p, gas.h_T, gas.h_p,
                     carried.viscosity, carried.conductivity};
    memcpy(out, all, sizeof all);
}

/* A law's value at Reynolds and Prandtl number. */
EXPORT double core_law(const Law *law, double re, double pr)
{
    return law_value(law, re, log(re), log(pr / PRANDTL_MIDDLE));
}

/* Flow through a valve and its slopes in both pressures. */
EXPORT void core_valve(double C, double b, double p_up, double p_down, double T_up, double opening,
                       double *out)
{
    Flow flow = valve_flow(C, b, p_up, p_down, T_up, opening);
    out[0] = flow.F;
    out[1] = flow.F_up;
    out[2] = flow.F_down;
}

/* March one flow through a node's passage, from the profile that `out` holds; 0 anywhere: cold. */
EXPORT void core_march(const Machine *machine, const Gas *air, const Resolution *resolution,
                       int64_t node, const PassageWalls *walls, double flow, double T0,
                       int64_t sweeps, March *out)
{
    march(machine, air, resolution, &machine->passage[AT(node, MAX_NODES)], walls, flow, T0,
          (int)sweeps, out);
}

/* The flow curve of a node at given walls and port temperature. */
EXPORT void core_curve(const Machine *machine, const Gas *air, const Resolution *resolution,
                       int64_t node, const PassageWalls *walls, double T0, void *workspace,
                       Curve *out)
{
    Workspace *w = workspace;
    memset(w->level, 0, sizeof w->level);
    set_levels(machine, resolution, node, w->sizes.level[AT(node, MAX_NODES)]);
    node_curve(machine, air, resolution, node, w->sizes.level[node], walls, T0, w->level[node], out);
}

/* Flow of a curve and its slopes in port pressure and temperature. */
EXPORT void core_curve_flow(const Curve *curve, double p, double T, double *out)
{
    Outflow flow = curve_flow(curve, p, T);
    out[0] = flow.X;
    out[1] = flow.X_p;
    out[2] = flow.X_T;
}

/* One stroke from the unknowns' contents, walls and curves in `solution`. */
EXPORT int64_t core_stroke(const Machine *machine, const Gas *air, const Resolution *resolution,
                           int64_t number, const Unknowns *unknowns, void *workspace,
                           Solution *solution)
{
    Solver s;
    Contents contents;
    memset(&s, 0, sizeof s);
    s.machine = machine;
    s.air = air;
    s.work = workspace;
    s.out = solution;
    set_sizes(machine, resolution, &s.work->sizes);
    s.then = &s.work->still;
    s.side[0] = stroke_side(machine, number);
    use_steps(&s, resolution, 1.0);
    Setting set = stroke_setting(&s, unknowns);
    memcpy(contents.mass, unknowns->mass, sizeof contents.mass);
    memcpy(contents.energy, unknowns->energy, sizeof contents.energy);
    guess_contents(machine, air, s.side[0].start_volume, &contents);
    run_stroke(&set, &s.side[0], &contents, &solution->stroke[number - 1], &solution->newton);
    return solution->stroke[number - 1].ended;
}

/* Balance a stage's walls for the load that `barrel` holds. */
EXPORT void core_walls(const Machine *machine, const Resolution *resolution, int64_t stage,
                       double drive_wall, void *workspace, Barrel *barrel)
{
    Workspace *w = workspace;
    set_sizes(machine, resolution, &w->sizes);
    memset(&w->still, 0, sizeof w->still);
    solve_barrel(machine, resolution, &w->sizes, stage, &w->still, drive_wall, barrel);
}

/* Cut an exhaust into phases. */
EXPORT void core_pulses(int64_t count, const double *flow, const double *T, const double *dt,
                        int64_t phases, double period, void *workspace, Pulses *out)
{
    Exhaust *e = &((Workspace *)workspace)->exhaust;
    e->count = count;
    memcpy(e->flow, flow, (size_t)count * sizeof(double));
    memcpy(e->T, T, (size_t)count * sizeof(double));
    memcpy(e->dt, dt, (size_t)count * sizeof(double));
    cut_pulses(e, phases, period, out);
}

/* What a node's exhaust in phases, marched in `rows`, and the rest after it do to its walls. */
EXPORT void core_heat(const Machine *machine, const Gas *air, const Resolution *resolution,
                      int64_t node, const Pulses *pulses, const March *rows,
                      const PassageWalls *walls, double period, PassageHeat *out)
{
    passage_heat(air, resolution, &machine->passage[AT(node, MAX_NODES)], pulses, rows, walls,
                 period, out);
}

/* Sizes of the walls and levels of the curves. */
EXPORT void core_sizes(const Machine *machine, const Resolution *resolution, Sizes *out)
{
    set_sizes(machine, resolution, out);
}

/* Heat law of a stage's gas: coefficient and phase lead. */
EXPORT void core_stage_law(const Machine *machine, const Gas *air, int64_t stage,
                           const double *state, double period, double *out)
{
    StageGas gas;
    memcpy(&gas, state, sizeof gas);
    StageLaw law = stage_law(machine, air, &machine->stage[AT(stage, MAX_STAGES)], &gas, period);
    out[0] = law.coefficient;
    out[1] = law.lead;
}

/* Mean temperature of the walls that the gas of a stage wets, `open` of the barrel bared. */
EXPORT double core_wetted_wall(const Machine *machine, const Resolution *resolution, int64_t stage,
                               const Barrel *barrel, double open)
{
    const Stage *s = &machine->stage[AT(stage, MAX_STAGES)];
    GasSide side = gas_side_of(s, resolution, s->barrel_length / (double)resolution->rings,
                               barrel->inside, barrel->head, barrel->crown);
    return wetted_wall(&side, open);
}
