"""The helical channel and the tube against libraries, tables and computations of our own."""

from __future__ import annotations

from typing import get_args

import fluids
import ht
import numpy as np
import pytest
from gas_dynamics.annulus_2009 import OF_2009, annulus
from printed import near

from jacketcalc.correlations import friction as fr
from jacketcalc.correlations import heat, laws
from jacketcalc.errors import RangeError
from jacketcalc.geometry import helix_curvature, hydraulic_diameter
from jacketcalc.inputs import Closure

pytestmark = pytest.mark.filterwarnings("error")

CLOSURES = get_args(Closure)
REYNOLDS = np.geomspace(50.0, 2e5, 30001)

# One jacket: cylinder 80 mm, gap 4, clear width 12, pitch 15 mm, Pr 0.71.
GAP, WIDTH, LEAD, BARREL = 4e-3, 12e-3, 15e-3, 80e-3
D_H = hydraulic_diameter(GAP, WIDTH)
D_C = helix_curvature(BARREL + GAP, LEAD)
RATIO = BARREL / (BARREL + 2 * GAP)
CURVE = D_H / D_C


def in_channel(
    d: float = CURVE, aspect: float = GAP / WIDTH, ratio: float = RATIO, roughness: float = 0.0
) -> laws.Channel:
    return laws.Channel(
        hydraulic_diameter=d, curvature_diameter=1.0, aspect=aspect, radius_ratio=ratio,
        roughness=roughness,
    )  # fmt: skip


JACKET = in_channel()


def channel(closure: str, Re: float, Pr: float = 0.71) -> float:
    """Nusselt number of that jacket, with the annulus form of 2009 that its tables have."""
    return float(laws.channel_nusselt(closure, JACKET, OF_2009).value(Re, Pr))


def friction_factor(Re: float, roughness: float = 0.0) -> float:
    return float(laws.channel_friction(in_channel(roughness=roughness)).value(Re))


def test_geometry() -> None:
    """VDI Heat Atlas form, read in the Modelica Standard Library: 84 mm, 15 mm -> 84.271 mm."""
    assert near("6.000") == D_H * 1e3
    assert near("84.271") == D_C * 1e3
    assert near("0.07120") == CURVE
    assert near("0.9091") == RATIO


# formulas of a library, by name: what its own documentation prints of them


def test_formulas_are_those_that_the_library_documents() -> None:
    """Examples in the docstrings of ht 1.2.0 and fluids 1.3.1."""
    assert heat.coil_mori_nakayama(2e5, 0.7, 0.01 / 0.2) == near("496.2522480663327")
    assert heat.coil_schmidt(2e5, 0.7, 0.01 / 0.2) == near("466.2569996832083")
    assert heat.coil_xin_ebadian(2e5, 0.7, 0.01 / 0.2) == near("474.11413424344755")
    assert heat.gnielinski(1e5, 1.2, 0.0185) == near("254.62682749359632")
    assert fr.coil_laminar(250.0, 0.02 / 0.1) == near("0.4063281817830202")
    assert fr.haaland(1e5, 1e-4) == near("0.018265053014793857")


@pytest.mark.parametrize("roughness", [0.0, 1e-4, 5e-3])
@pytest.mark.parametrize("Re", [5e3, 1e5, 2e6])
def test_tube_friction_keeps_its_scatter(Re: float, roughness: float) -> None:
    """Against Clamond's solution of Colebrook in fluids: 2 %."""
    ours = float(laws.tube_friction(roughness).value(Re))
    assert ours == fr.haaland(Re, roughness)
    assert -0.02 < ours / fluids.Clamond(Re, roughness) - 1 < 0.02


@pytest.mark.parametrize("Re", [3e4, 3e5])
def test_roughness_of_a_coil_is_that_of_a_tube(Re: float) -> None:
    """Against Clamond's solution of Colebrook: the scatter of Haaland's form, 2 %, twice."""
    for e in (1e-3, 1e-2):
        ratio = friction_factor(Re, e) / friction_factor(Re)
        clamond = fluids.Clamond(Re, e) / fluids.Clamond(Re, 0.0)
        assert ratio == pytest.approx(clamond, rel=0.04)


