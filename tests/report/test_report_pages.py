"""Pages of the report: one page of summary, the case inside, no seams, the same bytes."""

from __future__ import annotations

import hashlib
import html
import itertools
import math
import os
import re
import subprocess
import sys
import zlib
from dataclasses import replace
from pathlib import Path

import pytest
import typst
from matplotlib.collections import PolyCollection
from report_sample import CASES, MAIN, found, report_of, stalled

from jacketcalc.assessment.result import Assessment
from jacketcalc.inputs import Document
from jacketcalc.report.figures.stage_part import solved_part
from jacketcalc.report.figures.unrolled import draw_stage
from jacketcalc.report.gather import gather
from jacketcalc.report.html import make_html
from jacketcalc.report.model import Paragraph, Raised, Report, Symbol, plain
from jacketcalc.report.pdf import Paper, make_pdf, make_source
from jacketcalc.report.sections.formulas import set_formula
from jacketcalc.studies.solve_dossier import check_grid, make_dossier
from jacketcalc.verification.published import Verification

LONGEST = 200
"""Letters a text of a case can have at most [-]."""
PAPERS: tuple[Paper, ...] = ("a4", "us-letter")


def _titled(title: str, field: str = "") -> Assessment:
    """Return the main result under another title, every title-block field filled."""
    names = ("owner", "number", "revision", "date", "author", "checker", "approver")
    case = found("hot").case
    document = Document(**dict.fromkeys(names, field)) if field else case.document
    return replace(found("hot"), case=replace(case, title=title, document=document))


def _filled(words: str) -> str:
    return (words * LONGEST)[:LONGEST].strip()


CROWDED = {
    "as it is": lambda: report_of(found("hot")),
    "does not pay": lambda: report_of(found("tight")),
    "stalls": lambda: report_of(stalled()),
    "longest title": lambda: report_of(_titled(_filled("Booster of a laboratory "))),
    "all fields": lambda: report_of(_titled(_filled("Ψύξη "), _filled("Рубашка охлаждения "))),
    "one long word": lambda: report_of(_titled(_filled("W"), _filled("W"))),
    "twice the notes": lambda: _doubled(report_of(_titled(_filled("Long words ")))),
}


def _doubled(report: Report) -> Report:
    cover = report.cover
    notes = tuple((head, 2 * lines) for head, lines in cover.notes)
    return replace(report, cover=replace(cover, notes=notes))


EXTREME = ("all fields", "one long word", "twice the notes")
"""Title blocks that take a second page: nothing is set under 6 pt to save one."""


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", CROWDED)
def test_summary_is_one_page(name: str, paper: Paper) -> None:
    """What follows the summary stands on page 2; where every field is full, on page 3 at most."""
    report = replace(CROWDED[name](), sections=())
    source = make_source(report, paper).encode("utf-8")
    page = typst.query(source, "<after-summary>", field="value", ignore_system_fonts=True)
    number = int(page.strip("[] \n"))
    assert number == 2 or (name in EXTREME and number == 3)


def test_summary_loses_nothing() -> None:
    """However small it is set, every line of the first page is in the source once."""
    report = CROWDED["all fields"]()
    source = make_source(report, "us-letter").partition("#pagebreak")[0]
    told = [line for _, lines in report.cover.notes for line in lines]
    told += [line for part in report.cover.statements for line in (part.head, *part.lines)]
    told += [report.cover.about, report.cover.caution, report.cover.why]
    assert all(line.replace('"', '\\"') in source for line in told)
    assert all(content in source for _, content in report.cover.fields)


def test_summary_says_caution_and_what_was_not_run() -> None:
    for assessment in (found("hot"), stalled()):
        report = report_of(assessment)
        notes = dict(report.cover.notes)
        caution = report.cover.caution
        assert "local codes" in caution and "licensed" in caution and "oil can ignite" in caution
        told = " ".join(notes["Not run"])
        for part in ("pitch", "uncertainty", "filling", "water"):
            assert part in told
        words = " ".join(plain(getattr(b, "text", "")) for b in report.blocks())
        for part in ("filling of the receiver", "sampling of tolerances", "water along the path"):
            assert f"Not run: the {part}" in words
        assert "comparison of pitches was not run" in words


def test_empty_fields_say_so_and_leave_room() -> None:
    """ISO 7200 (from memory): no mandatory field of a title block vanishes."""
    text = html.unescape(make_html(report_of(found("hot"))))
    for name in ("Legal owner", "Date of issue", "Creator", "Checked by", "Approved by"):
        assert f"<dt>{name}, not stated</dt><dd></dd>" in text
    assert "<dt>Identification number</dt><dd>TC-0042</dd>" in text


def _streams(data: bytes) -> list[bytes]:
    """Return the unpacked streams of a PDF."""
    unpacked = []
    for stream in re.finditer(rb"stream\r?\n(.*?)\r?\nendstream", data, re.S):
        try:
            unpacked.append(zlib.decompress(stream[1]))
        except zlib.error:
            unpacked.append(stream[1])
    return unpacked


