"""The catalogue: every formula with its record, and what stands behind each closure."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from jacketcalc.arrays import Array
from jacketcalc.correlations import cylinder, friction, heat, moisture, outside, receiver
from jacketcalc.flow import iso6358
from jacketcalc.formula import Correlation, Formula, Range

FORMULAS: tuple[Formula[..., Any], ...] = (
    friction.rectangle_constant,
    friction.coil_laminar,
    friction.coil_turbulent,
    friction.critical_reynolds,
    friction.haaland,
    friction.annulus_friction,
    heat.one_wall_laminar,
    heat.curved_laminar,
    heat.annulus_turbulent,
    heat.inner_wall_factor,
    heat.inner_wall_factor_1964,
    heat.entrance_factor,
    heat.coil_average_laminar,
    heat.coil_average_turbulent,
    heat.coil_mori_nakayama,
    heat.coil_schmidt,
    heat.coil_xin_ebadian,
    heat.gnielinski,
    heat.property_ratio,
    cylinder.gas_spring,
    cylinder.lee_exact,
    cylinder.natural_convection,
    cylinder.jet_stirred,
    cylinder.adair,
    cylinder.annand,
    cylinder.drive_eichelberg,
    outside.cylinder_nusselt,
    outside.crossflow_nusselt,
    outside.exchanger_effectiveness,
    outside.radiation,
    outside.gap_exchange,
    outside.fin_efficiency,
    outside.cylinder_resistance,
    receiver.filling_nusselt,
    receiver.bath_coefficient,
    moisture.vapour_pressure_ice,
    moisture.vapour_pressure_water,
    moisture.enhancement_factor,
    iso6358.mass_flow,
    iso6358.tube_conductance,
)
"""Every formula that has a record; a test holds the list to the modules."""

RECORDS: tuple[Correlation, ...] = tuple(formula.record for formula in FORMULAS)
"""Every record of the catalogue."""

_INNER_WALL = (
    friction.annulus_friction,
    heat.annulus_turbulent,
    heat.inner_wall_factor,
)
_CLOSURES: dict[str, tuple[Formula[..., Any], ...]] = {
    "low": (heat.one_wall_laminar, *_INNER_WALL, heat.entrance_factor),
    "nominal": (
        heat.one_wall_laminar,
        heat.curved_laminar,
        *_INNER_WALL,
        heat.inner_wall_factor_1964,
        heat.entrance_factor,
    ),
    "high": (heat.coil_average_laminar, heat.coil_average_turbulent),
    "mori-nakayama": (heat.coil_mori_nakayama,),
    "schmidt": (heat.coil_schmidt,),
    "xin-ebadian": (heat.coil_xin_ebadian,),
}
CLOSURE_RECORDS: dict[str, tuple[str, ...]] = {
    closure: tuple(formula.record.name for formula in formulas)
    for closure, formulas in _CLOSURES.items()
}
"""Names of the correlations behind each jacket closure."""


def catalogue() -> dict[str, Correlation]:
    """Return every correlation by its name."""
    return {record.name: record for record in RECORDS}


def range_notes(name: str, **values: ArrayLike) -> list[str]:
    """Say where values leave a correlation's range.

    Parameters
    ----------
    name : name of a correlation in the catalogue
    values : arrays by the name of the variable, in the record's own units; a variable without
        a stated range is passed over

    Returns
    -------
    One sentence for each variable that leaves its range.

    Raises
    ------
    KeyError
        When no correlation has that name.
    """
    stated = catalogue()[name].variables_range
    notes = (
        _note(name, variable, np.asarray(value, dtype=float), stated[variable])
        for variable, value in values.items()
        if variable in stated
    )
    return [note for note in notes if note]


def _note(name: str, variable: str, value: Array, stated: Range) -> str:
    """Return a sentence about one variable, empty when it keeps its range."""
    outside = np.count_nonzero((value < stated[0]) | (value > stated[1]))
    if not outside:
        return ""
    low, high, least, most = map(_plain, (*stated, value.min(), value.max()))
    found = f"is {least}" if least == most else f"runs from {least} to {most}"
    part = f", {outside / value.size:.0%} of its values outside" if value.size > 1 else ""
    return f"{name}: {variable} {found}{part}; stated for {low} to {high}."


def _plain(value: float) -> str:
    """Write a number to four digits without a power of ten."""
    return str(np.format_float_positional(value, precision=4, fractional=False, trim="-"))
