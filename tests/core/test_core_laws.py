"""Laws as the core tables and joins them against `Law.value`, which joins the formulas themselves.

The formulas are held to their sources in `test_correlations_*`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from jacketcalc.core.layout import blank
from jacketcalc.core.machine import pack_machine
from jacketcalc.core.parts import law_value
from jacketcalc.core.tables import fill_law
from jacketcalc.correlations import cylinder, laws, outside
from jacketcalc.correlations.records import CLOSURE_RECORDS
from jacketcalc.designs import Design, OwnLaws
from jacketcalc.verification.machines import bench_machine

TABLED = 2e-5
"""Most that a table may be off its law, relative [-]."""
LOWEST_RE, HIGHEST_RE = 1.0, 1e6
PRANDTL = (0.66, 0.78)
"""Air from 100 to 600 K up to 50 bar [-]."""
CHANNELS = [
    laws.Channel(
        hydraulic_diameter=12e-3, curvature_diameter=60e-3, aspect=0.3, radius_ratio=0.8,
        roughness=3e-4, entrance=1.05,
    ),
    laws.Channel(
        hydraulic_diameter=4e-3, curvature_diameter=90e-3, aspect=0.8, radius_ratio=0.93,
        roughness=0.0,
    ),
]  # fmt: skip
CLOSURES = list(CLOSURE_RECORDS)
Plain = Callable[[float, float], float]


def off(law: laws.Law, lowest: float = LOWEST_RE) -> float:
    """Largest relative difference at random places, and close to both sides of the joint."""
    record, random = blank("Law")[None], np.random.default_rng(11)
    fill_law(record[0], law)
    places = np.exp(random.uniform(np.log(lowest), np.log(HIGHEST_RE), 400))
    joints = np.outer([law.start, law.end], [1 - 1e-9, 1 + 1e-9, 0.99, 1.01]).ravel()
    inside = random.uniform(law.start, law.end, 40)
    Re = np.concatenate([places, joints, inside])
    Re = Re[(Re >= lowest) & (Re <= HIGHEST_RE)]
    Pr = random.uniform(*PRANDTL, len(Re))
    got = np.array([law_value(record, *at) for at in zip(Re, Pr, strict=True)])
    return float(np.abs(got / law.value(Re, Pr) - 1.0).max())


@pytest.mark.parametrize("c", CHANNELS)
def test_channel_friction(c: laws.Channel) -> None:
    """Above Dean number 45; about 11.6, where White's factor sets in like a power of 2.2, no
    cubic follows it: there it is within 5e-4.
    """
    law = laws.channel_friction(c)
    assert off(law, 45.0 / np.sqrt(c.curvature)) < TABLED
    assert off(law) < 5e-4


@pytest.mark.parametrize("closure", CLOSURES)
@pytest.mark.parametrize("c", CHANNELS)
def test_channel_nusselt(closure: str, c: laws.Channel) -> None:
    assert off(laws.channel_nusselt(closure, c)) < TABLED


@pytest.mark.parametrize("roughness", [0.0, 2e-4, 5e-3])
def test_tube_friction(roughness: float) -> None:
    assert off(laws.tube_friction(roughness)) < TABLED


@pytest.mark.parametrize("entrance", [1.0, 1.2])
def test_tube_nusselt(entrance: float) -> None:
    assert off(laws.tube_nusselt(entrance)) < TABLED


def tables_off(table: Any, low: float, high: float, plain: Plain) -> float:
    """Largest relative difference of a bare table over its argument."""
    record, random = blank("Law")[None], np.random.default_rng(12)
    record["slow"][0] = table
    places = np.exp(random.uniform(np.log(low), np.log(high), 400))
    return max(
        abs(law_value(record, x, Pr) / float(plain(x, Pr)) - 1.0)
        for x, Pr in zip(places, random.uniform(*PRANDTL, 400), strict=True)
    )


def test_film_round_a_cylinder() -> None:
    """Natural convection over the Grashof number, from a tube's to a large drive's."""
    film = pack_machine(Design(machine=bench_machine()))["film"]
    plain = lambda Gr, Pr: outside.cylinder_nusselt(Gr, Pr)  # noqa: E731
    assert tables_off(film, 1.0, 1e9, plain) < TABLED


def test_gas_spring() -> None:
    """Both parts of the complex Nusselt number over the Peclet number; the core floors the real."""
    laws_of = pack_machine(Design(machine=bench_machine()))["cylinder"]
    floor = float(laws_of["spring_floor"])
    real = lambda Pe, Pr: cylinder.gas_spring(Pe)[0]  # noqa: E731
    imaginary = lambda Pe, Pr: cylinder.gas_spring(Pe)[1]  # noqa: E731
    assert floor == real(1e-3, 0.7)
    lowest = (floor / cylinder.SPRING.coefficient) ** (1 / cylinder.SPRING.reynolds)
    assert tables_off(laws_of["spring_real"], lowest, 1e6, real) < TABLED
    assert tables_off(laws_of["spring_imaginary"], 1e-2, 1e6, imaginary) < TABLED


def test_law_of_a_users_own() -> None:
    """Any function of Reynolds and Prandtl number can be tabled."""
    own = OwnLaws(name="Sieder and Tate", nusselt=lambda Re, Pr: 0.027 * Re**0.8 * Pr ** (1 / 3))
    law = laws.channel_nusselt("nominal", CHANNELS[0], own)
    assert off(law) < TABLED
    assert law.value(3e4, 0.7) == pytest.approx(0.027 * 3e4**0.8 * 0.7 ** (1 / 3), rel=1e-12)
