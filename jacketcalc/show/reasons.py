"""Why the answer is what it is: the split, the conductance ratio, the band, the limits."""

from __future__ import annotations

from jacketcalc.assessment.compare import SERVICE
from jacketcalc.assessment.result import Assessment, Change, ConductanceRatio, Interval, LimitCheck
from jacketcalc.number_text import MISSING, fixed, percent
from jacketcalc.show.page import BOLD, Page, printable, table_line, wrap
from jacketcalc.unit_display import to_display

_LABEL = 41
"""Columns of the label in the split and in the band [-]."""
_COLUMN = 13
"""Columns of a number there [-]."""
_WHAT = 32
"""Columns of what is limited [-]."""
_VARIED = (
    "Jacket heat transfer: the correlation in the jacket's channel. In-cylinder mixing: how far "
    "the suction jet mixes a stage's gas. In-cylinder law: a factor on the heat of the gas in the "
    "stages. Film outside: a factor on natural convection. All together: all of them at the ends "
    "where the jackets do least, or most."
)


def split_block(assessment: Assessment, page: Page) -> list[str]:
    """Return the split: its printed parts add up to the printed whole."""
    split = assessment.split
    parts = [_three(c) for c in (split.cooling_alone, split.resistance_alone, assessment.change)]
    columns = [_sum_up([part[i] for part in parts]) for i in range(3)]
    labels = ("cooling alone, without its resistance", "resistance alone, without its cooling",
              "from both acting together", "the jackets")  # fmt: skip
    lines = [page.head("WHERE THE CHANGE COMES FROM")]
    lines += _heads(("", "mass per", "cycle"), ("delivery", "cycle", "rate"), page)
    for i, label in enumerate(labels):
        if columns[0][i] is not None:
            cells = [(percent(column[i] or 0.0), _COLUMN) for column in columns]
            lines += table_line(f"  {label}", cells, _LABEL)
    return [*lines, *_conductance(assessment, page)]


def _three(change: Change | None) -> tuple[float | None, float | None, float | None]:
    if change is None:
        return None, None, None
    return change.delivered_mass_flow, change.mass_per_cycle, change.cycle_rate


def _sum_up(values: list[float | None]) -> list[float | None]:
    """Return parts, what they leave over and the whole, as printed in tenths of a per cent."""
    cooling, resistance, whole = (None if v is None else round(v, 3) for v in values)
    if cooling is None or resistance is None or whole is None:
        return [cooling, resistance, None, whole]
    return [cooling, resistance, whole - cooling - resistance, whole]


def _heads(above: tuple[str, ...], below: tuple[str, ...], page: Page) -> list[str]:
    return [
        page.paint(line, BOLD)
        for words in (above, below)
        for line in table_line("", [(word, _COLUMN) for word in words], _LABEL)
    ]


def _conductance(assessment: Assessment, page: Page) -> list[str]:
    found = assessment.conductance
    names = [s.name for s in assessment.jacketed.stages if s.jacket is not None]
    pairs = zip(found.each, names, strict=True)
    if len(names) == 1:
        text = f"The sonic conductance C of the exhaust passage is {found.ratio:.2f} times"
    else:
        each = " and ".join(f"{ratio:.2f} ({printable(name)})" for ratio, name in pairs)
        text = f"The sonic conductances C of the exhaust passages are {each} times"
    text += " that of the control valve (tube, jacket and outlet together); "
    if found.break_even is not None:
        text += (
            f"at {found.break_even:.3f} times the jackets would break even ({said_solved(found)})."
        )
    else:
        text += f"no break-even: {found.break_even_words}."
    return ["", *wrap(page.prose(text), "  ")]


def said_solved(found: ConductanceRatio) -> str:
    """Say what finding the break-even took."""
    if not found.solved:
        return "one of the machines solved anyway"
    machines = "one more machine" if found.solved == 1 else f"{found.solved} more machines"
    return f"found by solving {machines}"


