"""The shipped samples of every gas: CoolProp again at every node, and faults of the file."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

import CoolProp
import numpy as np
import pytest

from jacketcalc.core.gas import core_air
from jacketcalc.errors import InstallationError
from jacketcalc.gas.make import made
from jacketcalc.gas.samples import HEADER, coolprop_version, read_samples, samples_file
from jacketcalc.gases import AIR, FLUIDS, Fluid

FILE = samples_file(AIR)
LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE = AIR.span.lowest_temperature, AIR.span.highest_temperature
LOWEST_PRESSURE, HIGHEST_PRESSURE = AIR.span.lowest_pressure, AIR.span.highest_pressure
EVERY = pytest.mark.parametrize("fluid", FLUIDS.values(), ids=list(FLUIDS))
"""Air and every other gas alike."""
ROUNDING = 1e-9
"""CoolProp finds density by iteration; another version or platform may stop elsewhere [-]."""


@EVERY
def test_every_node_is_coolprops(fluid: Fluid) -> None:
    """CoolProp's state object, not the package's door to it, at every node of the file."""
    grid, samples = read_samples(fluid)
    state = CoolProp.AbstractState("HEOS", fluid.coolprop)
    T_, p_, rho_, h_ = CoolProp.iT, CoolProp.iP, CoolProp.iDmass, CoolProp.iHmass
    first, second = state.first_partial_deriv, state.second_partial_deriv
    wanted = []
    for T in grid.temperatures:
        for p in grid.pressures:
            state.update(CoolProp.PT_INPUTS, p, T)
            wanted.append(
                [state.rhomass(), first(rho_, T_, p_), first(rho_, p_, T_),
                 second(rho_, T_, p_, p_, T_), state.hmass(), state.cpmass(), first(h_, p_, T_),
                 second(h_, T_, p_, p_, T_), state.viscosity(), state.conductivity()]
            )  # fmt: skip
    shape = (grid.temperatures.size, grid.pressures.size, 10)
    for (name, found), column in zip(
        asdict(samples).items(), np.moveaxis(np.reshape(wanted, shape), 2, 0), strict=True
    ):
        scale = np.max(np.abs(column), axis=0)
        assert np.max(np.abs(found - column) / scale) < ROUNDING, name


@EVERY
def test_the_nodes_span_the_range_and_little_more(fluid: Fluid) -> None:
    grid, span = read_samples(fluid)[0], fluid.span
    for nodes, low, high in (
        (grid.temperatures, span.lowest_temperature, span.highest_temperature),
        (grid.pressures, span.lowest_pressure, span.highest_pressure),
    ):
        assert nodes[0] < low < nodes[1] and nodes[-2] < high < nodes[-1]
        assert np.all(np.diff(nodes) > 0)


def head_of(content: bytes) -> dict[str, Any]:
    """What the head of a file of samples tells."""
    told: dict[str, Any] = json.loads(content[:HEADER])
    return told


@EVERY
def test_no_state_of_the_table_is_liquid_in_part(fluid: Fluid) -> None:
    """CoolProp's phase at every node; of air the hottest two-phase state is its reducing point."""
    state = CoolProp.AbstractState("HEOS", fluid.coolprop)
    assert fluid.critical == pytest.approx(state.keyed_output(CoolProp.iT_reducing), rel=1e-6)
    gas = {CoolProp.iphase_gas, CoolProp.iphase_supercritical, CoolProp.iphase_supercritical_gas}
    grid = read_samples(fluid)[0]
    if fluid.name != "carbon dioxide":
        assert fluid.critical < fluid.span.lowest_temperature
    for T in grid.temperatures:
        for p in grid.pressures[::4]:
            state.update(CoolProp.PT_INPUTS, p, T)
            assert state.phase() in gas, (T, p)


@EVERY
def test_the_range_lies_within_that_of_the_equation_of_state(fluid: Fluid) -> None:
    """Limits that CoolProp keeps with the equation; of air 59.75 to 2000 K, up to 2000 MPa."""
    state, span = CoolProp.AbstractState("HEOS", fluid.coolprop), fluid.span
    assert state.Tmin() < span.lowest_temperature < span.highest_temperature <= state.Tmax()
    assert state.pmax() >= span.highest_pressure


