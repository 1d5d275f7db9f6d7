/* What crosses the border between Python and C: the one source of its layout.
 *
 * jacketcalc/core/layout.py reads this file and makes the same records in Python, so every line
 * is plain: `type name[SIZE]...; // meaning [unit]`. All numbers are SI, pressures absolute.
 * There are doubles and 64-bit integers only, so no compiler puts gaps between them.
 */
#ifndef JACKETCALC_LAYOUT_H
#define JACKETCALC_LAYOUT_H

#include <stdint.h>

#define MAX_STAGES 4
#define MAX_NODES 2
#define MAX_VOLUMES 12
#define MAX_PATHS 10
#define MAX_RINGS 128
#define MAX_CELLS 112
#define MAX_FACES 114
#define MAX_LEVELS 64
#define MAX_PHASES 48
#define MAX_INSTANTS 1600
#define MAX_INTERVALS 96
#define MAX_STATEMENTS 24

/* How a law's two tables are joined. */
#define JOIN_NONE 0
#define JOIN_LARGER 1
#define JOIN_LINEAR 2
#define JOIN_SMOOTH 3
#define JOIN_SMOOTH_LOG 4

/* In-cylinder laws. */
#define GAS_SPRING 0
#define ADAIR 1
#define ANNAND 2

/* What a solution ended with. */
#define SOLVED 0
#define STALLED 1
#define STOPS_AND_GOES 2
#define BROKEN 3
#define ROUGH_STEP 4
#define UNBALANCED 5
#define NOT_SETTLED 6
#define INTERRUPTED 7

typedef struct Gas {
    double lowest_temperature; // lowest temperature of the table [K]
    double highest_temperature; // highest temperature of the table [K]
    double lowest_pressure; // lowest pressure of the table [Pa]
    double highest_pressure; // highest pressure of the table [Pa]
    double pole; // origin of ln(T - pole) [K]
    double ridge; // centre of asinh((p - ridge) / width) [Pa]
    double width; // half width of the fine cells [Pa]
    double x_start; // ln((T - pole) / 1 K) at the coldest node [-]
    double x_rate; // cells per unit of that logarithm [-]
    double y_start; // asinh((p - ridge) / width) at the lowest node [-]
    double y_rate; // cells per unit of that inverse hyperbolic sine [-]
    double gas_constant; // of the thin gas [J/(kg K)]
    double cold_energy; // internal energy on the table's datum at no temperature [J/kg]
    double energy; // internal energy that its mass is weighed with [J/kg]
    int64_t pressure_cells; // cells along pressure [-]
    const double *cells; // cubics of rho/p, h, viscosity, conductivity: 4 x 4 x 4 a cell [SI]
} Gas;

typedef struct Table {
    double start; // ln of the lowest abscissa [-]
    double step; // width of an interval [-]
    int64_t intervals; // intervals in use [-]
    int64_t by_prandtl; // 1 where the value depends on the Prandtl number [-]
    double cubic[MAX_INTERVALS][12]; // ln value, its slope and bend in ln Pr, a cubic each [-]
} Table;

typedef struct Law {
    Table slow; // base below, held beyond its own ends [-]
    Table fast; // base above, held beyond its own ends [-]
    int64_t join; // how they are joined [-]
    int64_t spare; // keeps the record's size even [-]
    double from; // Reynolds number, or its ln, at which the joint begins [-]
    double span; // width of the joint [-]
    double least; // floor of the result [-]
} Law;

typedef struct Power {
    double coefficient; // c in c Re^a Pr^b [-]
    double reynolds; // a [-]
    double prandtl; // b [-]
} Power;

