"""Flow elements in series: one that stands for two, against both solved together."""

from __future__ import annotations

import pytest
from printed import near
from scipy.optimize import brentq

from jacketcalc.flow.iso6358 import REFERENCE_DENSITY, mass_flow, series, upstream_pressure

DM3_S_BAR = 1e-8
BAR = 1e5


# Interstage pressure solved by hand for this project, 7 to 1 bar.
@pytest.mark.parametrize(
    ("first", "second", "printed", "between"),
    [((5.0, 0.3), (3.0, 0.2), "2.674", "6.240"), ((3.0, 0.2), (5.0, 0.3), "2.712", "3.796")],
)
def test_two_elements_in_series(
    first: tuple[float, float], second: tuple[float, float], printed: str, between: str
) -> None:
    C, _ = series(first[0] * DM3_S_BAR, first[1], second[0] * DM3_S_BAR, second[1])
    assert near(printed) == C / DM3_S_BAR
    flow = mass_flow(C, 0.0, 7 * BAR, 0.0, 293.15)
    middle = upstream_pressure(second[0] * DM3_S_BAR, second[1], flow, 1 * BAR, 293.15)
    assert middle / BAR == near(between)


def test_series_mass_flow() -> None:
    C, b = series(5 * DM3_S_BAR, 0.3, 3 * DM3_S_BAR, 0.2)
    assert mass_flow(C, b, 7 * BAR, 1 * BAR, 293.15) == near("0.022184")


def test_rules_of_thumb_bracket_the_series() -> None:
    """Cubes and squares of 1/C, common practice, stand on either side of the exact 2.674."""
    C, _ = series(5.0, 0.3, 3.0, 0.2)
    assert near("2.572") == (5.0**-2 + 3.0**-2) ** (-1 / 2)
    assert (5.0**-3 + 3.0**-3) ** (-1 / 3) < 2.812
    assert 2.572 < C < 2.812


def test_first_element_may_choke_first() -> None:
    C, _ = series(1.0, 0.4, 5.0, 0.3)
    assert C == 1.0


@pytest.mark.parametrize("ratio", [0.2, 0.5, 1.0, 2.0, 5.0])
@pytest.mark.parametrize(("b1", "b2"), [(0.3, 0.3), (0.5, 0.2), (0.1, 0.5)])
def test_series_ellipse_stays_close_to_the_exact_flow(ratio: float, b1: float, b2: float) -> None:
    """Both elements solved together; an ellipse can't follow them better than some 2 %."""
    C2 = ratio * 1e-8
    C, b = series(1e-8, b1, C2, b2)

    def exact(p_down: float) -> float:
        def residual(middle: float) -> float:
            first = mass_flow(1e-8, b1, 7e5, middle, 293.15)
            return float(first - mass_flow(C2, b2, middle, p_down, 293.15))

        return float(mass_flow(1e-8, b1, 7e5, brentq(residual, p_down, 7e5), 293.15))

    for p_down in (0.5e5, 2e5, 4e5, 5.5e5, 6.5e5):
        fitted = float(mass_flow(C, b, 7e5, p_down, 293.15))
        assert abs(fitted - exact(p_down)) < 0.02 * float(C) * 7e5 * REFERENCE_DENSITY
