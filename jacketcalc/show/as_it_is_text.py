"""A machine without jackets as text: what it does, its limits, what air it needs, what next."""

from __future__ import annotations

from jacketcalc import __version__
from jacketcalc.assessment.as_it_is import AsItIs
from jacketcalc.assessment.compressor import describe_need
from jacketcalc.assessment.notes import IDLE, say_limit
from jacketcalc.assessment.result import Interval, LimitCheck
from jacketcalc.assessment.stop_words import say_reach, say_stop
from jacketcalc.assessment.summary import count_inputs
from jacketcalc.assessment.water_finding import find_water
from jacketcalc.cautions import CAUTION, CAUTION_BRIEF
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Outputs, Place
from jacketcalc.number_text import MISSING, decimals_for, fixed, percent
from jacketcalc.show.first_statements import headed, next_lines, say_inputs, say_water
from jacketcalc.show.page import BOLD, Page, between, join_blocks, printable, shorten, wrap
from jacketcalc.show.rows import ResultRow, machine_rows, stage_rows
from jacketcalc.unit_display import System, say_quantity, to_display

FIRST = ("delivered_mass_flow", "delivered_volume_flow", "drive_air_volume_flow",
         "specific_air_consumption", "cycle_rate")  # fmt: skip
"""Results of the machine on the first screen, by their keys in the catalogue."""
OF_STAGES = ("discharge_temperature", "wall_hottest")
"""Results of each stage on it."""
_LABEL, _UNIT, _VALUE, _RANGE = 37, 8, 12, 23
"""Columns of the table [-]."""


def make_as_it_is_text(
    found: AsItIs,
    *,
    full: bool = False,
    color: bool = False,
    ascii_only: bool = False,
    outputs: Outputs = OUTPUTS,
) -> str:
    """Return what a machine without jackets does, in at most 80 columns.

    Parameters
    ----------
    found : what `assess_as_it_is` found
    full : every result of the machine and its stages, and every limit
    color, ascii_only : as in `make_text`
    outputs : results of a machine that are told
    """
    page = Page(system=found.case.document.units, color=color, ascii=ascii_only)
    title = between(printable(found.case.title), f"jacketcalc {__version__}")
    blocks = [
        [title, *wrap(CAUTION_BRIEF)],
        _answer(found, page),
        _statements(found, page, full),
        _table(found, page, outputs, full) if not found.outcome.stalled else [],
        next_lines(found.steps, found.case.file, page, full=full),
    ]
    if full and found.missing:
        told = [line for words in found.missing for line in wrap(words, "  ", "    ")]
        blocks.append([page.head("LEFT OUT OF THE MODEL RANGE"), *told])
    return join_blocks([*blocks, *([wrap(CAUTION)] if full else [])])


def _answer(found: AsItIs, page: Page) -> list[str]:
    outcome, system = found.outcome, found.case.document.units
    if outcome.stalled:
        reach = say_reach(found.case.machine, outcome, system)
        words = f"STALLS: the machine {say_stop(outcome)}; {reach}."
    elif not outcome.delivers:
        words = f"DELIVERS NOTHING: {IDLE}."
    else:
        words = "NO JACKETS YET: this is what the machine does as it is."
    head, _, rest = words.partition(":")
    lines = wrap(page.prose(printable(words)), "", "  ")
    return [page.tone(head) + lines[0][len(head) :], *lines[1:]] if rest else lines


def _statements(found: AsItIs, page: Page, full: bool) -> list[str]:
    outcome, system = found.outcome, found.case.document.units
    lines: list[str] = []
    if not outcome.stalled:
        most = len(found.limits) if full else 2
        lines += headed("LIMITS", _limits(found.limits, most, system), page, most=2 + 2 * most)
        assumed = count_inputs(found.case).dew_point_assumed
        water = find_water(found.case, None, found.tracks, outcome.cold) if assumed else None
        lines += headed("WATER", say_water(outcome, water, system), page, most=4)
        at = say_quantity(outcome.stall_pressure, "pressure", system)
        margin = percent(outcome.force_margin, 0, sign=False)
        lines += headed("STALL", f"At {at} in the receiver; drive force margin {margin}.", page)
        lines += headed("AIR", describe_need(found.case.machine, outcome, system), page)
    return [*lines, *headed("INPUTS", say_inputs(count_inputs(found.case)), page)]


def _limits(checks: tuple[LimitCheck, ...], most: int, system: System) -> str:
    """Count the limits, and name the first that are broken."""
    broken = [check for check in checks if not check.kept]
    named = [f"{c.what}: {say_limit(c, system)[0]}, limit {say_limit(c, system)[1]}"
             for c in broken[:most]]  # fmt: skip
    more = f"; {len(broken) - most} more" if len(broken) > most else ""
    kept = f"{len(checks) - len(broken)} of {len(checks)} kept."
    return f"{kept} Broken: {'; '.join(named)}{more}." if broken else kept


def _table(found: AsItIs, page: Page, outputs: Outputs, full: bool) -> list[str]:
    first = f"{'':{_LABEL + _UNIT}}{'as it is':>{_VALUE}}{'model range':>{_RANGE}}"
    lines = [page.paint(first, BOLD)]
    if full:
        lines += [_line(found, row, "", page) for row in machine_rows(outputs)]
    else:
        rows = [ResultRow(o, Place()) for key in FIRST for o in outputs if o.key == key]
        lines += [_line(found, row, "", page) for row in rows]
    for index, stage in enumerate(found.case.machine.stages):
        rows = stage_rows(outputs, found.case.machine, index, jacket=False)
        if full:
            lines += ["", page.head(f"stage {printable(stage.name)}")]
            lines += [_line(found, row, "", page) for row in rows]
            continue
        shown = [row for row in rows if row.output.key in OF_STAGES]
        lines += [_line(found, row, f", {stage.name}", page) for row in shown]
    return lines


def _line(found: AsItIs, row: ResultRow, of: str, page: Page) -> str:
    output = row.output
    span = found.over_range(output, row.place)
    label = f"{shorten(output.label + of, _LABEL - 1):<{_LABEL}}"
    unit = page.unit(output.dimension)
    cells = [MISSING, ""] if span is None else _cells(span, output.dimension, output.digits, page)
    value, reach = cells
    return f"{label}{unit}{value:>{_UNIT + _VALUE - len(unit)}}{reach:>{_RANGE}}".rstrip()


def _cells(span: Interval, dimension: str, digits: int, page: Page) -> list[str]:
    low, value, high = (
        to_display(v, dimension, page.system) for v in (span.low, span.value, span.high)
    )
    decimals = 0 if dimension == "temperature" else decimals_for([low, value, high], digits)
    return [fixed(value, decimals), f"{fixed(low, decimals)} to {fixed(high, decimals)}"]
