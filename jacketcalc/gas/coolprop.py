"""The one door to CoolProp: single reference states of a gas, and the samples behind its table.

Of air the equation of state is Lemmon et al. (2000), transport is Lemmon and Jacobsen (2004), both
as CoolProp implements them for its fluid `Air`. CoolProp is imported at the first call, not before;
the main job never calls: it reads the samples from a file.
"""

from __future__ import annotations

import importlib
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from types import ModuleType
from typing import Any

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.gas.samples import QUANTITIES, Samples
from jacketcalc.gases import AIR, Fluid

SKIP_SATURATION_FITS = "COOLPROP_DISABLE_SUPERANCILLARIES_ENTIRELY"
"""Environment switch that cuts CoolProp's import from seconds to 0.2 s; gases need no such fits."""

_own = threading.local()
_loading = threading.Lock()
"""Two threads that send output to nowhere at once could not bring it back."""


@dataclass(frozen=True, kw_only=True)
class ReferenceState:
    """One state of a gas, straight from CoolProp."""

    density: float
    """Density [kg/m3]."""
    compressibility: float
    """Compressibility factor Z [-]."""
    enthalpy: float
    """Specific enthalpy, on CoolProp's datum [J/kg]."""
    entropy: float
    """Specific entropy, on CoolProp's datum [J/(kg K)]."""
    cp: float
    """Specific heat at constant pressure [J/(kg K)]."""
    cv: float
    """Specific heat at constant volume [J/(kg K)]."""
    sound_speed: float
    """Speed of sound [m/s]."""
    viscosity: float
    """Dynamic viscosity [Pa s]."""
    conductivity: float
    """Thermal conductivity [W/(m K)]."""


@cache
def load() -> ModuleType:
    """Import CoolProp, quickly and without the line it prints."""
    os.environ.setdefault(SKIP_SATURATION_FITS, "1")
    with _loading, _discarded_output():
        return importlib.import_module("CoolProp")


@contextmanager
def _discarded_output() -> Iterator[None]:
    """Send file descriptor 1 to nowhere: the line is printed by C++, past `sys.stdout`."""
    try:
        kept = os.dup(1)
    except OSError:  # a process without standard output has nothing to protect
        yield
        return
    try:
        with open(os.devnull, "w", encoding="ascii") as nowhere:
            os.dup2(nowhere.fileno(), 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)


def open_state(fluid: Fluid = AIR) -> Any:
    """Give a fresh state object for a gas; it must stay within one thread and cannot be pickled."""
    return load().AbstractState("HEOS", fluid.coolprop)


def _thread_state(fluid: Fluid = AIR) -> Any:
    """Give this thread's own state object of a gas."""
    held = _own.__dict__.setdefault("states", {})
    if fluid.name not in held:
        held[fluid.name] = open_state(fluid)
    return held[fluid.name]


def reference_state(temperature: float, pressure: float, fluid: Fluid = AIR) -> ReferenceState:
    """Evaluate one state of a gas.

    Parameters
    ----------
    temperature
        Temperature [K].
    pressure
        Absolute pressure [Pa].
    fluid
        The gas.
    """
    state = _thread_state(fluid)
    state.update(load().PT_INPUTS, pressure, temperature)
    return ReferenceState(
        density=state.rhomass(),
        compressibility=state.compressibility_factor(),
        enthalpy=state.hmass(),
        entropy=state.smass(),
        cp=state.cpmass(),
        cv=state.cvmass(),
        sound_speed=state.speed_sound(),
        viscosity=state.viscosity(),
        conductivity=state.conductivity(),
    )


def reference_transport(temperature: float, molar_density: float) -> tuple[float, float]:
    """Evaluate viscosity [Pa s] and conductivity [W/(m K)] of air at a given density.

    Parameters
    ----------
    temperature
        Temperature [K].
    molar_density
        Amount of substance per volume [mol/m3].
    """
    state = _thread_state()
    state.update(load().DmolarT_INPUTS, molar_density, temperature)
    return state.viscosity(), state.conductivity()


def sample(fluid: Fluid, temperatures: Array, pressures: Array) -> Samples:
    """Evaluate a gas at every pair of a temperature and a pressure.

    Parameters
    ----------
    fluid
        The gas.
    temperatures
        Temperatures, shape (m,) [K].
    pressures
        Absolute pressures, shape (n,) [Pa].
    """
    library = load()
    state = open_state(fluid)
    update, pair = state.update, library.PT_INPUTS
    first, second = state.first_partial_deriv, state.second_partial_deriv
    T, p, rho, h = library.iT, library.iP, library.iDmass, library.iHmass
    rows = []
    for temperature in temperatures.tolist():
        for pressure in pressures.tolist():
            update(pair, pressure, temperature)
            rows.append(
                (
                    state.rhomass(),
                    first(rho, T, p),
                    first(rho, p, T),
                    second(rho, T, p, p, T),
                    state.hmass(),
                    state.cpmass(),
                    first(h, p, T),
                    second(h, T, p, p, T),
                    state.viscosity(),
                    state.conductivity(),
                )
            )
    columns = np.array(rows).T.reshape(len(QUANTITIES), temperatures.size, pressures.size)
    return Samples(**dict(zip(QUANTITIES, columns, strict=True)))
