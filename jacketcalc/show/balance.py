"""Where the energy goes, what of the cold was used, and how far water is from freezing."""

from __future__ import annotations

from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.water_words import say_cold, say_place
from jacketcalc.core.outcome import Outcome
from jacketcalc.inputs import Machine
from jacketcalc.number_text import MISSING, close_sum, decimals_for, fixed
from jacketcalc.show.page import BOLD, Page, printable, table_line, wrap
from jacketcalc.unit_display import to_display

_LABEL, _COLUMN = 44, 14
"""Columns of a label and of a number [-]."""
_PLACE, _NARROW = 30, 12
"""Columns of a place and of a number beside it [-]."""
_NEAREST = (
    "Each row is where and when water is nearest: every cell of the passage in every phase of a "
    "pulse, every bared place of a stage at every instant, against the frost or dew point at the "
    "pressure there and then."
)
_COUNTED = (
    "Air counts by its enthalpy above ambient air: exhaust that leaves below ambient temperature "
    "is a gain, and compressed air carries a little less at the same temperature."
)


def energy_balance_block(assessment: Assessment, page: Page) -> list[str]:
    """Return every energy flow, rounded so that the printed column adds up, and the residual."""
    bare, jacketed = assessment.bare, assessment.jacketed
    names = list(dict.fromkeys([*jacketed.energy_balance, *bare.energy_balance]))
    columns = [_flows(outcome, names, page) for outcome in (bare, jacketed)]
    title = f"ENERGY BALANCE / {page.unit('power')}, into the machine"
    head = table_line("", [("no jackets", _COLUMN), ("with jackets", _COLUMN)], _LABEL)[0]
    lines = [page.paint(f"{title}{head[len(title) :]}", BOLD)]
    for i, name in enumerate(names):
        cells = [(column[i], _COLUMN) for column in columns]
        lines += table_line(f"  {printable(name)}", cells, _LABEL)
    lines += _sums((bare, jacketed), page)
    return [*lines, "", *wrap(_counted(assessment.case.machine), "  ")]


def _counted(machine: Machine) -> str:
    """Say from where enthalpies count."""
    if machine.gas.name == "air":
        return _COUNTED
    return (
        f"Air and {machine.gas.name} count by their enthalpies above those at ambient temperature "
        "and pressure: exhaust that leaves below ambient temperature is a gain."
    )


def _flows(outcome: Outcome, names: list[str], page: Page) -> list[str]:
    if outcome.stalled:
        return [MISSING] * len(names)
    values = [to_display(outcome.energy_balance.get(n, 0.0), "power", page.system) for n in names]
    decimals = min(1, decimals_for(values, 4))
    return [fixed(v, decimals) for v in close_sum(values, decimals)]


def _sums(both: tuple[Outcome, Outcome], page: Page) -> list[str]:
    """Return what the sums leave over, and how well energy and mass close."""

    def cells(read: str, form: str) -> list[tuple[str, int]]:
        return [(MISSING if o.stalled else format(getattr(o, read), form), _COLUMN) for o in both]

    left_over = [to_display(sum(o.energy_balance.values()), "power", page.system) for o in both]
    sums = [
        (MISSING if o.stalled else f"{v:.0e}", _COLUMN)
        for o, v in zip(both, left_over, strict=True)
    ]
    return [
        *table_line("  residual", sums, _LABEL),
        *table_line("  residual over drive work", cells("energy_closure", ".0e"), _LABEL),
        *table_line("  mass gained over mass handled", cells("mass_closure", ".0e"), _LABEL),
    ]


def cold_block(assessment: Assessment, page: Page) -> list[str]:
    """Return what of the exhaust's cold was used, and what comes nearest to water."""
    cold, water = assessment.jacketed.cold, assessment.jacketed.water
    if cold is None or water is None:
        return []
    lines = [page.head("COLD AND WATER"), *wrap(page.prose(say_cold(cold, page.system)), "  ")]
    lines += ["", *_margin_head(page)]
    found = [water.passage_wall, water.exhaust, *water.stages]
    for one in (one for one in found if one is not None):
        shown = [
            fixed(to_display(value, dimension, page.system), decimals, sign=sign)
            for value, dimension, decimals, sign in (
                (one.temperature, "temperature", 0, False),
                (one.pressure, "pressure", 1, False),
                (one.point, "temperature", 0, False),
                (one.margin, "temperature difference", 1, True),
            )
        ]
        label = printable(say_place(one, page.system).rstrip(","))
        lines += table_line(f"  {label}", [(cell, _NARROW) for cell in shown], _PLACE)
    return [*lines, *wrap(_NEAREST, "  ")]


def _margin_head(page: Page) -> list[str]:
    temperature, pressure = page.unit("temperature"), page.unit("pressure")
    difference = page.unit("temperature difference")
    words = (f"at / {temperature}", f"p / {pressure}", f"point / {temperature}",
             f"margin / {difference}")  # fmt: skip
    return table_line("  machine with jackets", [(word, _NARROW) for word in words], _PLACE)
