"""A flow element as its catalogue prints it: C, Qn, Kv, Cv or a bore, one of them and in any unit.

References: the worked example and the Cv of ANSI/NFPA T3.21.3 as a maker's catalogue of pneumatic
valves prints them (both read); sizing of control valves by the library fluids, which has IEC 60534
on its own; air of the standards from CoolProp; nozzle flow from textbook gas dynamics.
"""

from __future__ import annotations

import json
import math
import re

import fluids
import pytest
from broken import FULL
from case_problems import find_problems
from CoolProp.CoolProp import HAPropsSI, PropsSI

from jacketcalc import flow_data
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.schema_json import make_text
from jacketcalc.flow.iso6358 import mass_flow
from jacketcalc.inputs import FlowElement, Given
from jacketcalc.show.case_text import describe_case

LITRE_MIN = 1e-3 / 60
"""One litre a minute [m3/s]."""
DM3 = 1e-8
"""One dm3/(s bar) [m3/(s Pa)]."""
EXHAUST_PATH = re.search(r"(?m)^exhaust_path = .*$", FULL)
assert EXHAUST_PATH is not None


def with_path(entries: str) -> str:
    """Return the full case with other entries in the table of the valve's exhaust path."""
    return FULL.replace(EXHAUST_PATH[0], f"exhaust_path = {{ {entries} }}")


def path_of(entries: str) -> FlowElement:
    return read_case_text(with_path(entries)).machine.valve.exhaust_path


def made(entries: str) -> Given:
    case = read_case_text(with_path(entries))
    return next(g for g in case.given if g.path == "valve.exhaust_path.C")


def test_the_share_of_choked_flow_is_that_of_a_printed_example() -> None:
    """C = 2, b = 0.3, from 4 to 3 bar(g): 420 dm3/min (ANR), of at most 600 (catalogue, read)."""
    share = flow_data.flow_share(0.3, (3.0 + 1.0) / (4.0 + 1.0))
    assert 2.0 * 60 * 5.0 == 600.0
    assert 600.0 * share == pytest.approx(420.0, abs=0.5)
    assert flow_data.flow_share(0.3, 0.25) == 1.0


def test_the_litres_of_both_standards_are_of_the_air_they_name() -> None:
    """Humid and dry air by CoolProp; ISO rounds its 1.182 to 1.185 kg/m3, and that is the norm."""
    humid = 1.0 / HAPropsSI("Vha", "T", 293.15, "P", 1e5, "R", 0.65)
    assert flow_data.LITRES["ANR"] == pytest.approx(humid, rel=3e-3)
    dry = PropsSI("D", "T", 273.15, "P", 101325.0, "Air")
    assert flow_data.LITRES["DIN 1343"] == pytest.approx(dry, rel=2e-4)
    standard = PropsSI("D", "T", 293.15, "P", 101325.0, "Air")
    assert flow_data.free_air_density(101325.0, 293.15) == pytest.approx(standard, rel=1e-3)


@pytest.mark.parametrize("b", [0.12, 0.2, 0.3, 0.44, 0.528])
@pytest.mark.parametrize("litre, rho", [("ANR", 1.185), ("DIN 1343", 1.293)])
def test_a_nominal_flow_comes_back_through_the_flow_that_the_machine_is_solved_with(
    b: float, litre: str, rho: float
) -> None:
    """C and b of a maker's table span b 0.12 to 0.44 (read); 1.293 kg/m3 is DIN 1343's (memory)."""
    element = path_of(f'Qn = "2400 l/min", b = {b}, reference_atmosphere = "{litre}"')
    assert element.critical_back_pressure_ratio == b
    flow = mass_flow(element.sonic, b, 7.01325e5, 6.01325e5, 293.15)
    assert float(flow) / rho == pytest.approx(2400 * LITRE_MIN, rel=5e-4)
    back = flow_data.nominal_flow(element.sonic, b, litre)
    assert back == pytest.approx(2400 * LITRE_MIN, rel=1e-12)


@pytest.mark.parametrize("b", [0.2, 0.3, 0.4, 0.5])
def test_kv_chokes_as_iec_60534_says(b: float) -> None:
    """fluids sizes a control valve with xT = 1 - b for the choked flow of dry air."""
    p, T = 7e5, 293.15
    size = fluids.control_valve.size_control_valve_g(
        T=T, MW=28.96, mu=1.82e-5, gamma=1.4, Z=1.0, P1=p, P2=1.05e5, Q=1.0, FL=0.9, Fd=1.0,
        xT=1.0 - b, full_output=True,
    )  # fmt: skip
    assert size["choked"]
    mass = 101325.0 * 28.96e-3 / (8.314462618 * 273.15)  # 1 m3/s of its normal cubic metres
    C = mass / 1.185 / p
    assert path_of(f'Kv = "{size["Kv"]} m3/h", b = {b}').sonic == pytest.approx(C, rel=5e-3)
    cv = fluids.control_valve.Kv_to_Cv(size["Kv"])
    assert path_of(f"Cv = {cv}, b = {b}").sonic == pytest.approx(C, rel=5e-3)


