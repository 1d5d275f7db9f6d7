"""The cheapest way to know an input better: common practice of the bench, no source."""

from __future__ import annotations

from jacketcalc.uncertainty.uncertain import UncertainInput

_BY_PATH = (
    ("in_cylinder_factor", "thermocouple in the discharge, beside the cycle time"),
    ("mixing", "thermocouple in the discharge, with and without jackets"),
    ("jacket_factor", "thermometer at jacket inlet and outlet"),
    ("film_factor", "surface thermometer on the barrel without jackets"),
    ("supply_path", "stop-watch: cycle time without load; or the valve's catalogue"),
    ("exhaust_path", "stop-watch: cycle time without load; or the valve's catalogue"),
    ("supply.line", "gauge at the valve while the machine runs"),
    ("supply.pressure", "gauge at the valve while the machine runs"),
    ("receiver.pressure", "gauge at the receiver"),
    ("dew_point", "dew-point meter, or the dryer's data sheet"),
    ("switching_time", "slow-motion video of a stroke end"),
    ("friction", "spring scale: pull the rod with no pressure"),
    ("seal_friction", "spring scale: pull the rod under pressure"),
    ("moving_mass", "weigh piston and rod"),
    ("clearance", "feeler or plasticine at the end of the stroke; or fill with oil"),
    ("dead_volume", "fill with oil and measure it"),
    ("tip_clearance", "feeler gauge before the shell is fitted"),
    ("heat_loss", "thermometer at both ends of the line"),
    ("flange_conductance", "two surface thermometers across the flange"),
    ("fitting_loss", "the fittings' catalogue"),
    ("cracking_pressure", "slow rise of pressure until the valve passes air"),
    ("inlet.C", "the valve's drawing: seat area"),
    ("delivery.C", "the valve's drawing: seat area"),
    ("silencer", "the silencer's catalogue; gauge before it"),
    ("temperature", "thermometer"),
)
_BY_DIMENSION = {
    "length": "calliper",
    "volume": "fill with water and measure it",
    "pressure": "gauge",
    "time": "stop-watch",
    "conductivity": "the material's data sheet",
}


def way_to_know(one: UncertainInput) -> str:
    """Return the cheapest way to know an input better."""
    for part, words in _BY_PATH:
        if part in one.path:
            return words
    return _BY_DIMENSION.get(one.dimension, "the maker's data sheet")
