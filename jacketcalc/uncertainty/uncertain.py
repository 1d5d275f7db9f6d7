"""The uncertain inputs of a case: every number with its distribution, and the laws' factors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jacketcalc.arrays import Array
from jacketcalc.casefile.describe import field_at
from jacketcalc.input_paths import field_path, read_field, with_numbers
from jacketcalc.inputs import Case, Machine
from jacketcalc.quantities import read_quantity
from jacketcalc.quantity_problems import QuantityError
from jacketcalc.statistics.distributions import Distribution, values_at
from jacketcalc.statistics.factors import LogNormalFactor, LogRectangular
from jacketcalc.statistics.limited import Rectangular
from jacketcalc.statistics.within import within
from jacketcalc.uncertainty.spans import is_stated, spread

BOUND_BY_OTHERS = ("barrel_length", "piston_length", "gallery_width", "film_factor_low",
                   "film_factor_high")  # fmt: skip
"""Keys that follow from other sizes, or say a range themselves: not varied on their own."""
AMBIENT_PRESSURE = "ambient.pressure"
"""Path of what gauge pressures count from."""
FITTED = ("inlet_bore",)
"""Keys that are made to fit other sizes where they are filled in, and are then not varied [-]."""
OF_FILLS = ("volume", "from", "diameter", "surface", "wall_mass", "bath_temperature")
"""Keys of a receiver that a fill needs, and that move no running machine."""
JACKET_SCATTER = (0.8, 1.25)
"""95 % span of the factor on the jackets' heat transfer: laws in coils and annuli scatter by 15 to
25 % (records of the correlations) [-]."""
IN_CYLINDER = (0.67, 2.0)
"""Span of the factor on the in-cylinder law: its own scatter, and measured accumulators [-]."""


@dataclass(frozen=True, kw_only=True)
class UncertainInput:
    """One input that is not known exactly."""

    path: str
    """Dotted path of the case, or of a law's factor in `models` and `ambient`."""
    fields: tuple[str | int, ...]
    """Where it stands in the records of a machine."""
    dimension: str
    """Its dimension, of `jacketcalc.units`."""
    nominal: float
    """Value of the case [SI]."""
    distribution: Distribution
    origin: str
    """Where the distribution comes from."""
    assumed: bool
    """Whether the value itself is assumed."""
    gauge: bool = False
    """Whether the case states it as gauge pressure, which counts from ambient pressure."""

    @property
    def ends(self) -> tuple[float, float]:
        """Ends of its 95 % interval [SI]."""
        low, high = self.distribution.ppf([0.025, 0.975])
        return float(low), float(high)


def list_uncertain(case: Case) -> tuple[UncertainInput, ...]:
    """Return the uncertain inputs of a case, the factors of its laws first."""
    return (*_factors(case), *_numbers(case))


def _factors(case: Case) -> list[UncertainInput]:
    """Return the laws' factors; an uncertainty that the case states comes before their scatter."""
    models, ambient = case.machine.models, case.machine.ambient
    stated = {given.path: given for given in case.given if is_stated(given)}
    rows: list[tuple[str, str, float, Distribution, str]] = [
        ("models.in_cylinder_factor", "number", models.in_cylinder_factor,
         _scaled(IN_CYLINDER, models.in_cylinder_factor),
         "scatter of the gas-spring law; measured accumulators"),
        ("models.mixing", "ratio", models.mixing, Rectangular(low=0.0, high=1.0),
         "none to full"),
        ("models.jacket_factor", "number", models.jacket_factor,
         _scaled(JACKET_SCATTER, models.jacket_factor), "scatter of the correlations"),
        ("ambient.film_factor", "number", ambient.film_factor,
         LogRectangular(low=ambient.film_factor_low, high=ambient.film_factor_high),
         "still air to draughts"),
    ]  # fmt: skip
    found = []
    for path, dimension, value, law, origin in rows:
        known = stated.get(path)
        if known is not None:
            law, origin = spread(known, dimension)
        found.append(
            UncertainInput(
                path=path, fields=tuple(path.split(".")), dimension=dimension, nominal=value,
                distribution=_possible(path, law), origin=origin, assumed=known is None,
            )
        )  # fmt: skip
    return found


def _possible(path: str, law: Distribution) -> Distribution:
    """Return a distribution of which nothing leaves what a case may hold."""
    field = field_at(path)
    return within(law, field.low, field.high)


def _scaled(span: tuple[float, float], about: float) -> LogNormalFactor:
    return LogNormalFactor(low=span[0] * about, high=span[1] * about)


def _numbers(case: Case) -> list[UncertainInput]:
    found = []
    of_laws = {"models", "judge", "document"}
    for given in case.given:
        key = given.path.rpartition(".")[2]
        if given.path.partition(".")[0] in of_laws or key in BOUND_BY_OTHERS:
            continue
        if given.path.startswith("receiver.") and key in OF_FILLS:
            continue
        fields = field_path(case.machine, given.path)
        if fields is None or isinstance(given.value, str) or key == "film_factor":
            continue
        field = field_at(given.path)
        if field.kind != "quantity" or (given.assumed and key in FITTED):
            continue
        if read_field(case.machine, fields) == 0.0:
            continue
        law, origin = spread(given, field.dimension)
        found.append(
            UncertainInput(
                path=given.path, fields=fields, dimension=field.dimension,
                nominal=float(given.value), distribution=_possible(given.path, law), origin=origin,
                assumed=given.assumed or given.source == "assumed",
                gauge=field.dimension == "pressure" and _is_gauge(given.text),
            )
        )  # fmt: skip
    return found


def _is_gauge(text: str) -> bool:
    """Return whether a pressure as typed moves with ambient pressure."""
    try:
        low, high = (read_quantity(text, "pressure", ambient).value for ambient in (1e5, 2e5))
    except QuantityError:
        return False
    return low != high


def draw(inputs: Sequence[UncertainInput], points: Array) -> Array:
    """Return the inputs' values at points of the unit cube, of shape (points, inputs) [SI]."""
    return values_at([one.distribution for one in inputs], points)


def with_draw(machine: Machine, inputs: Sequence[UncertainInput], values: Array) -> Machine:
    """Return the machine with one row of drawn values.

    A gauge pressure is drawn as if ambient pressure were nominal, and moves with it.
    """
    each = list(zip(inputs, map(float, values), strict=True))
    shift = sum(value - one.nominal for one, value in each if one.path == AMBIENT_PRESSURE)
    numbers = {one.fields: value + (shift if one.gauge else 0.0) for one, value in each}
    return with_numbers(machine, numbers)
