"""Where the energy goes, what of the cold was used, and how far water is from freezing."""

from __future__ import annotations

from jacketcalc.assessment.result import Assessment
from jacketcalc.coupling.outcome import Outcome
from jacketcalc.show.layout import BOLD, Page, printable, table_line, wrap
from jacketcalc.show.numbers import MISSING, close_sum, decimals_for, fixed
from jacketcalc.unit_display import to_display

_LABEL, _COLUMN = 44, 14
"""Columns of a label and of a number [-]."""
_COUNTED = (
    "Air counts by its enthalpy above the room's air: exhaust that leaves colder than the room is "
    "a gain, and compressed air carries a little less at the same temperature."
)


def ledger_block(assessment: Assessment, page: Page) -> list[str]:
    """Return every energy flow, rounded so that the printed column adds up, and the residual."""
    bare, jacketed = assessment.bare, assessment.jacketed
    names = list(dict.fromkeys([*jacketed.ledger, *bare.ledger]))
    columns = [_flows(outcome, names, page) for outcome in (bare, jacketed)]
    title = f"ENERGY LEDGER / {page.unit('power')}, into the machine"
    head = table_line("", [("bare", _COLUMN), ("jacketed", _COLUMN)], _LABEL)[0]
    lines = [page.paint(f"{title}{head[len(title) :]}", BOLD)]
    for i, name in enumerate(names):
        cells = [(column[i], _COLUMN) for column in columns]
        lines += table_line(f"  {printable(name)}", cells, _LABEL)
    lines += _sums((bare, jacketed), page)
    return [*lines, "", *wrap(_COUNTED, "  ")]


def _flows(outcome: Outcome, names: list[str], page: Page) -> list[str]:
    if outcome.stalled:
        return [MISSING] * len(names)
    values = [to_display(outcome.ledger.get(n, 0.0), "power", page.system) for n in names]
    decimals = min(1, decimals_for(values, 4))
    return [fixed(v, decimals) for v in close_sum(values, decimals)]


def _sums(both: tuple[Outcome, Outcome], page: Page) -> list[str]:
    """Return what the sums leave over, and how well energy and mass close."""

    def cells(read: str, form: str) -> list[tuple[str, int]]:
        return [(MISSING if o.stalled else format(getattr(o, read), form), _COLUMN) for o in both]

    left_over = [to_display(sum(o.ledger.values()), "power", page.system) for o in both]
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
    """Return the share of the first-law bound that was used, and the margins against water."""
    jacketed, margins = assessment.jacketed, assessment.margins
    lines = [page.head("COLD AND WATER")]
    bound = to_display(jacketed.cooling_bound, "power", page.system)
    share = jacketed.cooling_share
    unit = page.unit("power")
    lines += wrap(
        f"Warmed to supply temperature, the exhaust could take up {bound:.0f} {unit} at most "
        f"(first law); the jackets used {share * bound:.0f} {unit} of it, {100 * share:.0f} %.",
        "  ",
    )
    lines += ["", *_margin_head(page)]
    frost = [
        ("passage wall, coldest, over frost point", margins.frost_point, margins.frost),
        ("exhaust, coldest, over frost point", margins.frost_point, margins.frost_air),
    ]
    stages = zip(
        assessment.case.machine.stages, margins.dew_point, margins.condensation, strict=True
    )
    rows = [
        *frost,
        *((f"wall of {s.name}, coldest, over dew point", point, m) for s, point, m in stages),
    ]
    for label, point, margin in rows:
        shown = to_display(point, "temperature", page.system)
        spare = to_display(margin, "temperature difference", page.system)
        cells = [(fixed(shown, 0), _COLUMN), (fixed(spare, 0, sign=True), _COLUMN)]
        lines += table_line(f"  {printable(label)}", cells, _LABEL)
    return lines


def _margin_head(page: Page) -> list[str]:
    units = (page.unit("temperature"), page.unit("temperature difference"))
    words = (f"point / {units[0]}", f"margin / {units[1]}")
    return table_line("  jacketed machine", [(word, _COLUMN) for word in words], _LABEL)
