"""Mutations of the exhaust passage: momentum, losses, friction and geometry."""

from __future__ import annotations

from .record import Edit, Mutation

SECTION = "core/c/section.c"
MARCH = "core/c/passage.c"
FRICTION = "correlations/friction.py"
SIZES = "passage_geometry.py"
HELIX = "geometry.py"
PORTS = "passage_ports.py"
MACHINE = "core/machine.py"
GEOMETRY = "passage/test_geometry.py::test_geometry"

MUTATIONS = (
    Mutation(
        name="acceleration", part="passage", term="air speeds up as its pressure falls",
        broken="momentum balance of a cell with friction alone",
        edits=(Edit(SECTION, "GG = square(here->G);", "GG = 0.0;"),),
        test="passage/test_march_friction.py::test_fanno_at_the_default_cells",
    ),
    Mutation(
        name="choking", part="passage", term="a section passes no more than its sonic flow",
        broken="sections choke at 0.8 of the sonic pressure",
        edits=(Edit(SECTION, "return s->G * sqrt(s->R", "return 0.8 * s->G * sqrt(s->R"),),
        test="passage/test_passage_losses.py::test_outlet_chokes",
    ),
    Mutation(
        name="widening", part="passage", term="momentum balance of sudden widenings",
        broken="no loss where tube meets channel and channel meets outlet",
        edits=(Edit(SECTION, "if (share < 1.0) {", "if (share < 0.0) {"),),
        test="passage/test_passage_losses.py::test_tube_into_wider_channel_loses_by_borda_carnot",
    ),
    Mutation(
        name="fitting-loss", part="passage", term="losses of the tube's fittings",
        broken="dropped",
        edits=(Edit(MARCH, "+ g->tube_loss * dynamic", "+ 0.0 * dynamic"),),
        test="passage/test_passage_losses.py::test_sudden_losses",
    ),
    Mutation(
        name="entry-loss", part="passage", term="loss at the channel's entry",
        broken="dropped",
        edits=(Edit(MARCH, "out->p[joint], g->inlet_loss,", "out->p[joint], 0.0,"),),
        test="passage/test_passage_losses.py::test_sudden_losses",
    ),
    Mutation(
        name="outlet-loss", part="passage", term="loss at the outlet",
        broken="dropped", edits=(Edit(MARCH, "p_outlet, g->outlet_loss,", "p_outlet, 0.0,"),),
        test="passage/test_passage_losses.py::test_sudden_losses",
    ),
    Mutation(
        name="gallery-entry", part="passage", term="what a gallery costs the air that enters",
        broken="nothing",
        edits=(
            Edit(PORTS, "lost = _narrowing(tube, hole, channels) + END * (channels / hole) ** 2",
                 "lost = 0.0"),
            Edit(PORTS, "lost += END * (channels / groove_area(jacket)) ** 2", "lost += 0.0"),
        ),
        test="passage/test_ports.py::test_a_gallery_costs_the_heads_it_swallows",
        setting="galleries",
    ),
    Mutation(
        name="gallery-outlet", part="passage", term="what a gallery costs the air that leaves",
        broken="nothing",
        edits=(
            Edit(PORTS, "lost = END * (outlet / channels) ** 2 + END * (outlet / "
                 "groove_area(jacket)) ** 2", "lost = 0.0"),
        ),
        test="passage/test_ports.py::test_a_gallery_costs_the_heads_it_swallows",
        setting="galleries",
    ),
    Mutation(
        name="manifold", part="passage", term="what parting into several starts costs",
        broken="nothing",
        edits=(
            Edit(PORTS, "lost = END * (channels / tube) ** 2 + SHARP * (channels / hole) ** 2",
                 "lost = 0.0"),
            Edit(PORTS, "lost += _widening(hole, channels)", "lost += 0.0"),
        ),
        test="passage/test_ports.py::test_a_hole_each_costs_the_manifold", setting="two starts",
    ),
    Mutation(
        name="gallery-volume", part="passage", term="galleries store air",
        broken="none",
        edits=(Edit("geometry.py", ".volume + gallery_volume(stage, jacket)", ".volume"),),
        test="passage/test_ports.py::test_a_gallery_costs_the_heads_it_swallows",
        setting="galleries",
    ),
    Mutation(
        name="coil-friction", part="passage", term="curvature raises friction",
        broken="friction of a straight channel",
        edits=(
            Edit(FRICTION, "COIL = (0.3164, -0.25, 0.03, 0.5)", "COIL = (0.3164, -0.25, 0.0, 0.5)"),
            Edit(FRICTION, "float(fluids.helical_laminar_fd_White(Re, d, 1.0))", "64.0 / Re"),
        ),
        test="laws/test_correlations_friction.py::test_friction_of_one_jacket",
    ),
    Mutation(
        name="coil-transition", part="passage", term="curvature delays turbulence",
        broken="turbulent from Reynolds 2300 on",
        edits=(Edit(FRICTION, "float(fluids.helical_transition_Re_Schmidt(d, 1.0))", "2300.0"),),
        test="laws/test_correlations_coil.py::test_coil_transition",
    ),
    Mutation(
        name="roughness", part="passage", term="roughness of tube and channel",
        broken="smooth walls",
        edits=(
            Edit(FRICTION, "fluids.Haaland(Re, relative_roughness)", "fluids.Haaland(Re, 0.0)"),
        ),
        test="laws/test_correlations_friction.py::test_rough_channel_costs_more",
    ),
    Mutation(
        name="dean-diameter", part="passage", term="diameter of curvature of the helix",
        broken="diameter of the circle it winds on",
        edits=(
            Edit(HELIX, "mean_diameter * (1.0 + slope * slope)", "mean_diameter + 0.0 * slope"),
        ),
        test=GEOMETRY,
    ),
    Mutation(
        name="hydraulic-diameter", part="passage", term="hydraulic diameter of the channel",
        broken="twice the gap, as of an annulus without ribs",
        edits=(
            Edit(HELIX, "2.0 * gap * width / (gap + width)", "2.0 * gap + 0.0 * width"),
        ),
        test=GEOMETRY,
    ),
    Mutation(
        name="tip-leak", part="passage", term="leak over the rib tips",
        broken="dropped", edits=(Edit(MARCH, "if (g->leak_area <= 0.0)", "if (1)"),),
        test="passage/test_passage_losses.py::test_tip_leak",
    ),
    Mutation(
        name="recovery", part="passage", term="walls feel the recovery temperature",
        broken="walls feel the stagnation temperature",
        edits=(
            Edit(MARCH, " : 0.0) + cells->lag[i];", " : 0.0);"),
            Edit(MARCH, "level + above * mean - cells->lag[i];", "level + above * mean;"),
        ),
        test="passage/test_passage_heat.py::test_recovery_temperature",
    ),
    Mutation(
        name="throttling", part="passage", term="throttled air cools (Joule and Thomson)",
        broken="stagnation temperature is kept",
        edits=(Edit(MARCH, "= -gas.h_p / gas.h_T;", "= 0.0;"),),
        test="passage/test_passage_heat.py::test_throttled_air_cools",
    ),
    Mutation(
        name="curve-temperature", part="passage",
        term="power of port temperature in the flow curve",
        broken="1/2, as of a nozzle without heat",
        edits=(
            Edit("core/c/curve.c", "c->exponent = within(sum / AGAIN, 0.0, 0.7);",
                 "c->exponent = 0.5;"),
        ),
        test="passage/test_flow_curve.py::test_curve_at_another_temperature",
    ),
    Mutation(
        name="node-volume", part="passage", term="air stored in the passage",
        broken="nothing but the valve's own port",
        edits=(Edit(MACHINE, "PASSAGE_SHARE = 0.5", "PASSAGE_SHARE = 0.0"),),
        test="machine/test_physical_terms.py::test_passage_stores_half_its_air_at_port_pressure",
    ),
    Mutation(
        name="silencer", part="passage", term="silencer behind the outlet",
        broken="as open as none",
        edits=(Edit(MARCH, "pressure_upstream(g->silencer_sonic,", "pressure_upstream(1e-2,"),),
        test="passage/test_flow_curve.py::test_equivalent_conductance_of_an_iso_element",
        setting="silencers on both outlets",
    ),
)  # fmt: skip