def test_critical_reynolds() -> None:
    """Docstring number of fluids 1.3.1, and the jacket above."""
    assert fr.critical_reynolds(1.0 / 7.0) == near("10540.0940617708")
    assert fr.critical_reynolds(CURVE) == near("8323.4")


# one jacket, all laws (computed for this project with ht 1.2.0; 0.1 %)

SPREAD = [
    (500, 8.71, 7.84, 4.50, 2.05, None, None),
    (1000, 11.72, 12.15, 7.75, 3.87, None, None),
    (2000, 16.51, 18.82, 13.38, 7.32, None, None),
    (5000, 27.50, 33.55, 27.58, 17.01, 14.68, 16.82),
    (10000, 42.48, 51.96, 47.72, 32.19, 25.60, 29.33),
    (22000, 79.85, 85.45, 89.12, 66.49, 46.97, 53.81),
    (50000, 153.43, 165.44, 170.91, 141.50, 87.92, 100.72),
]


@pytest.mark.parametrize(("Re", "vdi", "schmidt", "mori", "xin", "inner", "older"), SPREAD)
def test_spread_of_laws(
    Re: float,
    vdi: float,
    schmidt: float,
    mori: float,
    xin: float,
    inner: float | None,
    older: float | None,
) -> None:
    tolerance = {"rel": 1e-3, "abs": 0.005}
    assert channel("high", Re) == pytest.approx(vdi, **tolerance)
    assert heat.coil_mori_nakayama(Re, 0.71, CURVE) == pytest.approx(mori, **tolerance)
    assert heat.coil_xin_ebadian(Re, 0.71, CURVE) == pytest.approx(xin, **tolerance)
    if Re != heat.COIL_TURBULENT:
        assert heat.coil_schmidt(Re, 0.71, CURVE) == pytest.approx(schmidt, **tolerance)
    if inner and older:
        base = annulus(Re, 0.71, RATIO)
        assert base * heat.inner_wall_factor(RATIO) == pytest.approx(inner, **tolerance)
        assert base * heat.inner_wall_factor_1964(RATIO) == pytest.approx(older, **tolerance)


def test_schmidt_joins_its_two_ranges() -> None:
    """At 22 000 the library jumps; ours stands midway."""
    below = ht.helical_turbulent_Nu_Schmidt(22000.0, 0.71, D_H, D_C)
    above = ht.helical_turbulent_Nu_Schmidt(22000.001, 0.71, D_H, D_C)
    assert below == pytest.approx(85.45, abs=0.005)
    assert channel("schmidt", 22000.0) == pytest.approx((below + above) / 2, rel=1e-6)


# Friction of the same jacket, Darcy (computed for this project with fluids 1.3.1).
def test_friction_of_one_jacket() -> None:
    straight = fr.rectangle_constant(GAP / WIDTH) / 1000.0
    assert straight == near("0.0684")
    assert fr.coil_laminar(1000.0, CURVE) == near("0.1383")
    assert fr.coil_turbulent(1e4, CURVE) == near("0.0396")
    assert fr.coil_turbulent(5e4, CURVE) == near("0.0292")
    laminar = friction_factor(1000.0)
    assert laminar == pytest.approx(float(straight) * 0.1383 / 0.064, rel=2e-3)


def test_turbulent_friction_is_ito() -> None:
    """Ito 1959, Darcy, from memory: 0.03688 at Re 1e4, d 0.05; the VDI form lies 3 to 5 % above."""

    def ito(Re: float, d: float) -> float:
        return 0.304 * Re**-0.25 + 0.029 * d**0.5

    assert ito(1e4, 0.05) == near("0.03688")
    for Re, d in ((1e4, 0.05), (5e4, 0.02), (2e5, 0.1)):
        assert 1.03 < fr.coil_turbulent(Re, d) / ito(Re, d) < 1.05


