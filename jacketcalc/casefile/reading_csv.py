"""Readings from a CSV file: its columns are the keys of [[reading]], its cells as typed there."""

from __future__ import annotations

import csv
import json
from dataclasses import replace

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.schema import known_keys
from jacketcalc.casefile.schema_reading import READING
from jacketcalc.casefile.similar import find_similar, join_words
from jacketcalc.casefile.source import decode_bytes
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case


def with_readings(case: Case, data: bytes, file: str) -> Case:
    """Return a case with the readings of a CSV file behind its own.

    Parameters
    ----------
    case : the case
    data : the CSV, comma or semicolon between cells; lines that begin with # are left out
    file : its name, for problems

    Raises
    ------
    CaseError
        When it holds no reading, a column that a reading does not have, or a reading that cannot
        be used; each problem is placed at the line of its file.
    """
    typed = decode_bytes(data, file).split("\n")
    text = case.text.rstrip("\n") + "\n"
    own = text.count("\n")
    lines: list[int] = []
    for number, entries in _rows(typed, file):
        table = ["", "[[reading]]"]
        table += [f"{key} = {json.dumps(cell, ensure_ascii=False)}" for key, cell in entries]
        text += "\n".join(table) + "\n"
        lines += [number] * len(table)
    try:
        return read_case_text(text, case.file)
    except CaseError as error:
        placed = [p if p.line <= own else _placed(p, typed, lines[p.line - own - 1], file)
                  for p in error.problems]  # fmt: skip
        raise CaseError(placed, error.hidden) from None


def _rows(typed: list[str], file: str) -> list[tuple[int, list[tuple[str, str]]]]:
    """Return the line of each reading and what its cells hold."""
    held = [(i, line) for i, line in enumerate(typed, start=1)
            if line.strip(" \t;,") and not line.startswith("#")]  # fmt: skip
    mark = ";" if held and held[0][1].count(";") > held[0][1].count(",") else ","
    cells = [[cell.strip() for cell in row]
             for row in csv.reader((line for _, line in held), delimiter=mark)]  # fmt: skip
    if len(cells) < 2:
        raise CaseError([Problem(
            name="file-empty", message="the file holds no reading", file=file,
            why="a reading is a line below the names of columns", fix="add a line",
        )])  # fmt: skip
    columns = cells[0]
    problems = [_unknown(column, typed, held[0][0], file) for column in columns
                if column not in known_keys(READING)]  # fmt: skip
    for (number, line), row in zip(held[1:], cells[1:], strict=False):
        if len(row) > len(columns) or len(cells) != len(held):
            problems.append(Problem(
                name="text-unusable", message="the line has more cells than there are columns",
                file=file, line=number, column=1, text=line, width=len(line),
                label=f"{len(row)} cells, {len(columns)} columns",
                why="a decimal comma, or a comma in a cell, parts it where commas part the cells",
                fix="write decimal points, or part the cells by semicolons",
            ))  # fmt: skip
    if problems:
        raise CaseError(problems)
    return [(number, [(key, cell) for key, cell in zip(columns, row, strict=False) if cell])
            for (number, _), row in zip(held[1:], cells[1:], strict=True)]  # fmt: skip


def _unknown(column: str, typed: list[str], line: int, file: str) -> Problem:
    known = known_keys(READING)
    near = find_similar(column, known)
    text = typed[line - 1]
    return Problem(
        name="key-unknown", message=f'"{column}" is no column of readings', path=column, file=file,
        line=line, column=text.find(column) + 1, text=text, width=max(len(column), 1),
        label="unknown", why=f"known here: {', '.join(known)}",
        fix=f'write "{near}"' if near else f"one of {join_words(known)}",
    )  # fmt: skip


def _placed(problem: Problem, typed: list[str], line: int, file: str) -> Problem:
    """Return a problem of the joined text at the line of the CSV that it comes from."""
    text = typed[line - 1]
    return replace(problem, file=file, line=line, column=1, text=text, width=len(text))
