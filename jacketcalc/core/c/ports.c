/* Gas that passes a round bore whose wall has one temperature: the ports of the heads, and the line
 * between two stages.
 *
 *     port    T out = Twall - (Twall - T in) exp(-NTU),     NTU = Nu k pi L / (F cp)
 *             heat to the gas  F cp (1 - exp(-NTU)) (Twall - T in),     Twall: the head's
 *     line    G = Nu k pi L,     Re = 4 F / (pi d mu),     F the mean of what enters and leaves
 *
 * Both are quasi-steady: gas crosses a port within a tenth of a step. The suction port lies before
 * its valve and the delivery port behind it; the valve's flow is taken without that warming, which
 * changes only how fast pressures meet. A line's gas is mixed, and its wall stays at one temperature
 * within a cycle: 1 mm of steel takes up what a cycle brings within 0.6 K in the shipped cases.
 */

/* A port at an instant. */
typedef struct Port {
    double side;  /* entrance factor x k pi L: h A for a Nusselt number of 1 [W/K] */
    double re;    /* Reynolds number of a flow of 1 kg/s [s/kg] */
    double z;     /* ln(Pr / PRANDTL_MIDDLE) [-] */
    double cp;    /* of the gas that enters [J/(kg K)] */
    double wall;  /* [K] */
} Port;

static Port port_at(const Gas *table, double diameter, double length, double entrance, double T,
                    double p, double wall)
{
    Port port = {0.0, 0.0, 0.0, 1.0, wall};
    if (length <= 0.0 || diameter <= 0.0)
        return port;
    Transport carried;
    Thermo gas = properties(table, T, p, &carried);
    port.side = entrance * carried.conductivity * PI * length;
    port.re = 4.0 / (PI * diameter * carried.viscosity);
    port.z = log(carried.viscosity * gas.h_T / carried.conductivity / PRANDTL_MIDDLE);
    port.cp = gas.h_T;
    return port;
}

/* h A of a flow in it [W/K]. */
static double port_conductance(const Law *pipe, const Port *port, double flow)
{
    double re = larger(flow * port->re, LOWEST_RE);
    return port->side * law_value(pipe, re, log(re), port->z);
}

/* Heat that a flow takes up for each kg and each kelvin that the wall is warmer [J/(kg K)]. */
static double port_exchange(const Law *pipe, const Port *port, double flow)
{
    if (port->side <= 0.0 || flow <= 0.0)
        return 0.0;
    return port->cp * -expm1(-port_conductance(pipe, port, flow) / (flow * port->cp));
}
