"""The report's section of uncertainty holds the numbers of its study, and only where asked for.

Printed units are converted by their definitions: 1 bar = 100 kPa, 0 degC = 273.15 K, 1 h = 3600 s
(SI brochure of the BIPM).
"""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from functools import cache, partial
from pathlib import Path
from typing import Any

import pytest
from report_reader import cells_of
from report_sample import CASES, report_of, result_of, stalled
from uncertain_sample import (
    SAMPLES,
    assessed,
    bench_json,
    rank_json,
    sampled,
    sampled_report,
    study_json,
)

from jacketcalc.cli.main import main
from jacketcalc.report.gather import gather
from jacketcalc.report.html import make_html
from jacketcalc.report.model import Cell, Figure, Paragraph, Report, Row, Table, plain
from jacketcalc.report.xlsx import make_xlsx
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.uncertainty import sampled as sampled_module
from jacketcalc.verification.published import Verification

OWN = ("judged change", "samples", "limit chances", "shares", "uncertain inputs")
"""Tables that stand there with --with uncertainty alone."""
OF_READINGS = ("residuals", "explanations")
PLAIN = {
    "delivered_mass_flow": (3600.0, 0.0),
    "specific_air_consumption": (1.0, 0.0),
    "hottest_discharge": (1.0, 273.15),
    "cycle_rate": (1.0, 0.0),
    "stall_pressure": (1e-5, 0.0),
}
"""Size of an SI unit in the unit printed, and the SI value printed as nought."""


@cache
def report() -> Report:
    return sampled_report()


def table(name: str, of: Report | None = None) -> Table:
    return next(t for t in (of or report()).tables() if t.name == name)


def _names(of: Report) -> set[str]:
    return {t.name for t in of.tables()}


def _told(cells: tuple[Cell, ...], wanted: list[float]) -> None:
    """Hold printed numbers to the study's, within half of the last digit printed."""
    assert len(cells) == len(wanted)
    for cell, value in zip(cells, wanted, strict=True):
        text = plain(cell.text).replace("−", "-").replace("+", "")
        half = 0.5 * 10.0 ** -len(text.partition(".")[2])
        assert cell.number is not None and float(text) == pytest.approx(cell.number)
        assert cell.number == pytest.approx(value, abs=half * (1 + 1e-6))
        assert cell.full == pytest.approx(value, rel=1e-9, abs=1e-9)


def _value(summary: dict[str, Any], *names: str) -> list[float]:
    return [summary[name]["value"] for name in names]


def test_the_section_stands_only_where_asked_for() -> None:
    without = report_of(assessed())
    assert not _names(without) & {*OWN, *OF_READINGS}
    assert {*OWN, *OF_READINGS} <= _names(report())
    told = " ".join(dict(without.cover.notes)["Not run"])
    assert "sampling of tolerances (--with uncertainty)" in told
    assert "sampling" not in " ".join(dict(report().cover.notes)["Not run"])
    words = {
        name: " ".join(plain(b.text) for b in of.blocks() if isinstance(b, Paragraph))
        for name, of in (("without", without), ("with", report()))
    }
    assert "Not run: the sampling of tolerances" in words["without"]
    assert "Not run: the sampling of tolerances" not in words["with"]
    figures = [sum(isinstance(b, Figure) for b in of.blocks()) for of in (without, report())]
    assert figures[1] - figures[0] == 4


def test_readings_stand_only_where_the_case_has_them() -> None:
    alone = gather(make_dossier(assessed()), Verification(findings=()),
                   sampled=replace(sampled(), bench=None))  # fmt: skip
    assert set(OWN) <= _names(alone) and not _names(alone) & set(OF_READINGS)


def test_method_names_points_pairs_and_seed() -> None:
    text = next(
        plain(b.text)
        for b in report().blocks()
        if isinstance(b, Paragraph) and plain(b.text).startswith("Method: propagation")
    )
    study = study_json()
    assert "scrambled Sobol" in text and "JCGM 101" in text
    assert f"{study['samples']} pairs of machines" in text and f"seed {study['seed']}" in text
    assert f"{len(study['inputs'])} inputs" in text
    seed = {row.cells[0].text: row.cells[1].text for row in table("versions").rows}["seed"]
    assert seed == f"{study['seed']}, of section 11"
    versions = table("versions", report_of(assessed())).rows
    assert {r.cells[0].text: r.cells[1].text for r in versions}["seed"].startswith("none")


def test_judged_change_is_the_study_s_with_its_sampling_errors() -> None:
    rows, gain = table("judged change").rows, study_json()["gain"]
    names = ("mean", "median", "low", "high", "standard_uncertainty")
    for line, name in zip(rows, names, strict=False):
        _told(line.cells[2:], [100 * gain[name]["value"], 100 * gain[name]["sampling_error"]])
    chance = study_json()["probability_pays"]
    _told(rows[-1].cells[2:], [100 * chance["value"], 100 * chance["sampling_error"]])


