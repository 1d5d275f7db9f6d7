"""Typst's compiler, held to its own fonts and to no clock."""

from __future__ import annotations

import typst

from jacketcalc.report.model import Equation

_EQUATION_PAGE = """#set page(width: auto, height: auto, margin: 1pt, fill: none)
#set text(10.5pt)
"""
_ESCAPES = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}
CREATED = 946684800
"""Time that stands in every file, 2000-01-01, so that it says nothing of when it was made [s]."""


def quote(text: str) -> str:
    """Return text as a Typst string, in which nothing is markup or code."""
    out = []
    for letter in text:
        if letter in '"\\':
            out.append("\\" + letter)
        elif ord(letter) < 32 or ord(letter) == 127 or 0xD800 <= ord(letter) <= 0xDFFF:
            out.append(_ESCAPES.get(letter, "\N{REPLACEMENT CHARACTER}"))
        else:
            out.append(letter)
    return '"' + "".join(out) + '"'


def set_equations(equations: list[Equation]) -> list[str]:
    """Return each equation as SVG."""
    if not equations:
        return []
    pages = "\n#pagebreak()\n".join(f"$ {e.typst} $" for e in equations)
    made = typst.compile(
        (_EQUATION_PAGE + pages).encode("utf-8"), format="svg", ignore_system_fonts=True
    )
    found: list[bytes] = made if isinstance(made, list) else [made]
    return [page.decode("utf-8") for page in found]


def set_pdf(source: str) -> bytes:
    """Return a PDF."""
    made: bytes = typst.compile(
        source.encode("utf-8"),
        format="pdf",
        ignore_system_fonts=True,
        timestamp=CREATED,
        pdf_standards=["ua-1"],
    )
    return made
