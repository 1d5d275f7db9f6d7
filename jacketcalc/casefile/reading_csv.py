"""Readings from a CSV file: its columns are the keys of [[reading]], its cells as typed there."""

from __future__ import annotations

import csv
import io
import json

from jacketcalc.casefile.schema import known_keys
from jacketcalc.casefile.schema_reading import READING
from jacketcalc.casefile.similar import find_similar, join_words
from jacketcalc.errors import CaseError, Problem


def readings_text(text: str, file: str) -> str:
    """Return the readings of a CSV text as tables of a case.

    Parameters
    ----------
    text : the CSV, comma or semicolon between cells; lines that begin with # are left out
    file : its name, for problems

    Raises
    ------
    CaseError
        When it holds no reading, or a column that a reading does not have.
    """
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    mark = ";" if lines and lines[0].count(";") > lines[0].count(",") else ","
    rows = list(csv.DictReader(io.StringIO("\n".join(lines)), delimiter=mark))
    known = known_keys(READING)
    problems = [
        Problem(
            name="key-unknown", message=f'"{column}" is no column of readings', file=file,
            path=str(column), why=f"known here: {', '.join(known)}",
            fix=f'write "{find_similar(str(column), known)}"'
            if find_similar(str(column), known) else f"one of {join_words(known)}",
        )
        for column in (rows[0] if rows else ())
        if str(column).strip() not in known
    ]  # fmt: skip
    if not rows:
        problems.append(
            Problem(name="file-empty", message="the file holds no reading", file=file, path="",
                    why="a reading is a line below the names of columns", fix="add a line")
        )  # fmt: skip
    if problems:
        raise CaseError(problems)
    tables = []
    for row in rows:
        entries = {k.strip(): v.strip() for k, v in row.items() if k and v and v.strip()}
        tables.append(
            "[[reading]]\n"
            + "".join(
                f"{key} = {json.dumps(value, ensure_ascii=False)}\n"
                for key, value in entries.items()
            )
        )
    return "\n" + "\n".join(tables)  # fmt: skip
