"""Shipped materials: plausible, sourced, and at the values of handbooks."""

from __future__ import annotations

from jacketcalc.materials import MATERIALS


def test_materials_are_plausible_and_sourced() -> None:
    for name, record in MATERIALS.items():
        assert name == record.solid.name
        assert record.conductivity_source and record.service_source and record.emissivity_source
        assert 0.1 <= record.solid.conductivity <= 400.0
        assert 0.0 < record.solid.emissivity <= 1.0
        assert 50.0 < record.solid.lowest < 283.15 < record.solid.highest < 1400.0


def test_material_anchors() -> None:
    # Conductivities usually tabulated at ambient temperature, from memory: 304 16.2, 17-4PH 18.3,
    # 6061-T6 167 W/(m K). PTFE 0.25 at 20 degC, Springer Handbook of Materials Data, 3.3-13.
    expected = {
        "stainless 304": 16.2,
        "stainless 17-4PH": 18.3,
        "aluminium 6061": 167.0,
        "PTFE": 0.25,
    }
    for name, conductivity in expected.items():
        assert MATERIALS[name].solid.conductivity == conductivity
