"""Wall, tube, shell and seal materials: commonly published values, each with its source.

They are editable defaults: a case may state its own in `[materials.NAME]`. Conductivity is
at ambient temperature. Emissivity is for the surface as usually delivered, and is the least
certain column.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from jacketcalc.inputs import Solid
from jacketcalc.units import tidy

_ZERO = 273.15
"""Zero of the Celsius scale [K]."""
_MEMORY = "from memory"
_SEALS = "public seal maker tables, read; they differ among themselves"
_CRAWFORD = "Crawford, Plastics Engineering, Table 1.8, read"
_EMISSIVITY = "from memory; usual handbook value for the surface as delivered"
_CALLISTER = "Callister, Fundamentals of Materials Science and Engineering, 3rd ed., Table B.4"
_DOWLING = "Dowling, Mechanical Behavior of Materials, Table 4.3, nylon 6, dry, read"
_MEGA = 1e6
"""Pascal in a megapascal [Pa]."""


@dataclass(frozen=True, kw_only=True)
class Material:
    """A material of the built-in table and where its values come from."""

    solid: Solid
    """The values."""
    kind: str
    """metal, plastic, composite or seal."""
    conductivity_source: str
    """Source of the conductivity."""
    service_source: str
    """Source of the service temperature range."""
    storage_source: str = ""
    """Source of density and specific heat."""
    emissivity_source: str = _EMISSIVITY
    """Source of the emissivity."""
    proof: tuple[float, float] | None = None
    """Proof or yield stress of the softest and the hardest usual condition, 20 degC [Pa]."""
    proof_source: str = ""
    """Source of that range and its conditions; empty where there is none."""

    @property
    def origin(self) -> str:
        """How the values that are computed with reached this project, in words."""
        sources = {
            "conductivity": self.conductivity_source,
            "service range": self.service_source,
            "emissivity": self.emissivity_source,
        }
        read = [name for name, source in sources.items() if _MEMORY not in source]
        if not read:
            return _MEMORY
        rest = "" if len(read) == len(sources) else ", rest " + _MEMORY
        return f"{' and '.join(read)} read{rest}"


def _material(
    name: str,
    kind: str,
    conductivity: float,
    emissivity: float,
    service: tuple[float, float],
    conductivity_source: str = _MEMORY,
    service_source: str = _MEMORY,
) -> Material:
    """Make a record; the service range is in degC."""
    solid = Solid(
        name=name,
        conductivity=conductivity,
        emissivity=emissivity,
        lowest=tidy(service[0] + _ZERO),
        highest=tidy(service[1] + _ZERO),
    )
    return Material(
        solid=solid,
        kind=kind,
        conductivity_source=conductivity_source,
        service_source=service_source,
    )


_TABLE = (
    _material("stainless 304", "metal", 16.2, 0.3, (-196.0, 800.0)),
    _material("stainless 316", "metal", 16.3, 0.3, (-196.0, 800.0)),
    _material("stainless 17-4PH", "metal", 18.3, 0.3, (-40.0, 300.0)),
    _material("aluminium 6061", "metal", 167.0, 0.1, (-196.0, 150.0)),
    _material("aluminium 6061 anodised", "metal", 167.0, 0.8, (-196.0, 150.0)),
    _material("carbon steel", "metal", 50.0, 0.8, (-20.0, 400.0)),
    _material("brass", "metal", 115.0, 0.2, (-196.0, 200.0)),
    _material("POM", "plastic", 0.31, 0.9, (-40.0, 90.0), _CRAWFORD, _CRAWFORD),
    _material("PA12", "plastic", 0.24, 0.9, (-40.0, 80.0)),
    _material(
        "PA6",
        "plastic",
        0.26,
        0.9,
        (-40.0, 80.0),
        "public plastics data sheet, 0.24 to 0.28, read",
        "public plastics data sheet, read; the lower end of its range is used",
    ),
    _material("PU", "plastic", 0.20, 0.9, (-35.0, 60.0)),
    _material("PE", "plastic", 0.33, 0.9, (-40.0, 60.0)),
    _material(
        "PTFE",
        "seal",
        0.25,
        0.9,
        (-200.0, 260.0),
        "Springer Handbook of Materials Data, 3.3-13, 0.25 at 20 degC, read",
        "Springer Handbook of Materials Data, 3.3-13, and public supplier tables, read",
    ),
    _material("UHMWPE", "seal", 0.41, 0.9, (-200.0, 80.0)),
    _material("NBR", "seal", 0.25, 0.9, (-30.0, 100.0), _MEMORY, _SEALS),
    _material("HNBR", "seal", 0.25, 0.9, (-30.0, 150.0), _MEMORY, _SEALS),
    _material("FKM", "seal", 0.22, 0.9, (-20.0, 200.0), _MEMORY, _SEALS),
    _material("PU seal", "seal", 0.20, 0.9, (-30.0, 80.0), _MEMORY, _SEALS),
    _material("glass-fibre epoxy", "composite", 0.35, 0.9, (-60.0, 120.0)),
    _material("PVC", "plastic", 0.17, 0.9, (-10.0, 60.0)),
)

_STAINLESS = "annealed to cold drawn; ASTM A240 and " + _CALLISTER + ", from memory"
_ALUMINIUM = "O to T6; " + _CALLISTER + ", read"
_PROOF: dict[str, tuple[float, float, str]] = {
    "stainless 304": (205.0, 310.0, _STAINLESS),
    "stainless 316": (205.0, 310.0, _STAINLESS),
    "stainless 17-4PH": (520.0, 1170.0, "H1150-M to H900; ASTM A564, from memory"),
    "aluminium 6061": (55.0, 276.0, _ALUMINIUM),
    "aluminium 6061 anodised": (55.0, 276.0, _ALUMINIUM),
    "carbon steel": (210.0, 350.0, "1020, hot rolled to cold drawn; " + _CALLISTER + ", read"),
    "brass": (75.0, 435.0, "70/30, annealed to cold drawn; " + _CALLISTER + ", from memory"),
    "POM": (60.0, 70.0, _MEMORY),
    "PA12": (25.0, 50.0, "plasticised tube to rigid; " + _MEMORY),
    "PA6": (45.0, 90.0, "moist, from memory, to dry; " + _DOWLING),
    "PU": (25.0, 55.0, "tensile strength, since it has no yield point; " + _MEMORY),
    "PE": (9.0, 33.0, "low to high density; " + _CALLISTER + ", from memory"),
    "PVC": (40.7, 44.8, _CALLISTER + ", read"),
    "glass-fibre epoxy": (40.0, 300.0, "across to along the fibres of cloth; " + _MEMORY),
}
"""Proof stress of the usual conditions [MPa], and where it comes from."""


def _with_proof(entry: Material) -> Material:
    """Return a record with its range of proof stress, where one is known."""
    if entry.solid.name not in _PROOF:
        return entry
    low, high, source = _PROOF[entry.solid.name]
    return replace(entry, proof=(low * _MEGA, high * _MEGA), proof_source=source)


_STORED = "Callister, Tables B.1 and B.8, from memory"
_STORAGE: dict[str, tuple[float, float, str]] = {
    "stainless 304": (8000.0, 500.0, _STORED),
    "stainless 316": (8000.0, 500.0, _STORED),
    "stainless 17-4PH": (7750.0, 460.0, _STORED),
    "aluminium 6061": (2700.0, 896.0, _STORED),
    "aluminium 6061 anodised": (2700.0, 896.0, _STORED),
    "carbon steel": (7850.0, 486.0, _STORED),
    "brass": (8530.0, 375.0, _STORED),
    "POM": (1410.0, 1470.0, _MEMORY),
    "PA12": (1010.0, 1700.0, _MEMORY),
    "PA6": (1140.0, 1670.0, _STORED),
    "PU": (1200.0, 1800.0, _MEMORY),
    "PE": (950.0, 1850.0, _STORED),
    "PTFE": (2170.0, 1050.0, _STORED),
    "UHMWPE": (940.0, 1850.0, _MEMORY),
    "NBR": (1200.0, 1900.0, _MEMORY),
    "HNBR": (1200.0, 1900.0, _MEMORY),
    "FKM": (1850.0, 1000.0, _MEMORY),
    "PU seal": (1200.0, 1800.0, _MEMORY),
    "glass-fibre epoxy": (1850.0, 1000.0, _MEMORY),
    "PVC": (1400.0, 1050.0, _STORED),
}
"""Density [kg/m3] and specific heat [J/(kg K)] at ambient temperature, and where they are from."""


def _with_storage(entry: Material) -> Material:
    """Return a record with density and specific heat."""
    density, specific_heat, source = _STORAGE[entry.solid.name]
    solid = replace(entry.solid, density=density, specific_heat=specific_heat)
    return replace(entry, solid=solid, storage_source=source)


MATERIALS: dict[str, Material] = {
    entry.solid.name: _with_storage(_with_proof(entry)) for entry in _TABLE
}
"""Name to record."""


def service_source(solid: Solid) -> str:
    """Return where a material's service temperatures come from, in words."""
    record = MATERIALS.get(solid.name)
    if record is None or record.solid != solid:
        return "service temperatures of the case"
    return f"{solid.name}: {record.service_source}"


def find_material(name: str) -> Material | None:
    """Return the built-in record of a material, or None where the table has none."""
    return MATERIALS.get(name)