typedef struct CylinderLaws {
    int64_t model; // GAS_SPRING, ADAIR or ANNAND [-]
    int64_t spare; // keeps the record's size even [-]
    Table spring_real; // Nusselt number over ln Peclet [-]
    Table spring_imaginary; // imaginary part over ln Peclet [-]
    double spring_floor; // least Nusselt number of a gas spring [-]
    double natural; // c in Nu = c Ra^(1/3) [-]
    Power jet; // jet-stirred suction [-]
    double jet_piston; // power of piston speed in the jet's speed [-]
    double jet_inflow; // power of inflow speed in it [-]
    Power swirl; // swirling flow [-]
    double swirl_mean; // steady part of the swirl's rate over half the cycle's [-]
    double swirl_least; // least swirl rate over the cycle's [-]
    Power annand; // engine form, an upper bound [-]
    double drive; // c in c v^(1/3) (p/bar)^(1/2) T^(1/2) [SI]
    double mixing; // in-cylinder mixing factor [-]
    double factor; // multiplier on the heat of a stage's law [-]
} CylinderLaws;

typedef struct Passage {
    double tube_bore; // tube bore [m]
    double tube_area; // tube flow area [m2]
    double tube_length; // tube length [m]
    double tube_loss; // fitting losses on the tube's dynamic pressure [-]
    double tube_wall_resistance; // radial resistance of the tube wall times length [m K/W]
    double tube_outside; // tube outer diameter [m]
    double tube_emissivity; // emissivity of the tube's outside [-]
    double area; // flow area of all starts [m2]
    double length; // developed length at mid-depth [m]
    double hydraulic_diameter; // hydraulic diameter of one channel [m]
    double barrel_perimeter; // bare cylinder surface per length of channel [m]
    double fin_perimeter; // rib surface joined to the cylinder per length of channel [m]
    double fin_height; // height of a rib [m]
    double fin_thickness; // thickness of a rib [m]
    double fin_conductivity; // conductivity of a rib joined to the cylinder [W/(m K)]
    double shell_perimeter; // shell surface per length of channel [m]
    double shell_resistance; // radial resistance of the shell times its axial length [m K/W]
    double shell_outside; // shell outer diameter [m]
    double shell_emissivity; // emissivity of the shell's outside [-]
    double leak_area; // slot over the rib tips, once round [m2]
    double leak_slot; // rib thickness over twice the tip clearance [-]
    double leak_height; // tip clearance [m]
    double leak_share_of_turn; // length of channel between neighbouring ribs at one angle [m]
    double inlet_loss; // entry loss on the channel's dynamic pressure [-]
    double outlet_area; // outlet holes [m2]
    double outlet_loss; // outlet loss on the outlet's dynamic pressure [-]
    double silencer_sonic; // sonic conductance of the silencer [m3/(s Pa)]
    double silencer_ratio; // critical back-pressure ratio of the silencer [-]
    double volume; // air in tube and channel [m3]
    double start; // first end of the channel in flow direction, from the head end [m]
    double advance; // axial distance from inlet to outlet, negative towards the head [m]
    double present; // 1 when there is a jacket [-]
    double tubed; // 1 when there is a tube [-]
    double obstructs; // 1 when anything lies between valve and ambient [-]
    double heating_exponent; // power of bulk over wall temperature, turbulent gas heated [-]
    double heating_from; // ln of the Reynolds number up to which that power is none [-]
    double heating_span; // width in ln Re over which it becomes whole [-]
    double channel_factor; // multiplier on the channel's coefficient while air flows [-]
    double still_channel; // Nusselt number of air at rest in the channel [-]
    double still_tube; // Nusselt number of air at rest in the tube [-]
    Law friction; // Darcy friction factor of the channel [-]
    Law nusselt; // Nusselt number of the channel's inner wall [-]
    Law tube_friction; // Darcy friction factor of the tube [-]
    Law tube_nusselt; // Nusselt number of the tube [-]
} Passage;

