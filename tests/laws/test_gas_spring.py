"""The heat law of a closed chamber against the exact loss of a gas spring."""

from __future__ import annotations

import numpy as np
import pytest
from ideal_gas import IdealGas
from printed import near
from sample import Array, single
from spring_theory import gas_spring_loss

from jacketcalc.core.parts import StrokeParts
from jacketcalc.core.tables import FINE_INTERVALS, fill_table
from jacketcalc.correlations import cylinder
from jacketcalc.designs import Design

PECLET = np.array([1.0, 10.0, 100.0, 1000.0, 10000.0])
T0, P0, SMALL, STEPS = 300.0, 1e5, 1e-5, 400
GAS = IdealGas()


def spring() -> StrokeParts:
    """A stage on the bench, without natural convection, which Lee's theory has none of."""
    parts = StrokeParts(Design(machine=single(1e5, 45e5, 32e-3)), gas=GAS)
    parts.record["cylinder"]["natural"] = 0.0
    return parts


def loss_of(parts: StrokeParts, peclet: float) -> float:
    """Work lost a cycle by a closed chamber of ideal gas under a stage's own heat law.

    Small sinusoidal compression at the frequency of a Peclet number; divided by
    p0 V0 (pressure amplitude / p0)^2.
    """
    face = np.pi / 4 * 32e-3**2
    V0, wetted = face * 0.06, 2 * face + np.pi * 32e-3 * 0.06
    rho = P0 / (GAS.R * T0)
    diffusivity = GAS.viscosity / GAS.prandtl / rho
    omega = peclet * 4 * diffusivity / (4 * V0 / wetted) ** 2
    capacity = rho * V0 * GAS.cp / GAS.gamma

    def rate(angle: float, T: float) -> float:
        V, dV = V0 * (1 + SMALL * np.cos(angle)), -V0 * SMALL * np.sin(angle)
        p = P0 * (T / T0) * (V0 / V)
        h, lead = parts.stage_law(
            0, 2 * np.pi / omega, p=p, T=T, volume=V, area=wetted, wall=T0
        )  # fmt: skip
        return float((-p * dV - h * wetted * (T - T0) / omega + lead * p * dV) / capacity)

    def cycle(T: float) -> tuple[float, float]:
        """Temperature after a cycle, and the loss."""
        excess, h = np.empty(STEPS), 2 * np.pi / STEPS
        angles = h * np.arange(STEPS)
        for i, a in enumerate(angles):
            excess[i] = P0 * (T / T0) / (1 + SMALL * np.cos(a)) - P0
            k1 = rate(a, T)
            k2 = rate(a + h / 2, T + h / 2 * k1)
            k3 = rate(a + h / 2, T + h / 2 * k2)
            T = T + h / 6 * (k1 + 2 * k2 + 2 * k3 + rate(a + h, T + h * k3))
        sine, cosine = (float(excess @ wave(angles)) * h for wave in (np.sin, np.cos))
        amplitude = np.hypot(sine, cosine) / np.pi / P0
        return T, float(abs(sine) * V0 * SMALL / (P0 * V0 * amplitude**2))

    # The chamber is linear at this amplitude: two cycles give the periodic start.
    apart = 0.01
    first, second = cycle(T0)[0], cycle(T0 + apart)[0]
    return cycle(T0 + (first - T0) / (1.0 - (second - first) / apart))[1]


def complex_loss(real: Array, imaginary: Array, peclets: Array, gamma: float) -> Array:
    """Loss of a chamber with Nusselt number real + i imaginary (Lee 1983, lumped)."""
    N = gamma * (real + 1j * imaginary) / peclets
    K = (gamma - 1j * N) / (1 - 1j * N)
    return np.asarray(np.pi * np.abs(K.imag) / np.abs(K) ** 2)


def test_gas_spring_with_the_exact_nusselt_number() -> None:
    """Lee's exact loss at Peclet 1 to 10 000: 0.07405, 0.37446, 0.12663, 0.04014 (gamma 1.4).

    The stages' heat law, phase lead included, is driven with Lee's Nusselt number.
    """
    parts = spring()
    laws = parts.record["cylinder"]
    laws["spring_floor"] = 0.0
    for place, name in enumerate(("spring_real", "spring_imaginary")):
        fill_table(laws[name], lambda pe: [cylinder.lee_exact(pe)[place]], 1e-2, 1e6,  # noqa: B023
                   FINE_INTERVALS)  # fmt: skip
    loss = [loss_of(parts, peclet) for peclet in PECLET]
    table = gas_spring_loss(PECLET[:4], 1.4)
    assert list(table) == [near("0.07405"), near("0.37446"), near("0.12663"), near("0.04014")]
    assert loss == pytest.approx(gas_spring_loss(PECLET, 1.4), rel=2e-4)


def test_gas_spring_as_shipped() -> None:
    """The measured law, lumped, gives its own complex loss; over Peclet 30 to 3000 near Lee's.

    Kornhauser and Smith's law meets the exact theory at Peclet 100 to 300 and is measured
    to lose more above: within 35 % here, and never more than the factor 2 outside it.
    """
    parts = spring()
    loss = np.array([loss_of(parts, peclet) for peclet in PECLET])
    real, imaginary = cylinder.gas_spring(PECLET)
    assert loss == pytest.approx(complex_loss(real, imaginary, PECLET, 1.4), rel=2e-4)
    ratio = loss / gas_spring_loss(PECLET, 1.4)
    assert ratio[2] == pytest.approx(1.0, abs=0.35)
    assert ratio.min() > 0.5 and ratio.max() < 3.0