def test_main_results_are_the_study_s() -> None:
    rows: list[Row] = [r for r in table("samples").rows if not r.group]
    names = ("median", "low", "high")
    for i, one in enumerate(study_json()["headlines"]):
        size, zero = PLAIN[one["key"]]
        for line, machine in zip(rows[3 * i : 3 * i + 2], ("no_jackets", "with_jackets"),
                                 strict=True):  # fmt: skip
            values = [size * (v - zero) for v in _value(one[machine], *names)]
            spread = size * one[machine]["standard_uncertainty"]["value"]
            error = size * max(one[machine][k]["sampling_error"] for k in ("low", "high"))
            _told(line.cells[1:], [*values, spread, error])
        size = 100.0 if one["change_is"] == "relative" else 1.0
        values = [size * v for v in _value(one["change"], *names, "standard_uncertainty")]
        error = size * max(one["change"][k]["sampling_error"] for k in ("low", "high"))
        _told(rows[3 * i + 2].cells[1:], [*values, error])


def test_a_result_without_numbers_has_dashes() -> None:
    study = sampled().study
    lost = replace(study.headlines[1], no_jackets=None, change=None)
    odd = replace(study, headlines=(study.headlines[0], lost, *study.headlines[2:]))
    made = gather(make_dossier(assessed()), Verification(findings=()),
                  sampled=replace(sampled(), study=odd))  # fmt: skip
    rows = [r for r in table("samples", made).rows if not r.group]
    assert [plain(c.text) for c in rows[3].cells[1:]] == ["–"] * 5
    assert rows[4].cells[1].number is not None
    assert [plain(c.text) for c in rows[5].cells[1:]] == ["–"] * 5


def test_chances_of_limits_are_the_study_s_and_add_up() -> None:
    rows = table("limit chances").rows
    told = study_json()["limits"]
    assert [plain(r.cells[0].text) for r in rows] == [one["what"] for one in told]
    fates = ("kept", "mended", "newly_broken", "broken_in_both")
    for line, one in zip(rows, told, strict=True):
        error = 100 * max(one[f]["sampling_error"] for f in fates)
        _told(line.cells[1:], [*(100 * one[f]["value"] for f in fates), error])
        assert sum(c.full or 0.0 for c in line.cells[1:5]) == pytest.approx(100.0)


def test_largest_shares_that_are_told_from_nought_are_listed_first() -> None:
    rows, every = table("shares").rows, study_json()["shares"]
    told = [one for one in every if one["first"] > 2.0 * one["sampling_error"]]
    assert 0 < len(rows) == min(10, len(told)) < len(every)
    assert [plain(r.cells[0].text) for r in rows] == [one["path"] for one in told[:10]]
    for line, one in zip(rows, told, strict=False):
        _told(line.cells[1:], [100 * one["first"], 100 * one["sampling_error"]])


def test_every_uncertain_input_has_its_estimate_distribution_and_origin() -> None:
    """Estimates are traced: the cell's path leads to the same number in the assessment's JSON."""
    result = result_of(assessed())
    told = {one["path"]: one for one in study_json()["inputs"]}
    seen, head = set(), ""
    laws = {"Rectangular": "rectangular", "Normal": "normal", "LogNormalFactor": "log-normal",
            "LogRectangular": "log-rectangular"}  # fmt: skip
    for line in table("uncertain inputs").rows:
        if line.group:
            head = plain(line.cells[0].text).replace(", ", ".").replace(" ", "_")
            continue
        path = f"{head}.{plain(line.cells[0].text).replace(' ', '_')}"
        one = told[path]
        place = re.fullmatch(r"detail\.inputs\[(\d+)\]\.value", line.cells[1].path)
        assert place is not None, path
        assert result["detail"]["inputs"][int(place[1])]["value"] == line.cells[1].value
        assert line.cells[1].value == one["value"]
        assert plain(line.cells[5].text) == laws[one["distribution"]] + ", cut off" * one["cut_off"]
        assert plain(line.cells[6].text) == one["origin"]
        seen.add(path)
    assert seen == set(told)


def test_a_tolerance_is_rectangular_and_its_spread_has_its_unit() -> None:
    """u = a/sqrt(3) (JCGM 100, 4.3.7): the drive's bore of 80 mm +- 0.1 mm."""
    line = next(r for r in table("uncertain inputs").rows
                if not r.group and r.cells[6].text == "tolerance of the case")  # fmt: skip
    assert [plain(c.text) for c in line.cells[:3]] == ["bore", "80", "mm"]
    assert line.cells[3].text == f"{1e3 * 0.1 / 3**0.5:.0f}\u00a0µm"
    # 95 % of a rectangle of 0.2 mm, in the middle.
    assert line.cells[4].text == "79.91 to 80.09\u00a0mm"


