"""Catalogue of correlations: every coefficient with its source, range and scatter."""

from __future__ import annotations

from jacketcalc.correlations.cylinder import (
    adair,
    annand,
    drive_eichelberg,
    gas_spring,
    gas_spring_loss,
    jet_stirred,
    lee_exact,
    natural_convection,
)
from jacketcalc.correlations.friction import friction_factor, tube_friction_factor
from jacketcalc.correlations.heat import entrance_factor, nusselt, property_ratio, tube_nusselt
from jacketcalc.correlations.outside import (
    cylinder_resistance,
    fin_efficiency,
    gap_radiation,
    horizontal_cylinder,
    radiation,
)
from jacketcalc.correlations.passage import critical_reynolds
from jacketcalc.correlations.record import Correlation, catalogue, range_notes
from jacketcalc.correlations.records import CLOSURE_RECORDS

__all__ = [
    "CLOSURE_RECORDS",
    "Correlation",
    "adair",
    "annand",
    "catalogue",
    "critical_reynolds",
    "cylinder_resistance",
    "drive_eichelberg",
    "entrance_factor",
    "fin_efficiency",
    "friction_factor",
    "gap_radiation",
    "gas_spring",
    "gas_spring_loss",
    "horizontal_cylinder",
    "jet_stirred",
    "lee_exact",
    "natural_convection",
    "nusselt",
    "property_ratio",
    "radiation",
    "range_notes",
    "tube_friction_factor",
    "tube_nusselt",
]
