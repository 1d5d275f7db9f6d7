"""Problems of a case as text for a terminal."""

from __future__ import annotations

import textwrap

from jacketcalc.errors import CaseError, Problem

WIDTH = 80
"""Columns that text is wrapped to [-]."""
_RED, _BOLD, _BLUE, _END = "\x1b[31;1m", "\x1b[1m", "\x1b[34;1m", "\x1b[0m"


def render_problems(error: CaseError, color: bool = False) -> str:
    """Return every problem with its line, a caret, why and the fix, then the count.

    With `color` the same text carries terminal escapes and nothing else changes.
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
    names = dict.fromkeys(problem.name for problem in error.problems)
    last = f"{count} problem{'' if count == 1 else 's'}; nothing was computed."
    if error.hidden:
        last = f"{count} problems, the first {len(error.problems)} shown; nothing was computed."
    if names:
        last += f"  More: jacketcalc explain {next(iter(names))}"
    return "\n".join([*parts, _paint(last, _BOLD, color)]) + "\n"


def _render(problem: Problem, why: str, color: bool, quoted: bool) -> str:
    """Render one problem; a line and a reason that were shown before are not shown again."""
    lines = [_first_line(problem, color)]
    if problem.line and not quoted:
        lines += _quote(problem, color)
    if why:
        lines += _wrap("why", why)
    if problem.fix:
        lines += _wrap("fix", problem.fix)
    return "\n".join(lines) + "\n"


def _first_line(problem: Problem, color: bool) -> str:
    place = printable(problem.file)
    if problem.line:
        place += f":{problem.line}:{problem.column}"
    error = _paint("error:", _RED, color)
    return f"{place}: {error} {printable(problem.message)} [{problem.name}]"


def _quote(problem: Problem, color: bool) -> list[str]:
    """Return the line as typed and the caret line under it."""
    number = f"{problem.line:>6}"
    text, start = _window(printable(problem.text), problem.column - 1, WIDTH - 9)
    lead = "".join("\t" if letter == "\t" else " " for letter in text[:start])
    space = max(1, len(text) - start)
    caret = "^" * max(1, min(problem.width, space))
    mark = _paint(f"{caret} {printable(problem.label)}".rstrip(), _RED, color)
    bar = _paint("|", _BLUE, color)
    under = [f"{' ' * 6} {bar} {lead}{mark}"]
    if problem.label and len(lead) + len(caret) + len(problem.label) + 10 > WIDTH:
        under = [f"{' ' * 6} {bar} {lead}{_paint(caret, _RED, color)}"]
        label = textwrap.wrap(printable(problem.label), WIDTH - 11)
        under += [f"{' ' * 6} {bar} {_paint(line, _RED, color)}" for line in label]
    return [f"{_paint(number, _BLUE, color)} {bar} {text}", *under]


def _window(text: str, start: int, width: int) -> tuple[str, int]:
    """Cut a line that is too long round the place that matters."""
    if len(text) <= max(width, 200):
        return text, min(start, len(text))
    begin = max(0, start - width // 3)
    cut = text[begin : begin + width]
    return ("..." + cut, start - begin + 3) if begin else (cut + "...", start)


def _wrap(head: str, text: str) -> list[str]:
    return textwrap.wrap(
        printable(text),
        WIDTH,
        initial_indent=f"  {head}: ",
        subsequent_indent="       ",
        break_long_words=False,
        break_on_hyphens=False,
    )


def _paint(text: str, escape: str, color: bool) -> str:
    return f"{escape}{text}{_END}" if color else text


def printable(text: str) -> str:
    """Replace what could confuse a terminal; tabs stay."""
    if text.isprintable():
        return text
    return "".join(letter if letter.isprintable() or letter == "\t" else "?" for letter in text)
