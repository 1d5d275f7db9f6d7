"""How several starts are fed and emptied: losses, holes that fit, and what the case says of them.

Losses are held against the library `fluids` (fittings: exit 1.0, Idelchik's sharp entrance 0.5,
sudden contraction and expansion), part by part along the way, at a flow so slow that air is
incompressible.
"""

from __future__ import annotations

from dataclasses import replace
from math import pi

import fluids
import pytest
from places import CASES
from sample import FIRST, JACKET, MACHINE, TUBE

from jacketcalc.casefile.reading import read_case, read_case_text
from jacketcalc.errors import CaseError
from jacketcalc.geometry import gallery_volume
from jacketcalc.inputs import Case, Jacket
from jacketcalc.passage_geometry import passage_geometries

TEXT = (CASES / "hot.toml").read_text("utf-8")


def wound(starts: int, feed: str, pitch: str = "12 mm", more: str = "") -> Case:
    """Give the main case other jackets."""
    text = TEXT.replace("starts = 1", f'starts = {starts}\nfeed = "{feed}"\n{more}')
    return read_case_text(text.replace('pitch = "30 mm"', f'pitch = "{pitch}"'))


def sizes(jacket: Jacket, bore: float = TUBE.bore):  # type: ignore[no-untyped-def]
    """Return the passage of the first stage with a jacket and a tube."""
    machine = replace(
        MACHINE,
        stages=(replace(FIRST, jacket=jacket), replace(MACHINE.stages[1], jacket=None)),
        exhaust_2=replace(MACHINE.exhaust_2, tube=replace(TUBE, bore=bore)),
        exhaust_1=replace(MACHINE.exhaust_1, to="atmosphere", tube=None),
    )
    return passage_geometries(machine)[1]


def same_round(area: float) -> float:
    """Return the diameter of a circle of an area."""
    return (4 * area / pi) ** 0.5


def on(area: float, K: float, reference: float) -> float:
    """Carry a coefficient from the dynamic pressure in one section to that in another."""
    return K * (reference / area) ** 2


def sudden(before: float, behind: float) -> float:
    """Return the loss of a sudden widening on the dynamic pressure behind it."""
    if behind <= before:
        return 0.0
    K = fluids.fittings.diffuser_sharp(same_round(before), same_round(behind))
    return on(before, K, behind)


@pytest.mark.parametrize(("starts", "tube"), [(2, 12e-3), (3, 12e-3), (4, 8e-3), (2, 30e-3)])
def test_a_gallery_costs_the_heads_it_swallows(starts: int, tube: float) -> None:
    jacket = replace(
        JACKET, pitch=12e-3, starts=starts, gallery_width=20e-3, inlet_bore=min(tube, 20e-3),
        outlet_bore=18e-3,
    )  # fmt: skip
    g = sizes(jacket, tube)
    hole, arm = pi / 4 * jacket.inlet_bore**2, 2 * jacket.gap * 20e-3
    end, edge = fluids.fittings.exit_normal(), fluids.fittings.entrance_sharp(method="Idelchik")
    K = on(hole, end, g.area) + on(arm, end, g.area) + edge
    if hole < g.tube_area:
        narrow = fluids.fittings.contraction_sharp(tube, jacket.inlet_bore, method="Crane")
        # Crane's K of a sharp contraction is 0.5 (1 - beta^2), on the narrow side.
        K += on(hole, narrow, g.area)
    assert g.inlet_loss + sudden(g.tube_area, g.area) == pytest.approx(K, rel=1e-9)
    outlet = pi / 4 * jacket.outlet_bore**2
    K = on(g.area, end, outlet) + on(arm, end, outlet) + jacket.outlet_loss
    assert g.outlet_loss + sudden(g.area, outlet) == pytest.approx(K, rel=1e-9)
    single = sizes(replace(jacket, gallery_width=0.0))
    round_mean = pi * (FIRST.bore + 2 * FIRST.wall_thickness + jacket.gap)
    rings = 2 * round_mean * jacket.gap * 20e-3
    assert gallery_volume(FIRST, jacket) == pytest.approx(rings, rel=1e-12)
    assert g.volume - single.volume == pytest.approx(
        rings + (g.tube_area - single.tube_area) * TUBE.length, rel=1e-9
    )


@pytest.mark.parametrize("starts", [2, 3, 4])
def test_a_hole_each_costs_the_manifold(starts: int) -> None:
    jacket = replace(JACKET, pitch=12e-3, starts=starts, inlet_bore=8e-3, outlet_bore=8e-3)
    g = sizes(jacket)
    holes = starts * pi / 4 * 8e-3**2
    end, edge = fluids.fittings.exit_normal(), fluids.fittings.entrance_sharp(method="Idelchik")
    K = on(g.tube_area, end, g.area) + on(holes, edge, g.area) + sudden(holes, g.area) + edge
    assert g.inlet_loss + sudden(g.tube_area, g.area) == pytest.approx(K, rel=1e-9)
    assert g.outlet_area == pytest.approx(holes, rel=1e-12)
    assert g.outlet_loss == jacket.outlet_loss