typedef struct Stage {
    double bore; // bore [m]
    double area; // piston area [m2]
    double clearance_length; // clearance volume over piston area [m]
    double seal_friction; // seal friction as a share of the gas force [-]
    double line_loss; // line before it to the surroundings, from its wall or, without one, its air [W/K]
    double line_sink; // temperature of what that line loses heat to [K]
    double line_bore; // bore of that line [m]
    double line_length; // tube of that line, 0 where its air loses heat directly [m]
    double line_entrance; // factor of its entrance on heat transfer [-]
    double port_bore[2]; // bore of the suction and the delivery port in the head [m]
    double port_length[2]; // their length, 0 where air passes without heat [m]
    double port_entrance[2]; // factor of their entrance on heat transfer [-]
    double barrel_length; // barrel from its head end [m]
    double wall_thickness; // barrel wall [m]
    double conductivity; // barrel material [W/(m K)]
    double emissivity; // barrel's outside [-]
    double head_thickness; // head plate [m]
    double piston_length; // piston [m]
    double flange; // barrel's open end to the drive body [W/K]
    double blown; // coefficient of an air stream over barrel and head, 0 where air stands [W/(m2 K)]
    double bathed; // coefficient of a liquid that flows over the barrel, 0 where none does [W/(m2 K)]
    double bath_temperature; // its temperature [K]
    double idle_start; // winding of an unfed jacket, from the head end [m]
    double idle_length; // its length, 0 where there is none [m]
    double idle_still; // conduction of the still air in its gap, on the barrel [W/(m2 K)]
    double idle_exchange; // grey exchange factor of radiation across it, on the barrel [-]
    double idle_solid; // resistance of its shell, on the barrel [m2 K/W]
    double idle_spread; // shell outside over barrel outside [-]
    double idle_emissivity; // shell's outside [-]
    int64_t compresses_on; // stroke on which it compresses, 1 or 2 [-]
    int64_t line; // volume of the line before it, -1 where it draws from the supply, -2 from the source [-]
    int64_t after; // volume of the line after it, -1 where it delivers to the receiver [-]
    int64_t node; // exhaust node whose passage cools it, or -1 [-]
} Stage;

typedef struct Machine {
    int64_t stages; // stages [-]
    int64_t nodes; // exhaust nodes [-]
    int64_t volumes; // volumes: drive chambers, nodes, stages, lines [-]
    int64_t heat; // 1 where jackets exchange heat with the barrels [-]
    int64_t resistance; // 1 where passages resist [-]
    int64_t imposed; // 1 where the cycle rate is imposed [-]
    double ambient_temperature; // ambient [K]
    double ambient_pressure; // ambient [Pa]
    double ambient_enthalpy; // enthalpy of ambient air [J/kg]
    double supply_temperature; // supply, stagnation [K]
    double supply_pressure; // supply, stagnation [Pa]
    double supply_enthalpy; // enthalpy of supply air [J/kg]
    double source_temperature; // source of the stages' gas, stagnation, where one is [K]
    double source_pressure; // that source, stagnation [Pa]
    double source_enthalpy; // enthalpy of its gas [J/kg]
    double gas_ambient_enthalpy; // enthalpy of the stages' gas at ambient [J/kg]
    double piston_film; // across piston and barrel [W/(m2 K)]
    const Gas *gas; // gas of stages and lines; the drive's air is given beside the machine [-]
    double receiver_pressure; // receiver [Pa]
    double C[MAX_PATHS]; // sonic conductance: supply, exhaust, then two valves a stage [m3/(s Pa)]
    double b[MAX_PATHS]; // critical back-pressure ratio of the paths [-]
    double opening[MAX_PATHS]; // pressure difference at which a path opens [Pa]
    double fixed_volume[MAX_VOLUMES]; // volume of each volume at its smallest [m3]
    double drive_area[2]; // piston area towards chamber 1 and 2 [m2]
    double drive_cylinders; // cylinders that push together [-]
    double drive_bore; // bore of each [m]
    double drive_wall_thickness; // drive cylinder wall [m]
    double drive_emissivity; // drive cylinder's outside [-]
    double stroke; // stroke [m]
    double moving_mass; // pistons and rod [kg]
    double friction; // constant friction force of the drive's seals [N]
    double friction_share; // friction as a share of the drive's gas force [-]
    double hold; // rest at each stroke end, switching and pause [s]
    double imposed_rate; // imposed cycle rate, where one is [1/s]
    double capacity; // supply air that rests keep the mean intake to, 0 where nothing does [kg/s]
    double conductance_factor; // multiplier on the passages' flow [-]
    Stage stage[MAX_STAGES];
    CylinderLaws cylinder;
    double film_factor; // multiplier on natural convection outside [-]
    Law pipe; // Nusselt number of air that flows through a port or a line [-]
    Table film; // Nusselt number of natural convection round a cylinder, over ln Grashof [-]
    Passage passage[MAX_NODES]; // passages that exchange heat
    Passage resisting[MAX_NODES]; // passages that set the flow curves
} Machine;