def test_transition_stays_within_stated_scatter() -> None:
    """Between transition and twice that, the blend lies within 15 % of Ito's law."""
    Re = np.linspace(8400.0, 3e4, 200)
    ours = laws.channel_friction(JACKET).value(Re)
    assert np.abs(ours / fr.coil_turbulent(Re, CURVE) - 1.0).max() < 0.15


def test_rough_channel_costs_more() -> None:
    smooth, rough = friction_factor(4e4), friction_factor(4e4, 5e-3)
    expected = fluids.Haaland(4e4, 5e-3) / fluids.Haaland(4e4, 0.0)
    assert rough / smooth == pytest.approx(expected, rel=1e-12)


# laws the package owns

VDI_COIL = [
    (0.05, (500, 2000, 4000, 1e4, 2.2e4, 5e4), "8.27 15.21 21.95 39.20 76.50 146.0"),
    (0.10, (500, 2000, 4000, 1e4, 2.2e4, 5e4), "9.23 18.07 26.84 47.14 83.70 161.98"),
]


@pytest.mark.parametrize(("d", "reynolds", "printed"), VDI_COIL)
def test_coil_average(d: float, reynolds: tuple[float, ...], printed: str) -> None:
    """VDI Heat Atlas Gc1, read in the Modelica Standard Library; Pr 0.71."""
    for Re, text in zip(reynolds, printed.split(), strict=True):
        law = laws.channel_nusselt("high", in_channel(d=d))
        assert law.value(Re, 0.71) == near(text)


def test_coil_transition() -> None:
    """Same source: d 0.05 turns at 7437.6."""
    assert fr.critical_reynolds(0.05) == near("7437.6")


@pytest.mark.parametrize(
    ("Re", "base", "inner", "older"),
    [
        (1e4, "33.37", "25.48", "29.19"),
        (3e4, "77.53", "59.20", "67.81"),
        (1e5, "195.4", "149.2", "170.9"),
    ],
)
def test_annulus(Re: float, base: str, inner: str, older: str) -> None:
    """Gnielinski 2009 read in Lamarche's code; the 1964 factor from memory. a 0.9, Pr 0.7."""
    value = annulus(Re, 0.7, 0.9)
    assert value == near(base)
    assert value * heat.inner_wall_factor(0.9) == near(inner)
    assert value * heat.inner_wall_factor_1964(0.9) == near(older)


def test_annulus_of_another_program() -> None:
    """MOOSE, regression test ad_wall_htc_gnielinski_annular, inner wall: 5090.7825973763 W/(m2 K).

    Helium at 1073 K, 100 m/s in 10 and 15 mm over 0.5 m, wall 1 K warmer with exponent 0.15.
    """
    rho, k, mu, cp, Dh = 3.1176, 0.38220, 4.8587e-5, 5189.8, 5e-3
    nu = annulus(rho * 100.0 * Dh / mu, cp * mu / k, 10.0 / 15.0)
    nu *= heat.inner_wall_factor(10.0 / 15.0) * heat.entrance_factor(Dh, 0.5)
    assert nu * (1073.0 / 1074.0) ** 0.15 * k / Dh == pytest.approx(5090.7825973763, rel=1e-12)


def test_annulus_of_a_textbook() -> None:
    """Sachdeva, example 7.25: 31.25 in 50 mm, 30 m/s; naive h 122.3, one wall -18 and -6 %."""
    Re = 30.0 * 18.75e-3 / 15.9e-6
    naive = ht.turbulent_Dittus_Boelter(Re, 0.707)
    assert near("35377") == Re
    assert near("87.19") == naive
    assert naive * 0.0263 / 18.75e-3 == near("122.3")
    base = annulus(Re, 0.707, 0.625)
    assert base * heat.inner_wall_factor(0.625) == near("71.7")
    assert base * heat.inner_wall_factor_1964(0.625) == near("81.8")


