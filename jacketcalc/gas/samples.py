"""CoolProp's values and slopes at the nodes of a gas's table, as they lie in a file.

A file such as `air.samples` is one line of JSON (what it holds, CoolProp's version, the grid,
SHA-256 of the rest), filled up with blanks to `HEADER` bytes, then the quantities of `Samples` in
their order, each m temperatures by n pressures, as little-endian doubles. `python -m
jacketcalc.gas.make` writes it; reading it needs numpy alone.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Any

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import InstallationError
from jacketcalc.gas.cells import Grid
from jacketcalc.gases import AIR, Fluid, Span

HEADER = 1024
"""Length of the head of the file [bytes]."""
NUMBERS = np.dtype("<f8")
"""How numbers are stored."""
SAME_GRID = 1e-9
"""Relative difference of a grid's numbers that another platform's logarithm can make [-]."""


def samples_file(fluid: Fluid) -> Path:
    """Return the file of samples that the package is shipped with."""
    return Path(__file__).with_name(f"{fluid.name.replace(' ', '_')}.samples")


@dataclass(frozen=True, kw_only=True)
class Samples:
    """A gas on a grid of m temperatures by n pressures; every array has shape (m, n)."""

    rho: Array
    """Density [kg/m3]."""
    rho_T: Array
    """Slope of density with temperature at constant pressure [kg/(m3 K)]."""
    rho_p: Array
    """Slope of density with pressure at constant temperature [kg/(m3 Pa)]."""
    rho_Tp: Array
    """Mixed second derivative of density [kg/(m3 K Pa)]."""
    h: Array
    """Specific enthalpy, on CoolProp's datum [J/kg]."""
    h_T: Array
    """Slope of enthalpy with temperature at constant pressure [J/(kg K)]."""
    h_p: Array
    """Slope of enthalpy with pressure at constant temperature [J/(kg Pa)]."""
    h_Tp: Array
    """Mixed second derivative of enthalpy [J/(kg K Pa)]."""
    mu: Array
    """Dynamic viscosity [Pa s]."""
    k: Array
    """Thermal conductivity [W/(m K)]."""


QUANTITIES = tuple(field.name for field in fields(Samples))
"""Names of the quantities, in the order of the file."""


def packed_samples(fluid: Fluid, grid: Grid, samples: Samples, version: str) -> bytes:
    """Return the content of a file of samples.

    Parameters
    ----------
    fluid
        The gas.
    grid
        Where the nodes lie.
    samples
        The gas at the nodes.
    version
        Version of CoolProp that they come from.
    """
    body = b"".join(
        np.asarray(getattr(samples, name), dtype=NUMBERS).tobytes() for name in QUANTITIES
    )
    head = {
        "content": f"{fluid.name} at the nodes of jacketcalc's table, SI, little-endian doubles",
        "CoolProp": version,
        "grid": asdict(grid),
        "quantities": QUANTITIES,
        "sha256": hashlib.sha256(body).hexdigest(),
    }
    return json.dumps(head).encode("ascii").ljust(HEADER - 1) + b"\n" + body


def read_samples(fluid: Fluid = AIR, file: Path | None = None) -> tuple[Grid, Samples]:
    """Read the grid and the samples of a gas, of the shipped file when None.

    Raises
    ------
    InstallationError
        When the file is missing, damaged or made for another grid.
    """
    file = file or samples_file(fluid)
    head, body = _halves(file)
    if hashlib.sha256(body).hexdigest() != head["sha256"]:
        raise _unfit(file, "is damaged")
    wanted = dict(_numbers(asdict(Grid.spanning(fluid.span))))
    found = dict(_numbers(head["grid"]))
    same = wanted.keys() == found.keys() and all(
        math.isclose(found[name], wanted[name], rel_tol=SAME_GRID) for name in wanted
    )
    if not same:
        raise _unfit(file, "was made for another grid")
    grid = Grid(**{**head["grid"], "span": Span(**head["grid"]["span"])})
    cells = grid.cold_cells + grid.span.hot_cells
    shape = (len(QUANTITIES), cells + 1, grid.span.pressure_cells + 1)
    numbers = np.frombuffer(body, dtype=NUMBERS).astype(float).reshape(shape)
    return grid, Samples(**dict(zip(QUANTITIES, numbers, strict=True)))


def coolprop_version(fluid: Fluid = AIR) -> str:
    """Return the version of CoolProp that a gas's samples were made with."""
    return str(_halves(samples_file(fluid))[0]["CoolProp"])


def _numbers(grid: Mapping[str, Any]) -> Iterator[tuple[str, float]]:
    """Every number of a grid and its span, by name."""
    for name, value in grid.items():
        if isinstance(value, dict):
            yield from _numbers(value)
        else:
            yield name, float(value)


def _halves(file: Path) -> tuple[dict[str, Any], bytes]:
    """Head and numbers of a file of samples."""
    try:
        content = file.read_bytes()
        head = json.loads(content[:HEADER])
        _ = head["CoolProp"], head["grid"], head["sha256"]
    except OSError as error:
        raise _unfit(file, f"cannot be read ({error.strerror})") from None
    except (ValueError, KeyError, TypeError):
        raise _unfit(file, "is damaged") from None
    return head, content[HEADER:]


def _unfit(file: Path, fault: str) -> InstallationError:
    return InstallationError(
        f"the table of {file.stem.replace('_', ' ')} ({file.name}) {fault}: install jacketcalc "
        "again, or in a source tree make it with `python -m jacketcalc.gas.make`"
    )
