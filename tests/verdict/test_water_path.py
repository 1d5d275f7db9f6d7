"""Water along the whole path: amounts, hours and the dew point that is asked of the supply.

Humidities come from CoolProp's humid air (ASHRAE RP-1485), which shares no formula with the
package; amounts are worked out again by hand.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from CoolProp.CoolProp import HAPropsSI
from humid_air import DEW_POINT, SUPPLY, VAPOUR, humidity
from places import ROOT

from jacketcalc.air_quality import HUMIDITY_CLASSES, sufficient_class, sufficient_dryer
from jacketcalc.assessment.water_finding import GOALS, WaterFinding, find_water
from jacketcalc.casefile.reading import read_case, read_case_text
from jacketcalc.core.run import solve
from jacketcalc.core.water_tracks import outlet_state, read_tracks
from jacketcalc.designs import Design
from jacketcalc.findings.supply_water import supply_vapour
from jacketcalc.findings.water import Vapour
from jacketcalc.findings.water_path import (
    WaterPlace,
    WaterTrack,
    WaterTracks,
    follow_path,
    follow_track,
)
from jacketcalc.inputs import Intake, Supply
from jacketcalc.studies.solve_water import solve_water

PRINTED = {1: -70, 2: -40, 3: -20, 4: 3, 5: 7, 6: 10}
"""Humidity classes of ISO 8573-1, degC (read in OPC 40250-1, table 128)."""
FROST = {
    (-70, 1.2): -81.7, (-40, 1.2): -55.4, (-20, 1.2): -38.1,
    (3, 1.2): -18.8, (7, 1.2): -15.8, (10, 1.2): -13.6,
}  # fmt: skip
"""Frost points after expansion from 8 bar to 1.2 bar, degC, as CoolProp's humid air has them."""


@cache
def found(name: str = "tight_jacket") -> WaterFinding:
    return solve_water(read_case(str(ROOT / "cases" / f"{name}.toml")))


@cache
def tracks(name: str = "tight_jacket") -> WaterTracks:
    case = read_case(str(ROOT / "cases" / f"{name}.toml"))
    read = read_tracks(solve(Design(machine=case.machine)))
    assert read is not None
    return read


def place(name: str, of: str = "tight_jacket") -> WaterPlace:
    path = found(of).jacketed
    assert path is not None
    return next(p for p in path.places if p.name == name)


def made_track(**others: object) -> WaterTrack:
    """A tube of 10 mm bore and two cells: the first is warm, the second at -10 degC."""
    words = {
        "name": "wall", "part": "passage wall",
        "temperature": np.array([[290.0, 290.0], [263.15, 263.15]]),
        "pressure": np.array([[3e5, 1.2e5], [3e5, 1.2e5]]),
        "passed": np.array([2e-3, 1e-3]), "moments": ("one", "two"), "time": np.array([0.1, 0.4]),
        "distance": np.array([0.1, 0.3]), "origin": "its port", "along": np.array([0.1, 0.3]),
        "area": 78.54e-6, "span": np.array([0.2, 0.2]),
    }  # fmt: skip
    return WaterTrack(**{**words, **others})  # type: ignore[arg-type]


def test_the_classes_are_those_of_iso_8573_1() -> None:
    assert {n: round(T - 273.15, 6) for n, T in HUMIDITY_CLASSES.items()} == PRINTED


@pytest.mark.parametrize(("at", "wanted"), [(12.0, 6), (10.0, 6), (9.9, 5), (2.9, 3), (-70.0, 1)])
def test_the_wettest_class_that_does(at: float, wanted: int) -> None:
    assert sufficient_class(at + 273.15) == wanted
    assert sufficient_class(273.15 - 70.1) is None


def test_the_simplest_dryer_that_does() -> None:
    """Common practice, no source: refrigeration stops at freezing, membranes at -20 degC or so."""
    kinds = [sufficient_dryer(t + 273.15) for t in (5.0, 3.0, 2.0, -20.0, -21.0, -70.0, -71.0)]
    assert kinds == ["refrigeration"] * 2 + ["membrane or adsorption"] * 2 + ["adsorption"] * 2 + [
        "special adsorption"
    ]


@pytest.mark.parametrize(("dew_point", "bar"), FROST)
def test_frost_points_after_expansion(dew_point: int, bar: float) -> None:
    """All six classes from 8 bar to 1.2 bar; below -60 degC the oracle's own ice law is older."""
    vapour = Vapour(dew_point=dew_point + 273.15, pressure=8e5)
    tolerance = 0.4 if dew_point < -40 else 0.1
    point = float(vapour.point(bar * 1e5)) - 273.15
    assert point == pytest.approx(FROST[dew_point, bar], abs=tolerance)