typedef struct Resolution {
    int64_t release; // steps from reversal to the piston's start [-]
    int64_t travel; // steps of the travel [-]
    int64_t rest; // steps of the rest at the far stop [-]
    int64_t rings; // axial rings of a barrel [-]
    int64_t tube_cells; // cells of a tube [-]
    int64_t channel_cells; // cells of a channel [-]
    int64_t levels; // levels of a flow curve [-]
    int64_t phases; // phases of a pulse [-]
    double settled; // largest relative change in the last Newton iteration of a step [-]
} Resolution;

/* What stays the same while one machine is solved: sizes worked out once. */
typedef struct Sizes {
    double ring[MAX_STAGES]; // height of a ring [m]
    double area_in[MAX_STAGES]; // inner surface of a ring [m2]
    double area_out[MAX_STAGES]; // outer surface of a ring [m2]
    double resistance_in[MAX_STAGES]; // inner surface to mid-wall [K/W]
    double resistance_out[MAX_STAGES]; // mid-wall to outer surface [K/W]
    double axial[MAX_STAGES]; // between neighbouring rings [W/K]
    double outside[MAX_STAGES]; // outside diameter [m]
    double head_outside[MAX_STAGES]; // outside of the head [m2]
    double covered[MAX_STAGES][MAX_RINGS]; // share under a fed jacket's winding [-]
    double idle[MAX_STAGES][MAX_RINGS]; // share under an unfed jacket's shell [-]
    double skirt[MAX_STAGES][MAX_RINGS]; // piston to ring, time mean [W/K]
    double rubbed[MAX_STAGES][MAX_RINGS]; // share of the seal's travel over each ring [-]
    double placed[MAX_NODES][MAX_CELLS][MAX_RINGS]; // share of a channel cell on each ring [-]
    double level[MAX_NODES][MAX_LEVELS]; // flow levels of the curves [kg/s]
    double fraction[MAX_INSTANTS]; // share of the stroke after each step of travel [-]
} Sizes;

typedef struct Curve {
    int64_t levels; // levels [-]
    int64_t spare; // keeps the record's size even [-]
    double ambient_pressure; // ambient [Pa]
    double temperature; // port temperature the curve was made at [K]
    double exponent; // power of port temperature that flow falls with [-]
    double s[MAX_LEVELS]; // ln((p / p_ambient)^2 - 1), rising [-]
    double y[MAX_LEVELS]; // ln of mass flow [kg/s]
    double slope[MAX_LEVELS]; // dy/ds [-]
} Curve;

