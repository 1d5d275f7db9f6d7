"""The shipped samples of air: CoolProp again at every node, and faults of the file."""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

import CoolProp
import numpy as np
import pytest
from command_line import environment

from jacketcalc.casefile.template import make_template
from jacketcalc.errors import InstallationError
from jacketcalc.gas.cells import (
    HIGHEST_PRESSURE,
    HIGHEST_TEMPERATURE,
    LOWEST_PRESSURE,
    LOWEST_TEMPERATURE,
)
from jacketcalc.gas.make import made
from jacketcalc.gas.samples import FILE, HEADER, coolprop_version, read_samples

ROUNDING = 1e-9
"""CoolProp finds density by iteration; another version or platform may stop elsewhere [-]."""


def test_every_node_is_coolprops() -> None:
    """CoolProp's state object, not the package's door to it, at every node of the file."""
    grid, samples = read_samples()
    state = CoolProp.AbstractState("HEOS", "Air")
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


def test_the_nodes_span_the_range_and_little_more() -> None:
    grid = read_samples()[0]
    for nodes, low, high in (
        (grid.temperatures, LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE),
        (grid.pressures, LOWEST_PRESSURE, HIGHEST_PRESSURE),
    ):
        assert nodes[0] < low < nodes[1] and nodes[-2] < high < nodes[-1]
        assert np.all(np.diff(nodes) > 0)


def head_of(content: bytes) -> dict[str, Any]:
    """What the head of a file of samples tells."""
    told: dict[str, Any] = json.loads(content[:HEADER])
    return told


def test_the_file_is_small_names_its_source_and_is_made_alike_each_time() -> None:
    content, once = FILE.read_bytes(), made()
    assert len(content) < 700_000
    assert head_of(content)["sha256"] == hashlib.sha256(content[HEADER:]).hexdigest()
    assert head_of(content)["CoolProp"] == coolprop_version()
    assert once == made()
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
        read_samples(file)


def test_a_missing_file_is_refused_with_the_cure(tmp_path: Path) -> None:
    with pytest.raises(InstallationError, match=r"cannot be read \(No such file.*install"):
        read_samples(tmp_path / "none")


def test_the_main_job_never_imports_coolprop(tmp_path: Path) -> None:
    case = tmp_path / "case.toml"
    case.write_text(make_template())
    code = (
        "import sys; sys.modules['CoolProp'] = None; from jacketcalc.cli.main import main;"
        "sys.exit(main(['assess', 'case.toml']))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, env=environment(),
                          capture_output=True, text=True)  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "delivered air" in done.stdout
