"""What the tables of the schema share."""

from __future__ import annotations

from typing import Literal

from jacketcalc.casefile.fields import CaseTable, quantity

PRACTICE = "practice"
"""Mark of a default that only common practice supports, without a source."""
KELVIN = 273.15
"""Zero of the Celsius scale [K]."""


def conductance_table(
    key: str,
    about: str,
    presence: Literal["required", "optional"] = "required",
    former: str = "",
) -> CaseTable:
    """Make the table of a flow element after ISO 6358-1."""
    return CaseTable(
        key,
        about,
        (
            quantity(
                "C",
                "conductance",
                "Sonic conductance after ISO 6358-1",
                1e-12,
                1e-5,
                former="conductance",
            ),
            quantity(
                "b",
                "ratio",
                "Critical back-pressure ratio after ISO 6358-1",
                0.0,
                0.6,
                default="0.3",
                why="usual in catalogues; from memory",
                former="critical_ratio",
            ),
        ),
        presence=presence,
        sourced=False,
        former=former,
    )