typedef struct Stroke {
    int64_t instants; // instants in use, two a step [-]
    int64_t ended; // SOLVED, STALLED or BROKEN [-]
    int64_t first_travel; // first instant of the travel [-]
    int64_t first_rest; // first instant of the rest [-]
    int64_t by_place; // instants up to which place, not time, led the travel [-]
    int64_t turns; // times the piston turned back [-]
    double impact; // kinetic energy destroyed at the far stop [J]
    double rough; // largest change left over in a step that did not settle [-]
    double end_mass[MAX_VOLUMES]; // mass at its end [kg]
    double end_energy[MAX_VOLUMES]; // internal energy at its end [J]
    double end_pressure[MAX_VOLUMES]; // pressure at its end [Pa]
    double end_temperature[MAX_VOLUMES]; // temperature at its end [K]
    double place[MAX_INSTANTS]; // piston travel since the stroke's start [m]
    double dt[MAX_INSTANTS]; // time weight of each instant [s]
    double dx[MAX_INSTANTS]; // weight of piston travel [m]
    int64_t led[MAX_INSTANTS]; // what led the instant: RELEASE, TRAVEL, REST or BOUNCE [-]
    double port[MAX_INSTANTS][MAX_PATHS]; // flow x cp x share exchanged in the port of each path [W/K]
    double rub[MAX_INSTANTS]; // friction over that of a piston that goes on, -1 going back, 0 where it holds [-]
    double p[MAX_INSTANTS][MAX_VOLUMES]; // pressure [Pa]
    double T[MAX_INSTANTS][MAX_VOLUMES]; // temperature [K]
    double volume[MAX_INSTANTS][MAX_VOLUMES]; // volume [m3]
    double mass[MAX_INSTANTS][MAX_VOLUMES]; // mass held [kg]
    double conductance[MAX_INSTANTS][MAX_VOLUMES]; // h A to the walls [W/K]
    double flow[MAX_INSTANTS][MAX_PATHS]; // mass flow of the paths [kg/s]
    double enthalpy[MAX_INSTANTS][MAX_PATHS]; // enthalpy flow of the paths [W]
    double exhaust[MAX_INSTANTS][MAX_NODES]; // mass flow out of each node [kg/s]
    double exhaust_enthalpy[MAX_INSTANTS][MAX_NODES]; // enthalpy flow out of each node [W]
    double lead[MAX_INSTANTS][MAX_STAGES]; // heat the phase lead takes out [J]
} Stroke;

typedef struct Pulses {
    int64_t phases; // phases of the cycle [-]
    int64_t spare; // keeps the record's size even [-]
    double time[MAX_PHASES]; // duration of each phase [s]
    double mass[MAX_PHASES]; // mass it carries [kg]
    double T0[MAX_PHASES]; // its mean stagnation temperature at the port [K]
    double rest; // time at rest in a cycle [s]
} Pulses;

typedef struct March {
    double port_pressure; // stagnation pressure the flow needs at the port [Pa]
    double mach_peak; // highest Mach number anywhere [-]
    int64_t chokes_inside; // 1 where the tube's end chokes [-]
    int64_t chokes_end; // 1 where the channel's end chokes [-]
    double T0[MAX_FACES]; // stagnation temperature at faces; the joint counts twice [K]
    double T[MAX_FACES]; // static temperature at faces [K]
    double p[MAX_FACES]; // static pressure at faces [Pa]
    double barrel[MAX_CELLS]; // h A towards the barrel, channel cells [W/K]
    double outer[MAX_CELLS]; // h A towards tube wall or shell, tube cells first [W/K]
    double seen[MAX_CELLS]; // mean temperature each wall sees, recovery included [K]
    double coefficient[MAX_CELLS]; // convective coefficient, channel cells [W/(m2 K)]
    double reynolds[MAX_CELLS]; // Reynolds number, channel cells [-]
    double leak[MAX_CELLS]; // share of the flow that crosses the rib tips, channel cells [-]
} March;

typedef struct PassageWalls {
    double barrel[MAX_CELLS]; // barrel outside under each channel cell [K]
    double outer[MAX_CELLS]; // tube wall or shell inside [K]
    double heat; // 1 where the barrel exchanges heat with the passage [-]
} PassageWalls;

typedef struct PassageHeat {
    double barrel[MAX_CELLS]; // mean h A towards the barrel [W/K]
    double barrel_pull[MAX_CELLS]; // mean of h A x air temperature there [W]
    double outer[MAX_CELLS]; // mean h A towards tube or shell [W/K]
    double outer_pull[MAX_CELLS]; // mean of h A x air temperature there [W]
    double rest_barrel; // heat taken from the barrel at rest [W]
    double rest_outer; // heat taken from tube and shell at rest [W]
} PassageHeat;

