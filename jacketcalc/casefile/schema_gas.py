"""Tables of the case file that say which gas is compressed and where it comes from."""

from __future__ import annotations

from typing import get_args

from jacketcalc import inputs
from jacketcalc.casefile.fields import CaseTable, quantity, word
from jacketcalc.casefile.refused_gases import refuse_gas
from jacketcalc.casefile.schema_parts import KELVIN

GAS = CaseTable(
    "gas",
    "The gas that the stages compress; the drive always runs on air",
    (
        word(
            "name", "Which gas; methane stands in for natural gas", get_args(inputs.GasName)
        )._replace(refused=refuse_gas),
    ),
    presence="optional",
)

SOURCE_OF_GAS = CaseTable(
    "source",
    "A bottle or line that a stage draws from, in place of the supply; its gas is taken dry",
    (
        quantity("pressure", "pressure", "Its pressure, held constant", 0.5e5, 399e5),
        quantity("temperature", "temperature", "Its temperature", KELVIN - 40.0, KELVIN + 80.0),
    ),
    presence="optional",
)