def test_an_amount_is_what_passes_times_what_the_coldest_cannot_hold() -> None:
    """By hand: 2 g at 3 bar and 1 g at 1.2 bar pass a wall at -10 degC in 0.5 s."""
    one = follow_track(made_track(), VAPOUR, 0.5)
    inside = humidity()
    held = [HAPropsSI("W", "T", 263.15, "P", p, "R", 1.0) for p in (3e5, 1.2e5)]
    left = 2e-3 * max(inside - held[0], 0.0) + 1e-3 * max(inside - held[1], 0.0)
    assert one.most == pytest.approx(left / 0.5, rel=5e-3)
    assert one.air == pytest.approx(6e-3)
    assert (one.nearest.distance, one.nearest.moment) == (0.3, "one")


def test_a_place_where_all_air_may_meet_the_worst_moment() -> None:
    one = follow_track(made_track(stays=True), VAPOUR, 0.5)
    left = 3e-3 * (humidity() - HAPropsSI("W", "T", 263.15, "P", 3e5, "R", 1.0))
    assert one.most == pytest.approx(left / 0.5, rel=5e-3)


def test_hours_are_a_share_of_the_volume_that_frosts_over_the_flow_of_ice() -> None:
    """A quarter of 78.54 mm2 over 0.2 m, at 917 kg/m3; the warm cell takes no ice."""
    one = follow_track(made_track(), VAPOUR, 0.5)
    kilograms = 0.25 * 78.54e-6 * 0.2 * 917.0
    assert one.hours(0.25) == pytest.approx(kilograms / one.most / 3600.0, rel=1e-6)
    assert one.hours(0.5) == pytest.approx(2 * (one.hours(0.25) or 0.0))
    warm = made_track(temperature=np.full((2, 2), 290.0))
    assert follow_track(warm, VAPOUR, 0.5).hours(0.25) is None
    # Above freezing water runs off: it blocks nothing, however much there is.
    cool = made_track(temperature=np.full((2, 2), 275.0), pressure=np.full((2, 2), 8e5))
    wet = follow_track(cool, VAPOUR, 0.5)
    assert wet.wet and wet.most > 0.0 and wet.hours(0.25) is None


def test_the_dew_point_asked_for_is_that_of_air_saturated_there() -> None:
    """CoolProp: air saturated at the crown's temperature and the stage's highest pressure."""
    one = place("crown of stage first")
    water = HAPropsSI("W", "T", one.nearest.temperature, "P", one.nearest.pressure, "R", 1.0)
    p = read_case(str(ROOT / "cases" / "tight_jacket.toml")).machine.supply.pressure
    wanted = HAPropsSI("D", "T", 400.0, "P", p, "W", water)
    assert one.dew_point_needed == pytest.approx(wanted, abs=0.15)


def test_a_supply_as_dry_as_asked_for_leaves_the_place_just_dry() -> None:
    """The goal's worst place then stands at its point, and no other of the goal below it."""
    pressure = read_case(str(ROOT / "cases" / "tight_jacket.toml")).machine.supply.pressure
    for need in found().needs:
        if need.any_will_do:
            continue
        path = follow_path(tracks(), Vapour(dew_point=need.dew_point, pressure=pressure))
        parts = next(parts for key, _, parts in GOALS if key == need.key)
        margins = [p.nearest.margin for p in path.places if p.part in parts]
        assert min(margins) == pytest.approx(0.0, abs=0.05), need.name


@pytest.mark.parametrize("name", ["tight_jacket", "impact_laboratory", "single_stage"])
def test_no_more_leaves_than_enters(name: str) -> None:
    path = found(name).jacketed
    assert path is not None
    ratio = path.entering / (path.drive_water / tracks(name).drive_air)
    assert ratio == pytest.approx(tracks(name).drive_air + tracks(name).stage_air, rel=1e-9)
    for one in path.places:
        whole = path.stage_water if one.part in ("stage", "line", "receiver") else path.drive_water
        assert 0.0 <= one.most <= whole * 1.001, one.name
        assert (one.most > 0.0) == (one.nearest.margin < 0.0) or abs(one.nearest.margin) < 0.05


def test_the_whole_path_is_followed() -> None:
    """Drive chambers, valve, tube, jacket, outlet, stages, line, receiver; with and without."""
    path, bare = found().jacketed, found().bare
    assert path is not None and bare is not None
    names = " / ".join(p.name for p in path.places)
    for part in ("drive chamber 1", "drive chamber 2", "valve, port 1", "valve, port 2",
                 "wall of the tube of port 2", "shell of the jacket of stage first",
                 "barrel of the jacket of stage second", "outlet of stage first",
                 "barrel of stage second", "line to stage second", "receiver"):  # fmt: skip
        assert part in names
    assert {p.name for p in bare.places} < {p.name for p in path.places}
    crown = place("crown of stage second")
    twin = found().twin(crown)
    assert twin is not None and twin.nearest.margin > crown.nearest.margin + 50.0