@pytest.mark.parametrize("b", [0.2, 0.3, 0.4, 0.5])
def test_a_cv_measured_with_air_is_within_the_scatter(b: float) -> None:
    """ANSI/NFPA T3.21.3 (formula read): Q = 114.5 Cv (dp p2 / T1)^0.5, at 6.5 bar and 0.1 bar."""
    p1, p2, T = 6.5, 6.4, 297.0
    litres = 114.5 * ((p1 - p2) * p2 / T) ** 0.5
    C = path_of(f"Cv = 1, b = {b}").sonic
    flow = float(mass_flow(C, b, p1 * 1e5, p2 * 1e5, T)) / 1.185 * 1e3
    # The standard's small drop and the choked flow of the water's differ by this much.
    assert flow == pytest.approx(litres, rel=flow_data.SCATTER["Cv"])
    assert flow == pytest.approx(litres, rel=0.03)


def test_practice_factors_are_within_the_scatter() -> None:
    """984 L/min for each Cv, from 6 to 5 bar(g): common practice, from memory."""
    C = path_of("Cv = 1, b = 0.3").sonic
    found = flow_data.nominal_flow(C, 0.3) / LITRE_MIN
    assert found == pytest.approx(984.0, rel=flow_data.SCATTER["Cv"])


def test_a_hole_passes_its_share_of_an_ideal_nozzle() -> None:
    """Choked nozzle of gamma 1.4 (any textbook): p A (gamma/R/T)^0.5 (2/2.4)^3."""
    bore, part = 4e-3, 0.82
    flux = math.sqrt(1.4 / 287.05 / 293.15) * (2.0 / 2.4) ** 3 * 1e5
    C = part * flux * math.pi / 4 * bore**2 / 1.185 / 1e5
    found = path_of(f'bore = "4 mm", discharge_coefficient = {part}').sonic
    assert found == pytest.approx(C, rel=1e-3)
    # A maker's table gives the effective area as 5.0 mm2 for each dm3/(s bar) (read).
    assert flow_data.throat_area(DM3) == pytest.approx(5.0e-6, rel=0.01)
    filled = path_of('bore = "4 mm"').sonic
    assert filled == pytest.approx(C * 0.7 / part, rel=1e-3)


PLACES = {
    "supply.line": r"(?m)^line = .*$",
    "valve.supply_path": r"(?m)^supply_path = .*$",
    "stage.first.inlet": r"(?m)^inlet = .*$",
    "stage.first.delivery": r"(?m)^delivery = .*$",
    "exhaust.port_1.silencer": r"(?m)^silencer = .*$",
}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(
    "way", ['Qn = "300 L/min"', 'Kv = "0.28 m3/h"', "Cv = 0.32", 'bore = "3.3 mm"']
)
def test_every_element_takes_every_way(place: str, way: str) -> None:
    key = place.rpartition(".")[2]
    more = ', cracking_pressure = "0.2 bar"' if key in ("inlet", "delivery") else ""
    text = re.sub(PLACES[place], f"{key} = {{ {way}, b = 0.3{more} }}", FULL, count=1)
    case = read_case_text(text)
    given = {g.path: g for g in case.given}
    C = given[f"{place}.C"]
    # All four ways are about 1.2 dm3/(s bar).
    assert C.value == pytest.approx(1.2 * DM3, rel=0.12)
    assert C.derived and not C.assumed and C.text.startswith("from ")
    numbers = re.findall(r"sonic=([\d.e-]+)", repr(case.machine))
    assert any(float(number) == C.value for number in numbers)
    if more:
        assert given[f"{place}.cracking_pressure"].value == 2e4
    assert find_problems(text) == []


def test_check_says_what_a_conductance_was_made_from() -> None:
    shown = describe_case(read_case_text(with_path('Qn = "2400 l/min", b = 0.25')))
    plain = " ".join(shown.split())
    assert "from Qn 2400 l/min (ANR), ISO 6358; scatter +-5 %" in plain
    assert "(typed from" not in plain
    stated = made('Qn = "2400 l/min", b = 0.3')
    filled = made('Qn = "2400 l/min"')
    assert filled.value == stated.value
    # With b 0.5 in place of 0.3 the formula gives 14 % less.
    other = float(made('Qn = "2400 l/min", b = 0.5').value)
    assert 1.0 - other / float(stated.value) == pytest.approx(flow_data.SCATTER_WITHOUT_B, abs=5e-3)
    assert "+-14 %" in filled.text and "+-5 %" in stated.text
    assert "ideal nozzle times 0.7; scatter +-20 %" in made('bore = "6 mm"').text


