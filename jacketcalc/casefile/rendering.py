"""Problems of a case as text for a terminal."""

from __future__ import annotations

from jacketcalc.casefile.columns import count_columns, cut_columns, wrap_columns
from jacketcalc.errors import CaseError, Problem

WIDTH = 80
"""Columns that text is wrapped to [-]."""
_RED, _END = "\x1b[31;1m", "\x1b[0m"
_CUT = "..."
"""What stands where a line was cut."""
_NEAR = 400
"""Letters of a line before and behind the place that are looked at [-]."""
_MOST_MARKED = 48
"""Columns of the place that are repeated [-]."""
_CONTEXT = 20
"""Letters before the place, where the same text stands twice in its line [-]."""


def render_problems(error: CaseError, color: bool = False) -> str:
    """Return every problem with its line, the place, why and the fix, then the count.

    With `color` the word `error` carries terminal escapes and nothing else changes.
    """
    told: set[str] = set()
    parts: list[str] = []
    place = ("", 0, 0)
    for problem in error.problems:
        here = (problem.file, problem.line, problem.column)
        why = "" if problem.why in told else problem.why
        parts.append(_render(problem, why, color, quoted=here == place))
        told.add(problem.why)
        place = here
    count = len(error.problems) + error.hidden
    last = f"{count} problem{'' if count == 1 else 's'}; nothing was computed."
    if error.hidden:
        last = f"{count} problems, the first {len(error.problems)} shown; nothing was computed."
    if error.problems:
        last += f"\nMore on the first: jacketcalc remedy {error.problems[0].name}"
    return "\n".join([*parts, last]) + "\n"


def _render(problem: Problem, why: str, color: bool, quoted: bool) -> str:
    """Render one problem; a line and a reason that were shown before are not shown again."""
    lines = [_first_line(problem, color)]
    if problem.line and not quoted:
        lines += _quote(problem)
    if why:
        lines += _part("why", why)
    if problem.fix:
        lines += _part("fix", problem.fix)
    return "\n".join(lines) + "\n"


def _first_line(problem: Problem, color: bool) -> str:
    place = printable(problem.file)
    if problem.line:
        place += f":{problem.line}:{problem.column}"
    error = f"{_RED}error{_END}" if color else "error"
    return f"{place}: {error}: {printable(problem.message)} [{problem.name}]"


def _quote(problem: Problem) -> list[str]:
    """Return the line as typed, its tabs as blanks, then the place and what is said of it."""
    at = problem.column - 1
    begin, stop = max(0, at - _NEAR), at + _NEAR
    text = printable(problem.text[begin:stop]).replace("\t", " ")
    start = at - begin
    end = start + max(1, problem.width)
    head = f"  line {problem.line}: "
    less, more = begin > 0, len(problem.text) > stop
    shown = _window(text, start, end, WIDTH - len(head), less=less, more=more).rstrip()
    mark, label = _mark(text, start, end), printable(problem.label)
    lines = [head + (shown or "(empty)")]
    if count_columns(f"  here: {mark}  {label}") <= WIDTH:
        return [*lines, f"  here: {mark}  {label}".rstrip()]
    return [*lines, f"  here: {mark}", *wrap_columns(label, WIDTH, " " * 8, " " * 8)]


def _mark(text: str, start: int, end: int) -> str:
    """Return the place between marks, with what stands before it where it could be another."""
    place = text[start:end]
    if not text.strip():
        return "an empty line"
    if start >= len(text.rstrip()):
        return "the end of the line"
    if not place.strip():
        return "a blank" if len(place) <= 1 else "blanks"
    lead = ""
    if text.count(place) > 1 and start:
        before = text[max(0, start - _CONTEXT) : start]
        lead = before.lstrip() if start <= _CONTEXT else f"{_CUT}{before}"
    if count_columns(place) > _MOST_MARKED:
        place = cut_columns(place, _MOST_MARKED) + _CUT
    return f"{lead}>> {place} <<"


def _window(text: str, start: int, end: int, width: int, *, less: bool, more: bool) -> str:
    """Cut a line that is too long round the place that matters.

    Parameters
    ----------
    text : the line
    start, end : where the place begins and ends in it
    width : columns that there are [-]
    less, more : whether the line has been cut already at its beginning, at its end
    """
    if not (less or more) and count_columns(text) <= width:
        return text
    if not less and count_columns(text[:end]) <= width - len(_CUT):
        return cut_columns(text, width - len(_CUT)) + _CUT
    begin = start
    while begin and count_columns(text[begin:start]) < width // 3:
        begin -= 1
    rest = text[begin:]
    lead = _CUT if begin or less else ""
    if not more and count_columns(lead + rest) <= width:
        return lead + rest
    return lead + cut_columns(rest, width - len(lead + _CUT)) + _CUT


def _part(head: str, text: str) -> list[str]:
    return wrap_columns(printable(text), WIDTH, f"  {head}: ", " " * 7)


def printable(text: str) -> str:
    """Replace what could confuse a terminal; tabs stay."""
    if text.isprintable():
        return text
    return "".join(letter if letter.isprintable() or letter == "\t" else "?" for letter in text)