@pytest.mark.parametrize(("Re", "friction"), [(1e4, "0.03451"), (3e4, "0.02567"), (1e5, "0.01938")])
def test_annulus_in_force_is_near_that_of_2009(Re: float, friction: str) -> None:
    """Friction as evaluated by hand from Lamarche's code; ht's form of 1976 on it, within 3 %."""
    assert fr.annulus_friction(Re, 0.9) == near(friction)
    assert heat.annulus_turbulent(Re, 0.7, 0.9) == pytest.approx(annulus(Re, 0.7, 0.9), rel=0.03)


@pytest.mark.parametrize(("Re", "one_side"), [(1e4, 27.8), (3e4, 61.2), (1e5, 155), (3e5, 380)])
def test_annulus_brackets_plates_heated_on_one_side(Re: float, one_side: float) -> None:
    """Kays and Leung 1963 for parallel plates, Pr 0.7, from memory."""
    base = annulus(Re, 0.7, 1.0)
    assert base * heat.inner_wall_factor(1.0) < one_side < base * heat.inner_wall_factor_1964(1.0)


@pytest.mark.parametrize(
    ("Re", "low", "high"),
    [(1e4, 25.2, 26.6), (3e4, 58.8, 60.7), (1e5, 154, 157), (3e5, 379, 382)],
)
def test_annulus_against_a_mixing_length_model(Re: float, low: float, high: float) -> None:
    """Plates heated on one side, Pr 0.7 (computed for this project); between the two forms."""
    base = float(annulus(Re, 0.7, 1.0))
    assert base * 0.75 < high
    assert base * 0.86 > low


# the closures

# Low, nominal, high (computed for this project).
RECOMMENDED = [
    (1000, "3.9", "8.0", "11.7"),
    (5000, "11.0", "13.4", "27.5"),
    (10000, "19.2", "23.3", "42.5"),
    (22000, "35.2", "42.8", "79.8"),
    (50000, "65.9", "80.2", "153.4"),
]


@pytest.mark.parametrize(("Re", "low", "nominal", "high"), RECOMMENDED)
def test_closures(Re: float, low: str, nominal: str, high: str) -> None:
    assert channel("low", Re) == near(low)
    assert channel("nominal", Re) == near(nominal)
    assert channel("high", Re) == near(high)


@pytest.mark.parametrize("Re", [500, 1000, 3000, 1e4, 5e4, 2e5])
def test_closures_keep_their_order(Re: float) -> None:
    assert channel("low", Re) < channel("nominal", Re) < channel("high", Re)


@pytest.mark.parametrize(("Re", "low", "high"), [(1e4, 1.35, 1.45), (5e4, 1.35, 1.45)])
def test_dittus_boelter_overstates_one_wall(Re: float, low: float, high: float) -> None:
    """Some +36 to +44 % over nominal (computed for this project)."""
    assert low < ht.turbulent_Dittus_Boelter(Re, 0.71) / channel("nominal", Re) < high


@pytest.mark.parametrize("closure", CLOSURES)
@pytest.mark.parametrize("d", [0.02, 0.0712, 0.14])
@pytest.mark.parametrize("aspect", [0.1, 0.4, 1.0, 2.5])
def test_nusselt_never_steps(closure: str, d: float, aspect: float) -> None:
    """No law of forced convection rises faster than Re to the power 1.1 here, nor falls.

    Gnielinski's form of 1976 goes with Re - 1000: below some 2300 it rises with that, and no more.
    """
    c, rise = in_channel(d, aspect, 0.9), np.diff(np.log(REYNOLDS))
    for own in (None, OF_2009):
        nu = laws.channel_nusselt(closure, c, own).value(REYNOLDS, 0.71)
        slope = np.diff(np.log(nu)) / rise
        assert slope.min() >= -1e-9
        offset = REYNOLDS[:-1] - 1000.0
        steep = own is None and closure in ("low", "nominal")
        most = np.where((offset > 0.0) & steep, 1.1 * REYNOLDS[:-1] / np.maximum(offset, 1.0), 1.1)
        assert np.all(slope < most)


