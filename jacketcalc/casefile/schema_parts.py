"""What the tables of the schema share."""

from __future__ import annotations

from typing import Literal

from jacketcalc.casefile.fields import CaseTable, Field, quantity, word
from jacketcalc.flow_data import DISCHARGE_COEFFICIENT, LITRES

PRACTICE = "practice"
"""Mark of a default that only common practice supports, without a source."""
KELVIN = 273.15
"""Zero of the Celsius scale [K]."""


def catalogue_fields() -> tuple[Field, ...]:
    """Make the entries that may stand in place of a sonic conductance."""
    ways = (
        quantity("Qn", "volume flow", "In place of C: nominal flow from 6 to 5 bar(g)", 1e-7, 10.0,
                 optional=True),
        quantity("Kv", "flow coefficient", "In place of C: water at 1 bar; makes C within 20 %",
                 1e-8, 0.1, optional=True),
        quantity("Cv", "number", "In place of C: US gallons of water a minute at 1 psi; makes C "
                 "within 20 %", 1e-5, 500.0, optional=True),
        quantity("bore", "length", "In place of C: diameter of a hole; makes C within 20 %",
                 1e-4, 0.1, optional=True),
    )  # fmt: skip
    more = (
        word("reference_atmosphere", "Litre in which Qn counts: ANR after ISO 8778 (20 degC, 1 bar,"
             " 65 % humidity), or normal litres after DIN 1343 (0 degC, 1.01325 bar)",
             tuple(LITRES), "ANR", "usual with ISO 6358; from memory"),
        quantity("discharge_coefficient", "ratio", "Choked flow of the hole over that of an ideal "
                 "nozzle", 0.1, 1.0, default=f"{DISCHARGE_COEFFICIENT:g}", why="0.6 to 0.85 usual; "
                 + PRACTICE),
    )  # fmt: skip
    return (
        *(way._replace(instead_of="C") for way in ways),
        *(field._replace(belongs_to=key) for field, key in zip(more, ("Qn", "bore"), strict=True)),
    )


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
            *catalogue_fields(),
        ),
        presence=presence,
        sourced=False,
        former=former,
    )
