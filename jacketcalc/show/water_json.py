"""Water along the path as one JSON object in SI."""

from __future__ import annotations

from typing import Any

from jacketcalc import __version__
from jacketcalc.assessment.water_finding import TOLD, Need, WaterFinding
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.findings.supply_water import supply_vapour
from jacketcalc.findings.water_path import WaterPath, WaterPlace
from jacketcalc.show.json_data import Plain, dump

FORMAT = "jacketcalc-water-1"
"""Name and version of the format; fields are added under this name, never changed."""


def make_water_json(found: WaterFinding, share: float) -> str:
    """Return water along the path as JSON text, ending in a line feed.

    Parameters
    ----------
    found : water in both machines
    share : share of a cross-section to whose blocking hours are counted [-]
    """
    plain, vapour = Plain(), supply_vapour(found.case.machine.supply)
    plain.units |= {
        "blocked_share": "-",
        "latent_heat": "W",
        "latent_share": "-",
        "supply.dew_point": "K",
        "supply.pressure": "Pa",
        "supply.share": "-",
    }
    content = {
        "format": FORMAT,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": found.case.title, "sha256": found.case.sha256},
        "caution": CAUTION_BRIEF,
        "supply": {
            "dew_point": vapour.dew_point, "pressure": vapour.pressure, "share": vapour.share,
            "assumed": found.assumed,
        },
        "blocked_share": share,
        "latent_heat": found.latent,
        "latent_share": found.latent_share,
        "latent_told": found.latent_share is not None and found.latent_share >= TOLD,
        "with_jackets": _path(found.jacketed, found.needs, share, "with_jackets", plain),
        "no_jackets": _path(found.bare, found.needs_bare, share, "no_jackets", plain),
    }  # fmt: skip
    return dump({**content, "units": dict(sorted(plain.units.items()))}) + "\n"


def _path(
    path: WaterPath | None, needs: tuple[Need, ...], share: float, at: str, plain: Plain
) -> dict[str, Any] | None:
    if path is None:
        return None
    for name in ("entering", "drive_water", "stage_water"):
        plain.units[f"{at}.{name}"] = "kg/s"
    return {
        "entering": path.entering,
        "drive_water": path.drive_water,
        "stage_water": path.stage_water,
        "needed": [plain.record(need, f"{at}.needed[]") for need in needs],
        "places": [_place(place, share, f"{at}.places[]", plain) for place in path.places],
    }


def _place(place: WaterPlace, share: float, at: str, plain: Plain) -> dict[str, Any]:
    plain.units[f"{at}.time_to_block"] = "s"
    hours = place.hours(share)
    return {
        **plain.record(place, at),
        "wet": place.wet,
        "freezes": place.nearest.freezes,
        "time_to_block": None if hours is None else 3600.0 * hours,
    }
