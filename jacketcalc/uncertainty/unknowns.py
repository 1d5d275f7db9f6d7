"""What a bench may find out: the unknowns that explain readings, each with its prior."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from jacketcalc.arrays import Array
from jacketcalc.input_paths import read_field, with_numbers
from jacketcalc.inputs import Machine
from jacketcalc.statistics.distributions import Distribution
from jacketcalc.statistics.factors import LogNormalFactor, LogRectangular, within_factor
from jacketcalc.statistics.limited import Rectangular
from jacketcalc.statistics.normals import Normal
from jacketcalc.uncertainty.uncertain import IN_CYLINDER, JACKET_SCATTER

VALVE_FACTOR = 1.25
"""Factor within which a control valve's C lies about what is stated (95 %); practice [-]."""
SAG = 0.08
"""Standard uncertainty of the supply pressure at the valve as a share; practice, no source [-]."""
TIME_FACTOR, FRICTION_FACTOR = 2.5, 2.5
"""Factors within which switching time and friction lie (95 %); practice, no source [-]."""


@dataclass(frozen=True, kw_only=True)
class Unknown:
    """One thing that readings may explain, as a factor or a value in the records of a machine."""

    name: str
    """In words."""
    paths: tuple[tuple[str | int, ...], ...]
    """Fields that it sets."""
    keys: tuple[str, ...]
    """The same as dotted paths of a case."""
    factor: bool
    """Whether it multiplies what the case states; else it is the value itself."""
    prior: Distribution
    """Of the factor or of the value."""
    dimension: str = "number"
    """Of the value, or of a factor."""

    def value(self, z: float) -> float:
        """Return the factor or value at so many prior standard deviations from the median [-]."""
        return float(self.prior.ppf(float(np.clip(ndtr(z), 1e-9, 1.0 - 1e-9))))

    def straight(self, z: Array) -> Array:
        """Return it evenly from limit to limit where it has limits, of variance 1 [-].

        Parameters
        ----------
        z : prior standard deviations from the median [-]
        """
        if isinstance(self.prior, (Rectangular, LogRectangular)):
            even: Array = math.sqrt(12.0) * (ndtr(z) - 0.5)
            return even
        return z

    def set_in(self, machine: Machine, value: float) -> dict[tuple[str | int, ...], float]:
        """Return the numbers of a machine that it sets [SI]."""
        return {
            path: value * float(read_field(machine, path)) if self.factor else value
            for path in self.paths
        }


def list_unknowns(machine: Machine) -> tuple[Unknown, ...]:
    """Return what a bench may find out of a machine."""
    models, ambient = machine.models, machine.ambient

    def of(name: str, *keys: str, prior: Distribution, factor: bool = True) -> Unknown:
        paths = tuple(tuple(key.replace(".C", ".sonic").split(".")) for key in keys)
        return Unknown(name=name, paths=paths, keys=keys, factor=factor, prior=prior)

    return (
        of("valve C", "valve.supply_path.C", "valve.exhaust_path.C",
           prior=within_factor(VALVE_FACTOR)),
        of("supply sag", "supply.pressure", prior=Normal(mean=1.0, standard_uncertainty=SAG)),
        of("switching time", "valve.switching_time", prior=within_factor(TIME_FACTOR)),
        of("friction", "drive.friction", "drive.friction_share",
           prior=within_factor(FRICTION_FACTOR)),
        of("in-cylinder mixing", "models.mixing", prior=Rectangular(low=0.0, high=1.0),
           factor=False),
        of("in-cylinder factor", "models.in_cylinder_factor",
           prior=_about(IN_CYLINDER, models.in_cylinder_factor), factor=False),
        of("jacket factor", "models.jacket_factor",
           prior=_about(JACKET_SCATTER, models.jacket_factor), factor=False),
        of("film factor", "ambient.film_factor",
           prior=LogRectangular(low=ambient.film_factor_low, high=ambient.film_factor_high),
           factor=False),
    )  # fmt: skip


def _about(span: tuple[float, float], centre: float) -> LogNormalFactor:
    return LogNormalFactor(low=span[0] * centre, high=span[1] * centre)


def with_unknowns(machine: Machine, unknowns: Sequence[Unknown], z: Array) -> Machine:
    """Return a machine with its unknowns at so many prior standard deviations [-]."""
    values: dict[tuple[str | int, ...], float] = {}
    for one, at in zip(unknowns, z.tolist(), strict=True):
        values |= one.set_in(machine, one.value(float(at)))
    return with_numbers(machine, values)
