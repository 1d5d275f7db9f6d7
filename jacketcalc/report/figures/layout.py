"""Which chamber, port, stage and stroke belong together, drawn from the case alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from matplotlib.figure import Figure

from jacketcalc.inputs import FEEDS, Case, Machine, Stage, Stroke
from jacketcalc.report.figures.schematic import put_machine
from jacketcalc.report.figures.schematic_plan import SchematicPlan
from jacketcalc.report.figures.schematic_words import CaseWords, fed_on
from jacketcalc.report.figures.sheet import Sheet
from jacketcalc.report.figures.style import (
    BLUE_WORDS,
    BODY,
    FULL,
    GREY_WORDS,
    INK,
    NARROW,
    WIDE,
    shorten,
    styled,
)

STROKES: tuple[Stroke, Stroke] = (1, 2)
_ROW = 4.6
"""Distance of the table's rows [mm]."""
_LABEL, _COLUMNS = 9.0, (41.0, 110.0)
"""Left edges of the table's columns [mm]."""
_GAP = 8.0
"""Distance from the machine to the table [mm]."""
_NAME = 15
"""Letters of a stage's name in the table [-]."""


class StrokeRow(NamedTuple):
    """What a part of the machine does on either stroke."""

    part: str
    does: tuple[str, str]
    colour: str = INK


def draw_layout(case: Case) -> Figure:
    """Draw the air's way through the machine, and what happens on either stroke below it."""
    with styled():
        plan = SchematicPlan(case, CaseWords(case))
        rows = stroke_rows(case.machine, lambda name: shorten(name, _NAME))
        sheet = Sheet(FULL, plan.height, floor=-_GAP - _ROW * (len(rows) + 1))
        put_machine(sheet, plan)
        _put_table(sheet, rows)
        return sheet.figure


def _put_table(sheet: Sheet, rows: list[StrokeRow]) -> None:
    top = -_GAP + 1.5
    sheet.line([(_LABEL, top - 2.6), (FULL - _LABEL, top - 2.6)], WIDE)
    for stroke, x in zip(STROKES, _COLUMNS, strict=True):
        way = 1.0 if stroke == 1 else -1.0
        sheet.text(x, top, f"stroke {stroke}: the pistons move", size=BODY)
        middle = x + 44.5
        sheet.arrow([(middle - way * 4.0, top), (middle + way * 4.0, top)], width=WIDE)
    sheet.text(_COLUMNS[0] + 50.5, top, "(as drawn)", color=GREY_WORDS)
    for k, row in enumerate(rows):
        y = top - _ROW * (k + 1) - 0.4
        sheet.text(_LABEL, y, row.part, color=GREY_WORDS)
        for words, x in zip(row.does, _COLUMNS, strict=True):
            sheet.text(x, y, words, color=row.colour)
        if k:
            edge = y + _ROW / 2
            sheet.line([(_LABEL, edge), (FULL - _LABEL, edge)], NARROW / 2, colour=GREY_WORDS)


def stroke_rows(machine: Machine, say: Callable[[str], str] = str) -> list[StrokeRow]:
    """Return what drive chambers, stages and jackets do on either stroke.

    Parameters
    ----------
    machine : the machine
    say : how a stage's name is written
    """
    one, two = (_leaves(i, e.to, say) for i, e in ((1, machine.exhaust_1), (2, machine.exhaust_2)))
    filled = "filled through the valve"
    rows = [
        StrokeRow("drive chamber 1", (filled, one)),
        StrokeRow("drive chamber 2", (two, filled)),
    ]
    for stage in machine.stages:
        rows.append(StrokeRow(f"stage {say(stage.name)}", _moves(machine, stage, say)))
    for stage in machine.stages:
        if stage.jacket is not None:
            rows.append(_jacket_row(machine, stage, f"jacket of {say(stage.name)}"))
    return rows


def _leaves(port: int, goal: str, say: Callable[[str], str]) -> str:
    where = "ambient" if goal == "atmosphere" else f"the jacket of {say(goal)}"
    return f"exhausts through port {port} to {where}"


def _moves(machine: Machine, stage: Stage, say: Callable[[str], str]) -> tuple[str, str]:
    """Return what a stage does on strokes 1 and 2."""
    before = stage.draws_from
    source = f"the {before}" if before in FEEDS else say(before)
    after = [s.name for s in machine.stages if s.draws_from == stage.name]
    goal = say(after[0]) if after else "the receiver"
    draws, compresses = f"draws from {source}", f"compresses, delivers to {goal}"
    return (compresses, draws) if stage.compresses_on == 1 else (draws, compresses)


def _jacket_row(machine: Machine, stage: Stage, part: str) -> StrokeRow:
    on = fed_on(machine, stage.name)
    if not on:
        return StrokeRow(part, ("no exhaust is led here",) * 2, GREY_WORDS)
    does = []
    for stroke in STROKES:
        moves = "compresses" if stage.compresses_on == stroke else "draws"
        flows = f"exhaust flows while the stage {moves}"
        does.append(flows if stroke in on else "air at rest")
    return StrokeRow(part, (does[0], does[1]), BLUE_WORDS)


def describe_layout(case: Case) -> str:
    """Say in words what each part does on either stroke."""
    words = ["Air's way through the machine, from the case alone; nothing was solved."]
    rows = stroke_rows(case.machine)
    for place, stroke in enumerate(STROKES):
        told = "; ".join(f"{row.part}: {row.does[place]}" for row in rows)
        words.append(f"Stroke {stroke}: {told}.")
    return " ".join(words)