def test_residuals_and_explanations_are_the_bench_s() -> None:
    told = bench_json()
    for line, one in zip(table("residuals").rows, told["readings"], strict=True):
        zero = 273.15 if one["unit"] == "K" else 0.0
        values = [one[k] - zero for k in ("value", "predicted", "fitted")]
        cells = line.cells
        assert plain(cells[0].text) == one["name"]
        _told((cells[2], cells[4], cells[5]), values)
        _told((cells[3], cells[6]), [one["standard_uncertainty"], one["residual"]])
    rows = table("explanations").rows
    assert [plain(r.cells[0].text) for r in rows] == [
        *(one["name"] for one in told["single"]), "all together"]  # fmt: skip
    for line, one in zip(rows, [*told["single"], told["joint"]], strict=True):
        _told((line.cells[2],), [one["chi_square"]])
        assert (plain(line.cells[4].text) == "yes") == one["explains"] == (one["p_value"] >= 0.05)
        gain = f"{100 * one['gain']['value']:+.1f}".replace("-", "−")
        assert not one["explains"] or gain in plain(line.cells[5].text)
        low = one["values"][0]["low"]
        assert line is rows[-1] or f"({low:.2f} to" in plain(line.cells[1].text)


def test_words_follow_the_readings() -> None:
    found = sampled().bench
    assert found is not None
    no_fit = replace(found, joint=replace(found.joint, p_value=1e-4))
    flipped = replace(found, single=(replace(found.single[0], p_value=0.5, answer="does not pay"),))

    def said(bench: Any) -> str:
        made = gather(make_dossier(assessed()), Verification(findings=()),
                      sampled=replace(sampled(), bench=bench))  # fmt: skip
        return " ".join(plain(b.text) for b in made.blocks() if isinstance(b, Paragraph))

    assert "No parameters explain the readings (p = below 0.001)" in said(no_fit)
    assert "The readings do not settle it" in said(flipped)
    assert "DOES NOT PAY or PAYS" in said(flipped)
    assert "After the readings, all unknowns fitted together: PAYS" in said(found)


def test_a_number_without_a_place_is_the_study_s() -> None:
    """Only the study's own tables hold numbers that the assessment's JSON has not."""
    with_parts = {(t.name, plain(c.text)) for t, c in cells_of(report())
                  if c.number is not None and not c.path}  # fmt: skip
    without = {t.name for t, c in cells_of(report_of(assessed()))
               if c.number is not None and not c.path}  # fmt: skip
    assert {name for name, _ in with_parts} - without == {*OWN, *OF_READINGS} - {"uncertain inputs"}


def test_a_stalled_machine_is_not_sampled() -> None:
    words = " ".join(plain(b.text) for b in report_of(stalled()).blocks()
                     if isinstance(b, Paragraph))  # fmt: skip
    assert "uncertainty (a machine delivers nothing)" in words


def test_captions_and_figures_belong_to_the_ranking_and_the_study() -> None:
    figures = [b for s in report().sections if s.number == "11" for b in s.blocks
               if isinstance(b, Figure)]  # fmt: skip
    assert len(figures) == 4
    assert rank_json()["effects"][0]["path"] in figures[1].alt
    numbers = [b.number for b in report().blocks() if isinstance(b, Figure)]
    assert numbers == list(range(1, len(numbers) + 1))


def test_the_same_report_has_the_same_bytes() -> None:
    assert make_html(report()) == make_html(sampled_report())
    assert make_xlsx(report()) == make_xlsx(sampled_report())


def test_command_takes_both_parts_and_refuses_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(CASES / "single.toml", "case.toml")
    assert main(["report", "case.toml", "--with", "pitch,certainty"]) == 2
    assert "it takes pitch, rivals, uncertainty, water, fill" in capsys.readouterr().err
    # The fewest pairs: what is tried here is the way from the option to the page.
    fewest = partial(sampled_module.solve_sampled, samples=SAMPLES)
    monkeypatch.setattr(sampled_module, "solve_sampled", fewest)
    asked = ["report", "case.toml", "--with", "pitch,uncertainty", "--format", "html", "-o", "out"]
    assert main(asked) == 0
    page = (tmp_path / "out" / "case.html").read_text("utf-8")
    assert "Sampling of the inputs" in page and "Best pitch for each aim" in page
    assert "Readings of the bench" not in page
    assert "(--with uncertainty)" not in page and "(--with pitch)" not in page
