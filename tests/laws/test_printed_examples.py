"""Correlations that the package takes from libraries give what the library's pages print.

A curvature is the ratio of the two diameters of the printed example: 0.01 and 0.2 make 0.05.
"""

from __future__ import annotations

import pytest

from jacketcalc.correlations.friction import coil_laminar, haaland
from jacketcalc.correlations.heat import (
    coil_mori_nakayama,
    coil_schmidt,
    coil_xin_ebadian,
    gnielinski,
)
from jacketcalc.correlations.outside import (
    crossflow_nusselt,
    cylinder_nusselt,
    cylinder_resistance,
    exchanger_effectiveness,
)


@pytest.mark.parametrize(
    ("found", "printed"),
    [
        (lambda: coil_mori_nakayama(2e5, 0.7, 0.01 / 0.2), "496.2522480663327"),
        (lambda: coil_schmidt(2e5, 0.7, 0.01 / 0.2), "466.2569996832083"),
        (lambda: coil_xin_ebadian(2e5, 0.7, 0.01 / 0.2), "474.11413424344755"),
        (lambda: gnielinski(1e5, 1.2, 0.0185), "254.62682749359632"),
        (lambda: cylinder_nusselt(2.63e9, 0.69), "139.13493970073597"),
        (lambda: crossflow_nusselt(6071.0, 0.7), "40.63708594124974"),
        (lambda: exchanger_effectiveness(5.0, 0.7), "0.920670368605"),
        (lambda: cylinder_resistance(0.9, 1.0, 20.0, 10.0), "8.38432343682705e-05"),
    ],
)
def test_heat_transfer(found, printed: str) -> None:  # type: ignore[no-untyped-def]
    """Docstrings of ht 1.2.0."""
    assert float(found()) == pytest.approx(float(printed), rel=1e-12)


def test_friction_of_a_laminar_coil() -> None:
    """Docstring of fluids 1.3.1, helical_laminar_fd_White: Re 250, 0.02 in 0.1."""
    assert float(coil_laminar(250.0, 0.02 / 0.1)) == pytest.approx(0.4063281817830202, rel=1e-12)


def test_friction_of_a_rough_tube() -> None:
    """Docstring of fluids 1.3.1, Haaland: Re 1e5, roughness 1e-4 of the bore."""
    assert float(haaland(1e5, 1e-4)) == pytest.approx(0.018265053014793857, rel=1e-12)