@pytest.mark.parametrize("d", [1e-4, 0.02, 0.0712, 0.14, 0.2])
@pytest.mark.parametrize("aspect", [0.1, 0.4, 1.0, 2.5])
@pytest.mark.parametrize("roughness", [0.0, 0.01])
def test_friction_never_steps(d: float, aspect: float, roughness: float) -> None:
    """Pressure drop rises with flow, from the first power to less than the fourth."""
    law = laws.channel_friction(in_channel(d, aspect, roughness=roughness))
    f = law.value(REYNOLDS)
    slope = np.diff(np.log(f * REYNOLDS**2)) / np.diff(np.log(REYNOLDS))
    assert slope.min() > 0.99
    assert slope.max() < 4.0


@pytest.mark.parametrize("roughness", [0.0, 0.01])
def test_tube_never_steps(roughness: float) -> None:
    spread = np.diff(np.log(REYNOLDS))
    f = laws.tube_friction(roughness).value(REYNOLDS)
    nu = laws.tube_nusselt().value(REYNOLDS, 0.71)
    for curve in (f * REYNOLDS**2, nu):
        slope = np.diff(np.log(curve)) / spread
        assert slope.min() >= -1e-9
        assert slope.max() < 5.0


@pytest.mark.parametrize("closure", CLOSURES)
def test_aspect_one_is_no_step(closure: str) -> None:
    below, above = (
        laws.channel_nusselt(closure, in_channel(0.07, aspect, 0.9))
        for aspect in (1.0 - 1e-6, 1.0 + 1e-6)
    )
    for Re in (200.0, 2000.0, 2e4):
        assert below.value(Re, 0.71) == pytest.approx(above.value(Re, 0.71), rel=1e-5)


@pytest.mark.parametrize("closure", CLOSURES)
def test_extremes_give_numbers(closure: str) -> None:
    """Standing air, absent jackets and very tight or very slack coils."""
    Re = np.array([0.0, 1e-3, 1.0, 1e7])
    for d in (1e-9, 1e-3, 0.3):
        for aspect in (1e-3, 1.0, 1e3):
            c = in_channel(d, aspect, 0.999999, 1e-3)
            nu = laws.channel_nusselt(closure, c).value(Re, 0.71)
            f = laws.channel_friction(c).value(Re)
            assert nu.shape == f.shape == Re.shape
            assert np.all(np.isfinite(nu)) and np.all(nu > 0.0)
            assert np.all(np.isfinite(f)) and np.all(f > 0.0)


def test_unknown_closure_names_the_known_ones() -> None:
    with pytest.raises(RangeError, match=r"'coil'.*nominal"):
        laws.channel_nusselt("coil", JACKET)


def test_tube_nusselt_ends() -> None:
    """ht's laminar_T_const 3.66 below; its turbulent_Gnielinski on fluids' Haaland above."""
    law = laws.tube_nusselt()
    assert law.value(1000.0, 0.7) == ht.laminar_T_const()
    library = ht.turbulent_Gnielinski(5e4, 0.7, fluids.Haaland(5e4, 0.0))
    assert law.value(5e4, 0.7) == pytest.approx(library, rel=1e-12)


def test_property_ratio() -> None:
    """Kays and Gnielinski, exponent 0.45 (from memory): turbulent, gas heated, else 1."""
    assert heat.property_ratio(240.0, 300.0, 5e4) == pytest.approx(0.8**0.45)
    assert heat.property_ratio(240.0, 300.0, 1000.0) == 1.0
    assert heat.property_ratio(300.0, 240.0, 5e4) == 1.0