def band_block(assessment: Assessment, page: Page) -> list[str]:
    """Return the changes of every solved variant, the range they span and the rule of judging."""
    band, verdict = assessment.band, assessment.verdict
    lines = [page.head("MODEL RANGE of the change from no jackets to with jackets")]
    lines += _heads(
        ("", "specific air", "hottest"),
        ("delivery", "consumption", "discharge"),
        page,
    )
    for member in band.members:
        fall = member.jacketed.hottest_discharge - member.bare.hottest_discharge
        change = member.change
        values = (change.delivered_mass_flow, change.specific_air_consumption)
        cells = [(percent(v), _COLUMN) for v in values]
        lines += table_line(f"  {member.label}", [*cells, (_kelvin(fall, page), _COLUMN)], _LABEL)
    for label, pick in (("lowest", "low"), ("highest", "high")):
        spans = (
            band.delivered_mass_flow,
            band.specific_air_consumption,
            band.discharge_temperature,
        )
        ends = [_end(span, pick) for span in spans]
        cells = [(percent(v), _COLUMN) for v in ends[:2]]
        lines += table_line(f"  {label}", [*cells, (_kelvin(ends[2], page), _COLUMN)], _LABEL)
    judged = f"Judged by {verdict.judged_by}. {verdict.rule}"
    return [*lines, "", *wrap(_VARIED, "  "), "", *wrap(judged, "  ")]


def _end(span: Interval, pick: str) -> float:
    return span.low if pick == "low" else span.high


def _kelvin(value: float, page: Page) -> str:
    shown = to_display(value, "temperature difference", page.system)
    return f"{fixed(shown, 1, sign=True)} {page.unit('temperature difference')}"


def limits_block(limits: tuple[LimitCheck, ...], page: Page) -> list[str]:
    """Return every limit with its state; values without and with jackets, range, limit and margin.

    Only shells and exhaust tubes have a lowest temperature; without jackets none is computed.
    """
    unit = page.unit("temperature")
    words = (("without", 8), ("with", 6), ("range", 12), ("limit", 9), ("margin", 7))
    head = table_line("", words, 7 + _WHAT - 2)[0]
    title = f"LIMITS / {unit}"
    lines = [page.paint(f"{title}{head[len(title) :]}", BOLD)]
    for check in limits:
        cells = _limit_cells(check, page)
        first, *more = table_line(printable(check.what), cells, _WHAT - 2)
        lines.append(f"{page.tone(check.state, 7)}{first}")
        lines += [f"{'':7}{line}" for line in more]
        lines += _gas_line(check, page)
    lines += wrap("Capitals: the whole range is on one side of the limit; '?': it is not.", "  ")
    lines += wrap(SERVICE, "  ")
    for source in dict.fromkeys(check.source for check in limits if check.source):
        lines += wrap(page.prose(printable(source)), "  source, ", "    ")
    return lines


def _gas_line(check: LimitCheck, page: Page) -> list[str]:
    """Return the gas that meets a seal, beside the wall that is judged."""
    if check.gas_bare is None or check.gas_jacketed is None:
        return []
    cells = [
        (fixed(to_display(T, "temperature", page.system), 0), width)
        for T, width in ((check.gas_bare, 8), (check.gas_jacketed, 6))
    ]
    return [f"{'':7}{line}" for line in table_line("  gas there, not judged", cells, _WHAT - 2)]


def _limit_cells(check: LimitCheck, page: Page) -> list[tuple[str, int]]:
    def shown(value: float) -> str:
        return fixed(to_display(value, "temperature", page.system), 0)

    space = check.limit - check.jacketed
    margin = to_display(
        space if check.kind == "at most" else -space, "temperature difference", page.system
    )
    side = "max" if check.kind == "at most" else "min"
    part_of_both = check.kind == "at most"
    return [
        (shown(check.bare) if part_of_both else MISSING, 8),
        (shown(check.jacketed), 6),
        (f"{shown(check.low)} to {shown(check.high)}", 12),
        (f"{side} {shown(check.limit)}", 9),
        (fixed(margin, 0, sign=True), 7),
    ]