def test_one_start_costs_more_only_where_its_hole_is_the_narrowest() -> None:
    for bore in (12e-3, 16e-3):
        assert sizes(replace(JACKET, inlet_bore=bore)).inlet_loss == JACKET.inlet_loss
    deep = sizes(replace(JACKET, pitch=12e-3, gap=20e-3, inlet_bore=8e-3))
    hole = pi / 4 * 8e-3**2
    assert deep.tube_area < deep.area
    narrow = fluids.fittings.contraction_sharp(TUBE.bore, 8e-3, method="Crane")
    K = on(hole, narrow, deep.area) + sudden(hole, deep.area) + JACKET.inlet_loss
    assert deep.inlet_loss + sudden(deep.tube_area, deep.area) == pytest.approx(K, rel=1e-9)


@pytest.mark.parametrize("name", ["hot", "single", "tight"])
def test_shipped_cases_have_one_start_and_their_losses_as_stated(name: str) -> None:
    machine = read_case(str(CASES / f"{name}.toml")).machine
    jackets = [stage.jacket for stage in machine.stages if stage.jacket is not None]
    assert jackets
    assert all(j.starts == 1 and j.gallery_width == 0.0 for j in jackets)
    for g in passage_geometries(machine):
        assert (g.inlet_loss, g.outlet_loss) == (0.5, 0.5)


@pytest.mark.parametrize("feed", ["gallery", "each"])
@pytest.mark.parametrize("starts", [1, 2, 3, 4])
@pytest.mark.parametrize("pitch", ["6 mm", "12 mm", "30 mm"])
def test_what_is_filled_in_fits(starts: int, feed: str, pitch: str) -> None:
    for stage in wound(starts, feed, pitch).machine.stages:
        jacket = stage.jacket
        assert jacket is not None
        shared = starts > 1 and feed == "gallery"
        outside = stage.bore + 2 * stage.wall_thickness
        around = pi * (outside + jacket.gap)
        slant = around / (around**2 + (starts * jacket.pitch) ** 2) ** 0.5
        width = jacket.gallery_width if shared else (jacket.pitch - jacket.rib) * slant
        widest = min(width, 0.7 * (outside + 2 * jacket.gap))
        assert max(jacket.outlet_bore, jacket.inlet_bore) <= widest * (1 + 1e-9)
        assert (jacket.gallery_width > 0.0) == shared
        assert jacket.holes == (1 if shared else starts)


@pytest.mark.parametrize(
    ("starts", "feed", "more", "size"),
    [
        (1, "gallery", 'outlet_bore = "12 mm"', "8.971 mm"),
        (1, "gallery", 'inlet_bore = "12 mm"', "8.971 mm"),
        (2, "each", 'inlet_bore = "9 mm"', "8.888 mm"),
        (2, "gallery", 'gallery_width = "15 mm"\noutlet_bore = "16 mm"', "15 mm"),
    ],
)
def test_a_hole_that_does_not_fit_is_refused_with_the_size_that_does(
    starts: int, feed: str, more: str, size: str
) -> None:
    """The clear width at 12 mm pitch and 3 mm rib is 9 mm x cos(lead angle), by hand."""
    with pytest.raises(CaseError) as caught:
        wound(starts, feed, more=more)
    problem = caught.value.problems[0]
    assert problem.name == "hole-fit"
    assert size in problem.fix
    key = problem.path.rsplit(".", 1)[1]
    mended = more.rsplit(" = ", 1)[0] + f' = "{size}"'
    for stage in (problem.path.split(".")[1],):
        case = read_case_text(
            TEXT.replace("starts = 1", f'starts = {starts}\nfeed = "{feed}"\n{mended}', 1).replace(
                'pitch = "30 mm"', 'pitch = "12 mm"', 1
            )
        )
        jacket = next(s.jacket for s in case.machine.stages if s.name == stage)
        assert getattr(jacket, key) == pytest.approx(float(size.split()[0]) / 1000)


def test_how_starts_are_fed_is_assumed_only_where_there_are_several() -> None:
    for starts, assumed in ((1, 0), (2, 2)):
        case = read_case_text(TEXT.replace("starts = 1", f"starts = {starts}"))
        paths = [given.path for given in case.given if given.assumed]
        for key in ("feed", "gallery_width"):
            assert sum(path.endswith(f"jacket.{key}") for path in paths) == assumed
        assert sum(path.endswith("jacket.inlet_bore") for path in paths) == 2
