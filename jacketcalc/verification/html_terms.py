"""The dossier's section on which terms matter."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from jacketcalc.verification.terms import (
    NEGLIGIBLE_DISCHARGE,
    NEGLIGIBLE_FLOW,
    NEGLIGIBLE_POINTS,
    Setting,
    Term,
    term_list,
)

_NUMBERS = (
    ("Gain", "points"),
    ("Hottest discharge", "K"),
    ("Delivered flow", "%"),
    ("Gain at 10 mm", "points"),
)
"""Headings of the changes with their units."""
_HEAD = (
    '<thead><tr><th scope="col">Term</th><th scope="col">In its place</th>'
    + "".join(f'<th scope="col" class="change">{name}, {unit}</th>' for name, unit in _NUMBERS)
    + '<th scope="col">Noticed by</th></tr></thead>'
)


def terms_section() -> Iterator[str]:
    """Return the section: what was done, the terms that matter, those that do not here."""
    listed = term_list()
    yield '<section aria-labelledby="terms"><h2 id="terms">Which terms matter</h2>'
    yield (
        f"<p>Each of {len(listed.terms)} terms of the physics was broken on purpose, one at a "
        "time, and both machines were solved again. What is listed is the change of "
        "the jackets' gain in delivered flow and, with jackets, of the hottest mean discharge "
        "temperature and of the delivered flow. For every term a test fails when it is broken; "
        "it is named. The numbers are those of one machine: what is small here can be large on "
        "another. The last of them is the change of the gain with jackets wound at a pitch of "
        "10 mm in place of 30, where the exhaust is fast.</p>"
    )
    yield "<ul>" + "".join(map(_setting, listed.settings)) + "</ul>"
    limits = (
        f"{NEGLIGIBLE_POINTS:g} points, {NEGLIGIBLE_DISCHARGE:g} K or {NEGLIGIBLE_FLOW:g} %, "
        "which is what the time steps leave"
    )
    yield from _table(f"These move the main case by more than {limits}", listed.mattering)
    yield from _table("These matter only where jackets are wound tightly", listed.tight)
    yield from _table("These matter in neither", listed.idle)
    yield "</section>"


def _setting(s: Setting) -> str:
    name = f"Main case, {s.name}" if s.name == "as stated" else f"With {s.name}"
    return (
        f"<li>{escape(name)}: gain {s.gain:+.2f} %, hottest discharge {s.discharge:.1f} K, "
        f"delivered {1e3 * s.flow:.4g} g/s; gain at 10 mm {s.tight:+.2f} %</li>"
    )


def _table(caption: str, terms: tuple[Term, ...]) -> Iterator[str]:
    yield f'<div class="scroll" role="region" tabindex="0" aria-label="{escape(caption)}"><table>'
    yield f"<caption>{escape(caption)} ({len(terms)})</caption>\n{_HEAD}\n<tbody>"
    for term in terms:
        yield _row(term)
    yield "</tbody></table></div>"


def _row(t: Term) -> str:
    notes = [t.part] if t.setting == "as stated" else [t.part, f"with {t.setting}"]
    if t.failure:
        notes.append(f"without it: {t.failure}")
    cells = (f"{t.gain:+.2f}", f"{t.discharge:+.1f}", f"{t.flow:+.2f}", f"{t.tight:+.2f}")
    numbers = "".join(f'<td class="number">{_signless(cell)}</td>' for cell in cells)
    name, small = escape(t.term[0].upper() + t.term[1:]), escape("; ".join(notes))
    return (
        f'<tr><th scope="row">{name}<br><small>{small}</small></th>'
        f'<td>{escape(t.broken)}</td>{numbers}<td class="test">{escape(t.test)}</td></tr>'
    )


def _signless(cell: str) -> str:
    """Write nothing before a zero."""
    return cell if float(cell) else cell.lstrip("+-")