def test_case_can_be_taken_out_again() -> None:
    """The case file in PDF and page has the SHA-256 that stands beside it."""
    report = report_of(found("hot"))
    wanted = hashlib.sha256(MAIN.encode("utf-8")).hexdigest()
    assert report.sha256 == wanted
    data = make_pdf(report)
    assert b"/EmbeddedFile" in data
    assert MAIN.encode("utf-8") in _streams(data)
    kept = re.search(r"<pre>\n(.*?)</pre>", make_html(report), re.S)
    assert kept is not None
    assert hashlib.sha256(html.unescape(kept[1]).encode("utf-8")).hexdigest() == wanted


@pytest.mark.parametrize("name", ["hot", "single", "tight"])
def test_colours_of_the_passage_leave_no_seam(name: str) -> None:
    """Each piece of the ramp reaches under the next, so that smoothing shows no paper between; only
    those that the edge of the view parts lie apart, one at each turn of each start."""
    part = solved_part(found(name), 0)
    figure = draw_stage(part)
    ramps = [c for ax in figure.axes for c in ax.collections if isinstance(c, PolyCollection)]
    outlines = [path.vertices for path in ramps[0].get_paths()]
    overlaps = 0
    for one, two in itertools.pairwise(outlines):
        touch = min(one[:, 1].max(), two[:, 1].max()) - max(one[:, 1].min(), two[:, 1].min())
        beside = min(one[:, 0].max(), two[:, 0].max()) - max(one[:, 0].min(), two[:, 0].min())
        assert touch < 0 or beside < 0 or touch > 0.1, (touch, beside)
        overlaps += touch > 0.1
    helix, jacket = part.helix, part.stage.jacket
    assert helix is not None and jacket is not None and len(outlines) > 40
    assert overlaps >= len(outlines) - 1 - jacket.starts * (math.ceil(helix.turns) + 1)


def test_grid_check_is_shown_or_said_to_be_missing() -> None:
    """Half the steps: two numerics of one machine, a percent apart at most; else words say why."""
    assessment = found("single")
    grid = check_grid(assessment.case)
    assert not grid.failure
    pairs = ((assessment.bare, grid.bare), (assessment.jacketed, grid.jacketed))
    for one, other in pairs:
        assert other.delivered_mass_flow == pytest.approx(one.delivered_mass_flow, rel=0.01)
    report = gather(make_dossier(assessment, grid=grid), Verification(findings=()))
    table = next(t for t in report.tables() if t.name == "grid check")
    for row in table.rows:
        standard, half, gap = (cell.number for cell in row.cells[2:])
        assert standard is not None and half is not None
        assert gap == pytest.approx(half - standard, abs=1e-9)
    failed = replace(grid, failure="the balance did not settle")
    for given, words in ((failed, "the balance did not settle"), (None, "not run for this report")):
        dossier = make_dossier(assessment, grid=given)
        texts = gather(dossier, Verification(findings=())).blocks()
        assert any(words in plain(b.text) for b in texts if isinstance(b, Paragraph))


SCRIPT = """
import hashlib, sys
from jacketcalc.assessment.assess import assess
from jacketcalc.casefile.reading import read_case
from jacketcalc.core.resolution import Resolution
from jacketcalc.report.gather import gather
from jacketcalc.report.write import write_report
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.verification.published import Verification
found = assess(read_case(sys.argv[1]), resolution=Resolution().scaled(0.35))
report = gather(make_dossier(found), Verification(findings=()))
print(*(hashlib.sha256(write_report(report, f)).hexdigest() for f in ("html", "pdf", "xlsx")))
"""


def _hashes(case: Path, folder: Path, seed: str, zone: str) -> list[str]:
    """Make the report in a process of its own; return the SHA-256 of each format."""
    folder.mkdir()
    copy = folder / case.name
    copy.write_bytes(case.read_bytes())
    own = {"PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": str(CASES.parent.parent)}
    made = subprocess.run(
        [sys.executable, "-c", SCRIPT, copy.name], cwd=folder, env={**os.environ, **own},
        capture_output=True, text=True, timeout=300, check=True,
    )  # fmt: skip
    return made.stdout.split()


def test_same_bytes_in_another_process_and_folder(tmp_path: Path) -> None:
    """Neither the folder, the order of hashes nor the time zone leaves a trace."""
    case = CASES / "single.toml"
    once = _hashes(case, tmp_path / "one", "1", "UTC")
    again = _hashes(case, tmp_path / "another folder", "4711", "Pacific/Auckland")
    assert len(once) == 3 and once == again


def test_formulas_are_set() -> None:
    assert set_formula("Nu = 1.37 De^0.315") == (
        Symbol("Nu"), " = 1.37 ", Symbol("De"), Raised("0.315"))  # fmt: skip
    assert set_formula("a^-0.17 - (Dh/Dc)^(2/3)") == (
        Symbol("a"), Raised("−0.17"), " ", "−", " (", Symbol("D", "h"), "/", Symbol("D", "c"), ")",
        Raised("2/3"))  # fmt: skip
    assert plain(set_formula("u_p^-0.4 from the jet")) == "u_p^(−0.4) from the jet"
