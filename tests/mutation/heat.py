"""Mutations of heat transfer in the passage, and of the pulses that pass it."""

from __future__ import annotations

from .passage import HELIX, MARCH
from .record import Edit, Mutation

LAWS = "correlations/heat.py"
PULSES = "core/c/pulses.c"
CUT = "    out->rest = larger(period - time, 0.0);\n"
"""The end of the cut into phases; the whole cycle's mass and heat are known there."""
CLOSURES = "laws/test_correlations_closures.py::test_closures[10000-19.2-23.3-42.5]"


def _phases(change: str) -> tuple[Edit, ...]:
    """Change every phase after the cut."""
    loop = f"    for (int64_t k = 0; k < phases; k++) {{\n        {change}\n    }}\n"
    return (Edit(PULSES, CUT, CUT + loop),)


MUTATIONS = (
    Mutation(
        name="one-wall", part="passage", term="the inner wall alone is heated",
        broken="average round the wall of a coil",
        edits=(
            Edit("correlations/laws.py", '    if closure == "low":',
                 '    closure = "high" if closure == "nominal" else closure\n'
                 '    if closure == "low":'),
        ),
        test=CLOSURES,
    ),
    Mutation(
        name="annulus-factor", part="passage", term="annulus factor of one heated wall",
        broken="1, as with both walls heated",
        edits=(
            Edit(LAWS, "PowerLaw(0.75, -0.17)", "PowerLaw(1.0, 0.0)"),
            Edit(LAWS, "PowerLaw(0.86, -0.16)", "PowerLaw(1.0, 0.0)"),
        ),
        test="laws/test_correlations_annulus.py::test_annulus[10000.0-33.37-25.48-29.19]",
    ),
    Mutation(
        name="convex", part="passage", term="convex wall transfers less",
        broken="as a flat wall",
        edits=(Edit(LAWS, "CONVEX_FACTOR = 0.85", "CONVEX_FACTOR = 1.0"),), test=CLOSURES,
    ),
    Mutation(
        name="curved-laminar", part="passage", term="curvature raises laminar heat transfer",
        broken="straight channel",
        edits=(
            Edit(LAWS, "CURVED(De) * narrow", "5.3846 + 0.0 * De * narrow"),
        ),
        test="laws/test_correlations_laminar.py::test_curved_channel[3-1000-267-115.7-7.97]",
    ),
    Mutation(
        name="property-ratio", part="passage", term="properties vary across the heated gas",
        broken="factor 1", edits=(Edit(MARCH, "if (bulk >= wall)", "if (1)"),),
        test="machine/test_physical_terms.py::test_march_is_the_plain_one",
    ),
    Mutation(
        name="rib-fin", part="passage", term="ribs are fins on the barrel",
        broken="ribs take no heat",
        edits=(Edit("geometry.py", "return 2.0 * jacket.starts * rib_height(jacket) if",
                    "return 0.0 * jacket.starts * rib_height(jacket) if"),),
        test="passage/test_passage_heat.py::test_rib_is_a_fin",
    ),
    Mutation(
        name="fin-efficiency", part="passage", term="ribs are colder at their tips",
        broken="efficiency 1",
        edits=(Edit("core/c/laws.c", "return tanh(slender) / slender;", "return 1.0;"),),
        test="passage/test_passage_heat.py::test_rib_is_a_fin",
    ),
    Mutation(
        name="rib-clearance", part="passage", term="ribs end short of the shell",
        broken="they reach it",
        edits=(Edit(HELIX, "return jacket.gap - jacket.tip_clearance", "return jacket.gap"),),
        test="passage/test_passage_heat.py::test_rib_is_a_fin",
    ),
    Mutation(
        name="entrance", part="passage", term="turbulent heat transfer is higher near an entrance",
        broken="factor 1",
        edits=(Edit(LAWS, "1.0 + np.power(short, float(ENTRANCE_POWER))", "1.0 + 0.0 * short"),),
        test="laws/test_gap_swirl_entrance.py::test_channel_and_tube_have_an_entrance",
    ),
    Mutation(
        name="tube-heat", part="passage", term="the tube warms the exhaust on its way",
        broken="adiabatic tube",
        edits=(
            Edit(MARCH, "out->outer[i] = nu * carried", "out->outer[i] = 0.0 * nu * carried"),
            Edit(PULSES, "outer = g->still_tube *", "outer = 0.0 *"),
        ),
        test="passage/test_march_heat.py::test_constant_wall",
    ),
    Mutation(
        name="shell-heat", part="passage", term="the shell warms the exhaust",
        broken="adiabatic shell",
        edits=(
            Edit(MARCH, "out->outer[i] = h * g->shell_perimeter * dx;", "out->outer[i] = 0.0;"),
            Edit(PULSES, "outer = h * g->shell_perimeter * dx;", "outer = 0.0;"),
        ),
        test="passage/test_passage_heat.py::test_two_conductances",
    ),
    Mutation(
        name="phases", part="pulses", term="a pulse is cut into ten phases",
        broken="one phase of mean flow a pulse",
        edits=(Edit("core/resolution.py", "phases: int = 10", "phases: int = 1"),),
        test="passage/test_pulses.py::test_phases_of_a_falling_pulse",
    ),
    Mutation(
        name="pulses", part="pulses", term="exhaust comes in pulses",
        broken="mean flow over the whole cycle",
        edits=(
            *_phases(
                "out->time[k] = period / (double)phases; out->mass[k] = mass / (double)phases; "
                "out->T0[k] = heat / mass; out->rest = 0.0;"
            ),
        ),
        test="passage/test_pulses.py::test_phases_follow_a_known_pulse",
    ),
    Mutation(
        name="phase-temperature", part="pulses", term="the end of a pulse is colder",
        broken="every phase at the mean temperature", edits=_phases("out->T0[k] = heat / mass;"),
        test="passage/test_pulses.py::test_phases_of_a_falling_pulse",
    ),
    Mutation(
        name="cold-exhaust", part="pulses", term="expansion makes the exhaust cold",
        broken="passage fed with air at 293 K", edits=_phases("out->T0[k] = 293.15;"),
        test="passage/test_pulses.py::test_cut_keeps_mass_enthalpy_and_time",
    ),
    Mutation(
        name="rest", part="pulses", term="air at rest warms between pulses",
        broken="no heat at rest",
        edits=(Edit(PULSES, "pulses->rest / period * exp(-own.past);", "0.0;"),),
        test="passage/test_pulses.py::test_air_at_rest_warms_exponentially",
    ),
    Mutation(
        name="rest-carried-out", part="pulses",
        term="air warmed at rest cools again on its way out",
        broken="it keeps all it gained",
        edits=(
            Edit(PULSES, "pulses->rest / period * exp(-own.past);", "pulses->rest / period;"),
        ),
        test="passage/test_pulses.py::test_air_at_rest_warms_exponentially",
    ),
    Mutation(
        name="rest-again", part="pulses",
        term="air rests again where a passage holds more than a pulse",
        broken="it leaves with the next pulse",
        edits=(
            Edit(PULSES, "r.excess[i] = own.excess + (level - T) * -expm1(-units);",
                 "r.excess[i] = 0.0;"),
        ),
        test="passage/test_pulses.py::test_resting_air_is_followed_plug_by_plug",
        setting="tubes that hold more than a pulse",
    ),
)  # fmt: skip
