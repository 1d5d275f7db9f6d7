"""Typst's compiler, held to its own fonts and to no clock."""

from __future__ import annotations

import re
from functools import cache

import typst

from jacketcalc.report.model import Equation

_EQUATION_PAGE = """#set page(width: auto, height: auto, margin: 1pt, fill: none)
#set text(10.5pt)
"""
_ESCAPES = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}
_FONTS = '("Libertinus Serif", "DejaVu Sans Mono")'
"""Fonts of text, as in page.typ."""
COMMON = 0x17F
"""Last letter that every font has: Latin with its accents."""
MARK = "\N{WHITE SQUARE}"
"""Stands for a letter that no font has."""
MOST_NAMED = 12
"""Letters named by their number before the rest is counted [-]."""
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


def quote_kept(text: str) -> str:
    """Return text as a Typst string in which no letter is replaced: it is not shown in a font."""
    return re.sub(r"[^\x00-\x7f]", lambda letter: f"\\u{{{ord(letter[0]):x}}}", quote(text))


@cache
def _is_set(letters: str) -> bool:
    """Return whether the compiler's own fonts have all letters, upright, bold and typewritten."""
    text = quote(letters)
    page = (
        f'#set document(title: "x")\n#set text(font: {_FONTS})\n#text({text})\n'
        f'#strong({text})\n#text(font: "DejaVu Sans Mono", {text})\n'
    )
    try:
        set_pdf(page)
    except typst.TypstError:
        return False
    return True


def find_lacking(text: str) -> str:
    """Return the letters of a text that a PDF cannot show, each once, in the order of Unicode."""
    unusual = sorted({letter for letter in text if ord(letter) > COMMON})
    wide = [letter for letter in unusual if _is_wide(letter)]
    found = [*wide, *_search("".join(letter for letter in unusual if letter not in set(wide)))]
    return "".join(sorted(found))


def _is_wide(letter: str) -> bool:
    """Return whether a letter is of the blocks of which no font of the compiler has any."""
    code = ord(letter)
    return 0x2E80 <= code < 0xFB00 or 0xFE00 <= code < 0xFFF9 or code >= 0x1F000


def _search(letters: str) -> str:
    """Return the letters that cannot be set, by halving."""
    if not letters or _is_set(letters):
        return ""
    if len(letters) == 1:
        return letters
    half = len(letters) // 2
    return _search(letters[:half]) + _search(letters[half:])


def replace_lacking(source: str, lacking: str) -> str:
    """Put the mark in the place of letters that cannot be set."""
    return source.translate(dict.fromkeys(map(ord, lacking), MARK))


def describe_lacking(lacking: str) -> str:
    """Say which letters a PDF shows by the mark."""
    codes = [f"U+{ord(letter):04X}" for letter in lacking[:MOST_NAMED]]
    more = len(lacking) - len(codes)
    named = ", ".join(codes) + (f" and {more} more" if more else "")
    return (
        f"The fonts of the PDF lack {len(lacking)} letter{'s' if len(lacking) > 1 else ''} of this "
        f"case, shown as {MARK}: {named}. The page, the workbook and the attached case keep them."
    )


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
        pdf_standards=["ua-1", "a-3a"],
    )
    return made