OUTSIDE = [(120.0, 1e5), (2400.0, 3e5), (300.0, 0.02e5), (300.0, 900e5), (120.0, 900e5)]
"""States beyond the table: T [K], p [Pa]."""


@pytest.mark.parametrize(("T", "p"), OUTSIDE)
def test_the_core_goes_on_from_coolprops_edge(T: float, p: float) -> None:
    """Beyond the table density goes with p/T and enthalpy with T, from CoolProp at the edge."""
    edge_T = min(max(T, LOWEST_TEMPERATURE), HIGHEST_TEMPERATURE)
    edge_p = min(max(p, LOWEST_PRESSURE), HIGHEST_PRESSURE)
    state = CoolProp.AbstractState("HEOS", "Air")
    state.update(CoolProp.PT_INPUTS, edge_p, edge_T)
    rho, h, _, _, cp, _, mu, k = core_air().state(T, p)
    assert rho == pytest.approx(state.rhomass() * edge_T / T * p / edge_p, rel=2e-6)
    assert h == pytest.approx(state.hmass() + state.cpmass() * (T - edge_T), abs=0.02 * edge_T)
    assert cp == pytest.approx(state.cpmass(), rel=5e-5)
    assert (mu, k) == pytest.approx((state.viscosity(), state.conductivity()), rel=5e-4)


def test_the_core_reads_coolprop_between_the_nodes() -> None:
    random = np.random.default_rng(8)
    state = CoolProp.AbstractState("HEOS", "Air")
    for T, p in zip(
        np.exp(random.uniform(np.log(140.0), np.log(2000.0), 500)),
        np.exp(random.uniform(np.log(0.1e5), np.log(700e5), 500)),
        strict=True,
    ):
        state.update(CoolProp.PT_INPUTS, p, T)
        rho, h, _, _, cp, _, mu, _ = core_air().state(T, p)
        assert rho == pytest.approx(state.rhomass(), rel=1e-6)
        assert h == pytest.approx(state.hmass(), abs=2e-7 * state.cpmass() * T)
        assert cp == pytest.approx(state.cpmass(), rel=3e-5)
        assert mu == pytest.approx(state.viscosity(), rel=2e-6)


@EVERY
def test_the_file_is_small_names_its_source_and_is_made_alike_each_time(fluid: Fluid) -> None:
    content, once = samples_file(fluid).read_bytes(), made(fluid)
    assert len(content) < 700_000
    assert head_of(content)["sha256"] == hashlib.sha256(content[HEADER:]).hexdigest()
    assert head_of(content)["CoolProp"] == coolprop_version(fluid)
    assert once == made(fluid)
    assert (len(once), head_of(once)["quantities"]) == (
        len(content),
        head_of(content)["quantities"],
    )


def other_grid(content: bytes) -> bytes:
    """The same numbers under a head that tells of another grid."""
    head = head_of(content)
    head["grid"]["x_rate"] *= 1.001
    return json.dumps(head).encode().ljust(HEADER) + content[HEADER:]


@pytest.mark.parametrize(
    ("broken", "words"),
    [
        (lambda content: content[:-8], "is damaged"),
        (lambda content: content[:5000] + b"\x01" + content[5001:], "is damaged"),
        (lambda content: b"", "is damaged"),
        (lambda content: b"[1]" + b" " * HEADER + content, "is damaged"),
        (other_grid, "was made for another grid"),
    ],
)
def test_a_broken_file_is_refused_with_the_cure(
    tmp_path: Path, broken: Callable[[bytes], bytes], words: str
) -> None:
    file = tmp_path / "air.samples"
    file.write_bytes(broken(FILE.read_bytes()))
    with pytest.raises(InstallationError, match=rf"{words}: .*python -m jacketcalc\.gas\.make"):
        read_samples(AIR, file)


def test_a_missing_file_is_refused_with_the_cure(tmp_path: Path) -> None:
    with pytest.raises(InstallationError, match=r"cannot be read \(No such file.*install"):
        read_samples(AIR, tmp_path / "none")