def test_water_that_enters_by_hand() -> None:
    """Flows of the machine times CoolProp's humidity of the supply."""
    case, path = read_case(str(ROOT / "cases" / "tight_jacket.toml")), found().jacketed
    assert path is not None
    supply = case.machine.supply
    assert supply.pressure_dew_point is not None
    ratio = HAPropsSI("W", "T", 300.0, "P", supply.pressure, "D", supply.pressure_dew_point)
    assert path.drive_water == pytest.approx(tracks().drive_air * ratio, rel=2e-3)
    assert path.stage_water == pytest.approx(tracks().stage_air * ratio, rel=2e-3)


def test_air_in_a_hole_is_an_ideal_gas_that_keeps_its_stagnation_temperature() -> None:
    """First law by hand; beyond the speed of sound the pressure in the hole rises instead."""
    for flux in (1.0, 60.0, 200.0, 900.0):
        T, p = (float(v[0]) for v in outlet_state(np.array([flux]), np.array([280.0]), 1e5))
        speed = flux * 287.05 * T / p
        assert T + speed**2 / (2 * 1005.0) == pytest.approx(280.0, rel=2e-3)
        assert speed <= 1.001 * (1.4 * 287.05 * T) ** 0.5
        assert (p > 1e5) == (flux > 240.0)


def intake(**others: float) -> Supply:
    words = {"relative_humidity": 0.6, "temperature": 298.15, "pressure": 101325.0,
             "aftercooler_temperature": 308.15}  # fmt: skip
    return Supply(pressure=SUPPLY, temperature=293.15, intake=Intake(**{**words, **others}))


def test_a_dry_intake_keeps_its_water() -> None:
    """5 % at 25 degC and 1 atm, compressed to 8 bar: CoolProp from W at the intake to D there."""
    water = HAPropsSI("W", "T", 298.15, "P", 101325.0, "R", 0.05)
    wanted = HAPropsSI("D", "T", 400.0, "P", SUPPLY, "W", water)
    found = supply_vapour(intake(relative_humidity=0.05)).dew_point
    assert found == pytest.approx(wanted, abs=0.05)


def test_a_humid_intake_is_drained_to_the_coolest_it_meets() -> None:
    """Aftercooler, or supply where that is cooler: air behind it is saturated."""
    assert supply_vapour(intake()).dew_point == pytest.approx(293.15, abs=0.01)
    cool = intake(aftercooler_temperature=283.15)
    assert supply_vapour(cool).dew_point == pytest.approx(283.15, abs=0.01)


def test_latent_heat_is_told_from_a_hundredth_of_the_cold() -> None:
    """By hand: the most that leaves of the exhaust, at 2.834 MJ/kg, over the first law's cold."""
    one = found()
    path = one.jacketed
    assert path is not None and one.cold is not None
    most = max(p.most for p in path.places if p.part in ("exhaust air", "passage wall"))
    assert one.latent_share == pytest.approx(most * 2.834e6 / one.cold.bound, rel=1e-6)
    assert (one.latent_share or 0.0) > 0.01 > (found("impact_laboratory").latent_share or 0.0)


def test_a_machine_that_stalls_has_no_path() -> None:
    case = read_case(str(ROOT / "cases" / "tight_jacket.toml"))
    at_rest = replace(case, machine=replace(case.machine, receiver_pressure=380e5))
    one = solve_water(at_rest)
    assert one.jacketed is None and one.needs == () and one.latent == 0.0
    assert find_water(case, None, None, None).latent_share is None
    assert DEW_POINT == 276.15


def test_gas_of_a_source_brings_no_water_into_the_stages() -> None:
    """Nitrogen from a bottle, dry: the drive's air alone brings water, and no stage has a row."""
    text = (ROOT / "cases" / "tight_jacket.toml").read_text("utf-8")
    text = text.replace('draws_from = "supply"', 'draws_from = "source"')
    bottle = (
        '[gas]\nname = "nitrogen"\nsource = "invented"\n\n[source]\npressure = "8 bar(g)"\n'
        'temperature = "21 degC"\nsource = "invented"\n\n[valve]'
    )
    one = solve_water(read_case_text(text.replace("[valve]", bottle, 1)))
    path = one.jacketed
    assert path is not None and path.stage_water == 0.0 and path.drive_water > 0.0
    assert {p.part for p in path.places} == {"drive", "exhaust air", "passage wall"}
    assert {need.key for need in one.needs} == {"passage", "exhaust_air", "drive"}
