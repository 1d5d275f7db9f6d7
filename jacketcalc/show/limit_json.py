"""Limits, and what stands beside them, as plain data and as one JSON object in SI."""

from __future__ import annotations

from typing import Any

from jacketcalc import __version__
from jacketcalc.assessment.limit_context import (
    CAUTIONS,
    PRESSURE_CODE,
    list_figures,
    list_seals,
    list_stresses,
)
from jacketcalc.assessment.result import Assessment
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.show.json_data import Plain, dump

FORMAT = "jacketcalc-limits-1"
"""Name and version of the format; fields are added under this name, never changed."""


def make_limits_json(found: Assessment) -> str:
    """Return limits as JSON text, ending in a line feed."""
    plain = Plain()
    content = {
        "format": FORMAT,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": found.case.title, "sha256": found.case.sha256},
        "caution": CAUTION_BRIEF,
        "limits": plain_limits(found, plain, "limits"),
        **plain_context(found, plain, ""),
        "cautions": list(CAUTIONS),
        "pressure_code": PRESSURE_CODE,
    }
    return dump({**content, "units": dict(sorted(plain.units.items()))}) + "\n"


def plain_limits(found: Assessment, plain: Plain, at: str) -> list[dict[str, Any]]:
    """Return every limit that is judged, with its state.

    Parameters
    ----------
    found : what was found
    plain : collects units
    at : where the limits stand in the result
    """
    return [
        {
            **plain.record(check, f"{at}[]"),
            "state": check.state,
            "kept": check.kept,
            "kept_no_jackets": check.kept_bare,
            "fate": check.fate,
        }
        for check in found.limits
    ]


def plain_context(found: Assessment, plain: Plain, above: str) -> dict[str, Any]:
    """Return what is not judged: temperatures beside limits, and hoop stress.

    Parameters
    ----------
    found : what was found
    plain : collects units
    above : path above them, ending in a point; empty where they stand at the top
    """
    figures, walls = f"{above}beside_limits[]", f"{above}hoop_stress[]"
    plain.units |= {
        f"{walls}.{key}": unit
        for key, unit in (
            ("bore", "m"),
            ("thickness", "m"),
            ("pressure", "Pa"),
            ("stress", "Pa"),
            ("usual[]", "Pa"),
            ("wall_over_bore", "-"),
        )
    }
    plain.units[f"{figures}.margin"] = "K"
    return {
        "beside_limits": [
            {**plain.record(one, figures), "margin": one.margin, "beyond": one.beyond}
            for one in list_figures(found)
        ],
        "seal_materials": [plain.record(one, f"{above}seal_materials[]")
                           for one in list_seals(found)],
        "hoop_stress": [
            {
                "wall": wall.name, "key": wall.key, "material": wall.solid.name,
                "bore": wall.bore, "thickness": wall.thickness, "pressure": wall.pressure,
                "wall_over_bore": wall.thickness / wall.bore, "stress": wall.stress,
                "formula": wall.formula,
                "usual": None if wall.usual is None else list(wall.usual),
                "compared_with": wall.compared_with,
            }
            for wall in list_stresses(found)
        ],
    }  # fmt: skip