typedef struct Barrel {
    double inside[MAX_RINGS]; // inner surface [K]
    double middle[MAX_RINGS]; // mid-wall [K]
    double outside[MAX_RINGS]; // outer surface [K]
    double head; // head [K]
    double crown; // piston crown [K]
    double gas[MAX_RINGS]; // mean h A of the gas [W/K]
    double gas_pull[MAX_RINGS]; // mean of h A T there, phase lead included [W]
    double air[MAX_RINGS]; // conductance from the outer surface [W/K]
    double air_pull[MAX_RINGS]; // conductance x temperature outside [W]
    double head_gas; // mean h A of the gas at the head, its ports included [W/K]
    double head_pull; // mean of h A T there [W]
    double crown_gas; // mean h A of the gas at the crown [W/K]
    double crown_pull; // mean of h A T there [W]
    double head_ambient; // head to ambient [W/K]
    double seal; // friction heat of the seal [W]
} Barrel;

typedef struct Unknowns {
    double mass[MAX_VOLUMES]; // mass at the reversal to stroke 1 [kg]
    double energy[MAX_VOLUMES]; // internal energy there [J]
    double inside[MAX_STAGES][MAX_RINGS]; // barrel inner surfaces [K]
    double outside[MAX_STAGES][MAX_RINGS]; // barrel outer surfaces [K]
    double head[MAX_STAGES]; // heads [K]
    double crown[MAX_STAGES]; // piston crowns [K]
    double drive_wall; // drive cylinder wall [K]
    double line_wall[MAX_STAGES]; // wall of the line before each stage [K]
    double outer[MAX_NODES][MAX_CELLS]; // tube wall and shell inside [K]
    double port_temperature[MAX_NODES]; // mean exhaust temperature the curves are made at [K]
    double period; // cycle time [s]
    double wait; // extra rest at each end that an imposed rate asks for [s]
} Unknowns;

/* What walls and contents hold from a step's start to its end, which follows it implicitly. */
typedef struct Storage {
    double rate; // 1 over the length of the step, 0 where walls have come to rest [1/s]
    double ring[MAX_STAGES]; // heat capacity of a ring of a barrel [J/K]
    double head[MAX_STAGES]; // of a head [J/K]
    double crown[MAX_STAGES]; // of a piston [J/K]
    double line[MAX_STAGES]; // of the wall of the line before a stage [J/K]
    double drive; // of the drive cylinder [J/K]
    double outer[MAX_NODES][MAX_CELLS]; // of tube wall and shell, each cell's [J/K]
    double kept[MAX_VOLUMES]; // 1 where a volume's contents are followed from step to step [-]
    double middle[MAX_STAGES][MAX_RINGS]; // mid-wall of the rings at the step's start [K]
    Unknowns before; // all else there
} Storage;

typedef struct Solution {
    int64_t ended; // what it ended with [-]
    int64_t stalled_on; // stroke that was not completed, 0 where all were [-]
    int64_t iterations; // iterations of the whole machine [-]
    int64_t newton; // Newton iterations of all strokes [-]
    int64_t statements; // terms of the energy balance [-]
    int64_t worst; // group of the unknown that changed most [-]
    double residual; // largest change of a scaled unknown in the last iteration [-]
    double closure; // sum of the energy balance over the drive's power [-]
    double period; // cycle time [s]
    double peak[MAX_NODES]; // highest pressure of each node [Pa]
    double balance[MAX_STATEMENTS]; // energy flows into the machine, see solve.c [W]
    double outer_ambient[MAX_NODES][MAX_CELLS]; // tube wall or shell inside to ambient [W/K]
    double line_wall[MAX_STAGES]; // wall of the line before each stage, as balanced [K]
    double outer_wall[MAX_NODES][MAX_CELLS]; // tube wall or shell inside, as balanced [K]
    double drive_ambient; // drive cylinder to the surroundings [W/K]
    Unknowns start; // what the last iteration started from
    Stroke stroke[2]; // both strokes
    Curve curve[MAX_NODES]; // flow curves
    Pulses pulses[MAX_NODES]; // exhaust in phases
    March march[MAX_NODES][MAX_PHASES]; // the phases' march
    PassageWalls around[MAX_NODES]; // walls of the passages
    PassageHeat heat[MAX_NODES]; // what their air does to the walls
    Barrel barrel[MAX_STAGES]; // barrels
} Solution;

#endif
