"""The verification as one page that needs nothing else: the dossier."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from html import escape

from jacketcalc.verification.figures import (
    difference_text,
    expected_text,
    found_text,
    tolerance_text,
)
from jacketcalc.verification.html_terms import terms_section
from jacketcalc.verification.published import (
    CAUTION,
    NOT_MEASURED,
    PARTS,
    Finding,
    PublishedCheck,
    PublishedSource,
    Verification,
)

_STYLE = """
:root { color-scheme: light dark; --ink: #1b1b1b; --paper: #fff; --rule: #b5b5b5;
  --good: #1a5e37; --bad: #9d1c1c; --doubt: #7a4b00; --shade: #f3f3f1; }
@media (prefers-color-scheme: dark) { :root { --ink: #ececec; --paper: #161616;
  --rule: #555; --good: #7fd1a0; --bad: #ff9d93; --doubt: #f0c070; --shade: #222; } }
body { font: 1rem/1.45 Georgia, "Times New Roman", serif; color: var(--ink);
  background: var(--paper); max-width: 62rem; margin: 2rem auto; padding: 0 1rem; }
h1, h2 { font-weight: 600; line-height: 1.2; }
h2 { margin-top: 2.2rem; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; }
caption { text-align: left; padding-bottom: .4rem; }
th, td { text-align: left; vertical-align: top; padding: .3rem .6rem;
  border-bottom: 1px solid var(--rule); }
td.number, th.number { text-align: right; white-space: nowrap;
  font-variant-numeric: tabular-nums; }
thead th { border-bottom: 2px solid var(--ink); }
.agrees { color: var(--good); } .DISAGREES { color: var(--bad); font-weight: 700; }
.doubtful { color: var(--doubt); }
tr.why td { background: var(--shade); }
small { font-size: .85rem; font-weight: 400; }
td.unit { white-space: nowrap; }
th.change { text-align: right; }
td.test { font-size: .85rem; overflow-wrap: anywhere; min-width: 11rem; }
a { color: inherit; }
a:focus-visible, summary:focus-visible { outline: 3px solid var(--doubt); outline-offset: 2px; }
@media print { body { max-width: none; margin: 0; } thead { display: table-header-group; }
  tr { break-inside: avoid; } }
"""

_HEAD = (
    '<thead><tr><th scope="col">Case</th><th scope="col">Unit</th>'
    '<th scope="col" class="number">Found</th><th scope="col" class="number">Expected</th>'
    '<th scope="col" class="number">Difference</th>'
    '<th scope="col" class="number">Tolerance</th><th scope="col">State</th></tr></thead>'
)


_COUNTED = (
    ("agrees", "agree"),
    ("same formula", "with their own formula"),
    ("DISAGREES", "disagree"),
    ("doubtful", "doubtful"),
)


def verification_html(report: Verification) -> str:
    """Return the dossier: every finding with inputs and reasons, then the sources."""
    return "\n".join(_page(report)) + "\n"


def _page(report: Verification) -> Iterator[str]:
    yield '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>Published cases: {len(report.findings)} checks</title>"
    yield f"<style>{_STYLE}</style>\n</head>\n<body>\n<main>"
    yield "<h1>Published cases and what the program finds</h1>"
    yield f"<p><strong>{escape(NOT_MEASURED)}</strong></p>"
    yield f"<p><strong>{escape(report.count)}.</strong></p>"
    yield f"<p>{escape(CAUTION)}</p>"
    versions = ", ".join(f"{name} {number}" for name, number in report.versions.items())
    yield f"<p><small>{escape(versions)}</small></p>"
    yield (
        "<p>Each row runs a function of the program with the inputs that the source states. "
        "A tolerance follows from the digits printed unless a reason is given. A doubtful row "
        "is shown and explained; it counts neither for nor against. Where the published number "
        "comes from the program's own formula, the row says so: it shows that the formula was "
        "written down rightly, and nothing of whether it is true.</p>"
    )
    parts = [part for part in PARTS if report.of_part(part)]
    yield '<nav aria-label="Parts of the model"><ul>'
    for number, part in enumerate(parts):
        yield f'<li><a href="#part{number}">{_title(part)}</a></li>'
    yield '<li><a href="#terms">Which terms matter</a></li>'
    yield '<li><a href="#sources">Sources</a></li></ul></nav>'
    for number, part in enumerate(parts):
        yield from _part(f"part{number}", part, report.of_part(part))
    yield from terms_section()
    yield '<section aria-labelledby="sources"><h2 id="sources">Sources</h2>\n<dl>'
    for source in report.sources:
        yield from _source(source)
    yield "</dl></section>\n</main>\n</body>\n</html>"


def _part(anchor: str, part: str, findings: tuple[Finding, ...]) -> Iterator[str]:
    yield f'<section aria-labelledby="{anchor}"><h2 id="{anchor}">{_title(part)}</h2>'
    yield '<div class="scroll" role="region" tabindex="0" '
    yield f'aria-labelledby="{anchor}"><table>'
    states = Counter(f.state for f in findings)
    counted = ", ".join(f"{states[state]} {word}" for state, word in _COUNTED if states[state])
    yield f"<caption>{len(findings)} checks: {counted}</caption>"
    yield f"{_HEAD}\n<tbody>"
    for finding in findings:
        yield from _row(finding)
    yield "</tbody></table></div></section>"


def _row(finding: Finding) -> Iterator[str]:
    check = finding.check
    cells = (
        found_text(finding),
        expected_text(finding),
        difference_text(finding),
        tolerance_text(finding),
    )
    numbers = "".join(f'<td class="number">{escape(cell)}</td>' for cell in cells)
    yield (
        f'<tr id="{escape(check.id)}"><th scope="row">{escape(check.what)}'
        f"<br><small>{_details(check)}</small></th>"
        f'<td class="unit">{escape(check.expected.unit) or "-"}</td>'
        f'{numbers}<td class="{finding.state.split()[0]}">{finding.state}</td></tr>'
    )
    for label, why in (("Why doubtful", check.doubtful), ("It disagrees", check.disagrees)):
        if why:
            words = f"<strong>{label}:</strong> {escape(why)}"
            yield f'<tr class="why"><td colspan="7">{words}</td></tr>'


def _details(check: PublishedCheck) -> str:
    """Return source, function, inputs and the reason for the tolerance."""
    source = f'<a href="#source-{escape(check.source.key)}">{escape(check.source.key)}</a>'
    inputs = ", ".join(f"{name} = {amount}" for name, amount in check.inputs.items())
    words = [f"{source} ({escape(check.obtained)})", escape(check.quantity)]
    if inputs:
        words.append(escape(inputs))
    words.append(f"tolerance: {escape(check.because)}")
    return "; ".join(words)


def _source(source: PublishedSource) -> Iterator[str]:
    yield f'<dt id="source-{escape(source.key)}"><strong>{escape(source.key)}</strong></dt>'
    words = f"{source.citation}. {source.where}. ({source.obtained}; {source.kind})"
    if source.remark:
        words += f" {source.remark}"
    yield f"<dd>{escape(words)}</dd>"


def _title(part: str) -> str:
    return escape(part[0].upper() + part[1:])