def test_a_tolerance_goes_into_the_conductance() -> None:
    """A hole's area grows with the square of its bore."""
    flow = made('Qn = "2400 l/min +- 5 %"')
    assert flow.tolerance == pytest.approx(0.05 * float(flow.value))
    hole = made('bore = "5 mm +- 0.1 mm"')
    assert hole.tolerance == pytest.approx(0.04 * float(hole.value))


def test_a_study_may_vary_what_the_catalogue_prints() -> None:
    case = read_case_text(with_path('Qn = "2400 l/min"'))
    more = set_value(case, "valve.exhaust_path.Qn", "4800 l/min")
    assert more.machine.valve.exhaust_path.sonic == pytest.approx(
        2.0 * case.machine.valve.exhaust_path.sonic, rel=1e-9
    )


@pytest.mark.parametrize(
    "entries, names",
    [
        ('C = "5 dm3/(s bar)", Qn = "1300 L/min"', ["flow-twice"]),
        ('Qn = "1300 L/min", Kv = "1 m3/h", Cv = 1.2', ["flow-twice"] * 2),
        ("b = 0.3", ["key-missing"]),
        ('Qn = "1300 L/min", discharge_coefficient = 0.7', ["flow-idle"]),
        ('C = "5 dm3/(s bar)", reference_atmosphere = "ANR"', ["flow-idle"]),
        ('Qn = "1300 L/min", reference_atmosphere = "DIN"', ["word-unknown"]),
        ('Qn = "1300 Nl/min"', ["unit-unknown"]),
        ('Qn = "46 SCFM"', ["unit-unknown"]),
        ('Qn = "2 g/s"', ["unit-dimension"]),
        ("Qn = 1300", ["unit-missing"]),
        ('Kv = "1 ft3/min"', ["unit-dimension"]),
        ('Cv = "1 m3/h"', ["unit-dimension"]),
        ('bore = "0 mm"', ["value-not-positive"]),
        ('Qn = "1300 L/min", QN = "1300 L/min"', ["key-unknown"]),
        ('QN = "1300 L/min"', ["key-unknown"]),
        ('bore = "99 mm", discharge_coefficient = 1.0', ["value-range"]),
    ],
)
def test_what_is_given_twice_or_wrongly_is_told_once(entries: str, names: list[str]) -> None:
    found = find_problems(with_path(entries))
    assert [problem.name for problem in found] == names


def test_normal_litres_are_told_with_their_atmosphere() -> None:
    """9 % lie between a normal litre and one of ISO 8778."""
    (problem,) = find_problems(with_path('Qn = "1300 Nl/min"'))
    assert '"1300 L/min"' in problem.fix and '"DIN 1343"' in problem.fix
    (problem,) = find_problems(with_path('Qn = "46 SCFM"'))
    assert '"46 cfm"' in problem.fix and '"ANR"' in problem.fix


def test_a_valve_too_wide_is_told_at_the_entry_that_stands() -> None:
    wide = 'delivery = { bore = "40 mm", discharge_coefficient = 0.9 }'
    text = re.sub(PLACES["stage.first.delivery"], wide, FULL, count=1)
    (problem,) = find_problems(text)
    assert problem.name == "valve-wide" and problem.path == "stage.first.delivery.bore"


def test_editors_are_told_that_one_way_stands() -> None:
    schema = json.loads(make_text())["properties"]
    path = schema["valve"]["properties"]["exhaust_path"]
    assert {rule["required"][0] for rule in path["oneOf"]} == {"C", "Qn", "Kv", "Cv", "bore"}
    assert "C" not in path["required"]
    inlet = schema["stage"]["items"]["properties"]["inlet"]
    assert len(inlet["oneOf"]) == 6


def test_a_compressor_is_read_as_free_air() -> None:
    """ISO 1217 counts at the inlet: here 400 L/min of air of 20 degC and 1.01325 bar (CoolProp)."""
    rho = PropsSI("D", "T", 293.15, "P", 101325.0, "Air")
    supply = read_case_text(FULL).machine.supply
    assert supply.capacity == pytest.approx(400 * LITRE_MIN * rho, rel=1e-3)
    without = FULL.replace('capacity = "400 L/min"', "")
    assert read_case_text(without).machine.supply.capacity is None
