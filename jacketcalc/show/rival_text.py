"""Rivals of the jackets as text, each row against the machine as it stands."""

from __future__ import annotations

from jacketcalc import __version__
from jacketcalc.assessment.standing_words import say_change
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.inputs import Currency
from jacketcalc.number_text import MISSING, decimals_for, fixed, percent
from jacketcalc.show.page import BOLD, Page, between, join_blocks, printable, table_line, wrap
from jacketcalc.studies.rival_table import RivalRow, RivalTable
from jacketcalc.unit_display import to_display

_LABEL = 29
"""Columns of a row's name [-]."""
_COLUMNS = (9, 9, 8, 9, 9, 7)
"""Columns of delivery, its change, air, gas, seal and limits [-]."""
NOMINAL = (
    "Nominal models, without their range. Each row is solved whole. A rival's price, power and "
    "upkeep are not weighed."
)


def make_rival_text(table: RivalTable, *, color: bool = False, ascii_only: bool = False) -> str:
    """Return the table in at most 80 columns."""
    case = table.case
    page = Page(system=case.document.units, color=color, ascii=ascii_only)
    return join_blocks(
        [
            [between(printable(case.title), f"jacketcalc {__version__}"), *wrap(CAUTION_BRIEF)],
            wrap(page.prose(say_best(table))),
            _table(table, page),
            _broken(table, page),
            _assumed(table, page),
            _closing(table, page),
        ]
    )  # fmt: skip


def say_best(table: RivalTable) -> str:
    """Say which single way is best, where the jackets stand, and which pair is best."""
    by = table.case.judgement.by
    ranked = rank_single(table)
    stands = f"As it stands: no jackets, {table.reference}. Judged by {by}"
    if not ranked:
        return f"{stands}: nothing can be compared, for a machine stalls or delivers nothing."
    best = ranked[0]
    text = f"{stands}, one way alone: best {best.name}, {_gain(table, best)}"
    place = next((i for i, row in enumerate(ranked, 1) if row.ways == ("jackets",)), None)
    if place is not None and place > 1:
        jackets = ranked[place - 1]
        text += f"; {jackets.name} {_gain(table, jackets)}, place {place} of {len(ranked)}"
    pairs = [row for row in table.rows if _is_pair(table, row)]
    if pairs:
        text += f". Best pair: {pairs[0].name}, {_gain(table, pairs[0])}"
    return f"{text}."


def rank_single(table: RivalTable) -> list[RivalRow]:
    """Return the single ways that deliver, the best first."""
    single = [row for row in table.rows[1:] if row.single and table.changes(row) is not None]
    better = -1.0 if table.case.judgement.by == "delivery" else 1.0
    return sorted(single, key=lambda row: better * judged(table, row))


def judged(table: RivalTable, row: RivalRow) -> float:
    """Return the judged change of a row: relative [-], of a temperature the difference [K]."""
    change = table.changes(row)
    assert change is not None
    found: dict[Currency, float] = {
        "delivery": change.delivery,
        "specific air consumption": change.air,
        "discharge temperature": change.discharge,
    }
    return found[table.case.judgement.by]


def _gain(table: RivalTable, row: RivalRow) -> str:
    return say_change(table.case.judgement.by, judged(table, row), table.case.document.units)


def _is_pair(table: RivalTable, row: RivalRow) -> bool:
    return row.paired and table.changes(row) is not None


def _table(table: RivalTable, page: Page) -> list[str]:
    unit = page.unit("temperature")
    heads = (
        ("delivery", "change", "air", "hottest", "hottest", "limits"),
        (page.unit("hourly mass flow"), "", page.unit("share"), f"gas {unit}", f"seal {unit}",
         "broken"),
    )  # fmt: skip
    lines = [
        page.paint(table_line("", list(zip(words, _COLUMNS, strict=True)), _LABEL)[0], BOLD)
        for words in heads
    ]
    flows = [to_display(row.outcome.delivered_mass_flow, "hourly mass flow", page.system)
             for row in table.rows if row.outcome is not None]  # fmt: skip
    decimals = decimals_for(flows, 4)
    for row in table.rows:
        lines += _line(table, row, decimals, page)
    return lines


def _line(table: RivalTable, row: RivalRow, decimals: int, page: Page) -> list[str]:
    name = printable(row.name)
    found = row.outcome
    if found is None:
        return [*table_line(name, [("", 0)], _LABEL), *wrap(f"not solved: {row.failure}", "    ")]
    if not found.delivers:
        words = "stalls" if found.stalled else "delivers nothing"
        return table_line(name, [(words, sum(_COLUMNS[:2]))], _LABEL)
    change = table.changes(row)
    flow = to_display(found.delivered_mass_flow, "hourly mass flow", page.system)
    gas, seal = (fixed(to_display(T, "temperature", page.system), 0)
                 for T in (found.hottest_gas, found.hottest_seal))  # fmt: skip
    stands = row is table.stands
    cells = (
        fixed(flow, decimals),
        "" if stands else MISSING if change is None else percent(change.delivery),
        fixed(found.specific_air_consumption, 2),
        gas,
        seal,
        f"{len(row.broken)}/{row.limits}",
    )
    return table_line(name, list(zip(cells, _COLUMNS, strict=True)), _LABEL)


def _broken(table: RivalTable, page: Page) -> list[str]:
    """Name the limits that rows break, those that break the same together."""
    by_limits: dict[tuple[str, ...], list[str]] = {}
    for row in table.rows:
        if row.broken:
            by_limits.setdefault(row.broken, []).append(row.name)
    lines: list[str] = []
    for limits, names in by_limits.items():
        text = f"{'; '.join(limits)}: broken by {', '.join(names)}."
        lines += wrap(page.prose(printable(text)), "  ", "    ")
    return [page.head("LIMITS"), *lines] if lines else []


def _assumed(table: RivalTable, page: Page) -> list[str]:
    """Tell what was assumed for each row; pairs are as their parts."""
    lines = [page.head("ASSUMED")]
    for row in table.rows:
        if row.paired or not row.assumed:
            continue
        lines += wrap(page.prose(printable(f"{row.name}: {row.assumed}.")), "  ", "    ")
    if any(row.paired for row in table.rows):
        lines += wrap("pairs: as their parts.", "  ")
    return lines


def _closing(table: RivalTable, page: Page) -> list[str]:
    lines: list[str] = []
    if table.left_out:
        told = printable("; ".join(table.left_out))
        lines += wrap(page.prose(f"Left out: {told}."))
    return [*lines, *wrap(f"{NOMINAL} {table.solved} machines solved.")]
