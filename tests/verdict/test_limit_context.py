"""Limits in one place: each with its source, and beside them what is not judged.

Temperatures are read again from the solved machine's own arrays; stresses from equilibrium of half
a cylinder (thin) and from the two conditions that Lamé's constants meet (thick).
"""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from places import ROOT
from report_sample import report_of, stalled

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.limit_context import (
    CARBONISES,
    IGNITES,
    list_figures,
    list_seals,
    list_stresses,
)
from jacketcalc.assessment.result import Assessment
from jacketcalc.casefile.reading import read_case, read_case_text
from jacketcalc.cli.main import main
from jacketcalc.core.run import solve
from jacketcalc.core.traces import passage_parts
from jacketcalc.designs import Design
from jacketcalc.show.limit_context_text import make_limits_text
from jacketcalc.show.to_json import make_json

TIGHT = ROOT / "cases" / "tight_jacket.toml"
OBTAINED = ("read", "from memory", "the case", "no source")
"""How a source says that it reached this project."""


@cache
def found(name: str = "tight_jacket") -> Assessment:
    return assess(read_case(str(ROOT / "cases" / f"{name}.toml")))


def figure(begins: str, ends: str = "") -> float:
    return next(one.jacketed for one in list_figures(found())
                if one.what.startswith(begins) and one.what.endswith(ends))  # fmt: skip


def test_every_limit_says_where_it_comes_from() -> None:
    for one in (*found().limits, *list_figures(found()), *list_seals(found())):
        assert any(word in one.source for word in OBTAINED), one
    discharge = next(c for c in found().limits if c.what.startswith("discharge"))
    assert "process compressors" in discharge.source and "API" in discharge.source


def test_a_material_of_the_case_has_the_source_of_the_case() -> None:
    text = found().case.text.replace('shell_material = "POM"', 'shell_material = "our_pom"')
    text += '\n[materials.our_pom]\nconductivity = "0.3 W/(m K)"\nsource = "measured"\n'
    own = assess(read_case_text(text))
    sources = [c.source for c in own.limits if "our_pom" in c.what]
    assert sources == ["service temperatures of the case"] * 2


def test_what_is_not_judged_is_not_counted() -> None:
    """The first screen counts the limits that it counted before: 10 of the tight machine."""
    assert len(found().limits) == 10
    count = found().verdict.limits
    assert sum(map(len, (count.kept, count.mended, count.newly_broken, count.broken_in_both))) == 10


def test_the_coldest_air_of_a_pulse_is_that_of_the_march() -> None:
    """Every face of the tube in every phase, by a plain loop over the solved machine."""
    s = solve(Design(machine=found().case.machine))
    for node in (0, 1):
        coldest = min(float(part.air.min()) for part in passage_parts(s, node)
                      if part.place == f"tube of port {node + 1}")  # fmt: skip
        air = figure("coldest air of the pulse", f"port {node + 1}")
        assert air == pytest.approx(coldest, abs=1e-6)
    assert figure("coldest air at the drive") == pytest.approx(
        float(s.whole["T"][:, :2].min()), abs=1e-6
    )
    for i, stage in enumerate(found().case.machine.stages):
        T = s.whole["T"][:, s.numbering.stages[i]]
        assert figure("coldest gas", stage.name) == pytest.approx(float(T.min()), abs=1e-6)
        inside = s.found["barrel"][i]["inside"][: s.rings]
        wall = min(float(inside.min()), float(s.found["barrel"][i]["crown"]))
        assert figure("coldest wall", stage.name) == pytest.approx(wall, abs=1e-6)


def test_air_in_a_tube_is_colder_than_its_wall_that_is_judged() -> None:
    tubes = [c for c in found().limits if c.what.startswith("tube service")]
    airs = [one for one in list_figures(found()) if "of the pulse" in one.what]
    assert len(tubes) == len(airs) == 2
    for tube, air in zip(tubes, airs, strict=True):
        assert air.jacketed < tube.jacketed - 10.0 and air.limit == tube.limit


def test_oil_is_a_plain_figure_with_its_source() -> None:
    """160 degC: from memory. 370 degC less 140 K (250 degF, GAP.3.1.1, read): by hand."""
    assert pytest.approx(160.0) == CARBONISES - 273.15
    assert pytest.approx(370.0 - 140.0) == IGNITES - 273.15
    oil = [one for one in list_figures(found()) if one.what.startswith("oil")]
    assert [one.jacketed for one in oil] == [found().jacketed.hottest_discharge] * 2
    assert "GAP.3.1.1" in oil[1].source and "from memory" in oil[0].source


def test_seals_have_margins_at_wall_and_at_gas_hot_and_cold() -> None:
    """Published ranges as the table of materials has them; the worst of all stages by hand."""
    seals = {one.material: one for one in list_seals(found())}
    assert {"PTFE", "UHMWPE", "NBR", "FKM", "PU seal", "POM"} <= set(seals)
    fkm = seals["FKM"]
    assert (fkm.lowest, fkm.highest) == pytest.approx((253.15, 473.15))
    detail = found().jacketed_detail.stages
    hottest = max(float(stage.temperature.max()) for stage in detail)
    assert fkm.hot_gas == pytest.approx(473.15 - hottest, abs=1e-6)
    assert fkm.cold_gas == pytest.approx(
        min(float(stage.temperature.min()) for stage in detail) - 253.15, abs=1e-6
    )
    assert fkm.hot_wall > fkm.hot_gas and fkm.cold_wall > fkm.cold_gas


def test_stresses_hold_the_cylinder_in_balance() -> None:
    """Thin: p d = 2 s t for half a cylinder. Thick: A - B / r2 is -p inside, nought outside."""
    walls = list_stresses(found())
    assert {wall.is_thin for wall in walls} == {True, False}
    for wall in walls:
        inner, outer = wall.bore / 2.0, wall.bore / 2.0 + wall.thickness
        if wall.is_thin:
            held = 2.0 * wall.stress * wall.thickness
            assert held == pytest.approx(wall.pressure * wall.bore, rel=1e-9)
            continue
        A, B = np.linalg.solve([[1.0, -1.0 / inner**2], [1.0, -1.0 / outer**2]],
                               [-wall.pressure, 0.0])  # fmt: skip
        assert wall.stress == pytest.approx(A + B / inner**2, rel=1e-9)


def test_a_barrel_is_stressed_by_the_highest_pressure_that_was_computed() -> None:
    """Above ambient, of both machines; an estimate from the sizes alone may be lower."""
    one = found("impact_laboratory")
    walls = {wall.key: wall for wall in list_stresses(one)}
    for i, stage in enumerate(one.case.machine.stages):
        both = (one.bare_detail, one.jacketed_detail)
        peak = max(float(detail.stages[i].pressure.max()) for detail in both)
        wall = walls[f"stage.{stage.name}.wall_thickness"]
        assert wall.pressure >= peak - one.case.machine.ambient.pressure - 1.0


def test_the_command_prints_all_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["limits", str(TIGHT)]) == 0
    text = capsys.readouterr().out
    assert max(map(len, text.split("\n"))) <= 80
    plain = re.sub(r"\s+", " ", text)
    for words in ("LIMITS /", "BESIDE THE LIMITS, not judged", "SEALS, margins", "HOOP STRESS",
                  "oil carbonises", "Breathing air has standards of its own", "richer in oxygen",
                  "Relief valves and burst protection", "pressure code that applies"):  # fmt: skip
        assert words in plain


def test_json_holds_what_the_screen_shows(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["limits", str(TIGHT), "--json"]) == 0
    own = json.loads(capsys.readouterr().out)
    whole = json.loads(make_json(found()))["detail"]
    for key in ("limits", "beside_limits", "hoop_stress", "seal_materials"):
        assert own[key] == whole[key] and own[key]
    assert own["units"]["hoop_stress[].stress"] == "Pa"
    assert own["units"]["beside_limits[].limit"] == "K"
    assert own["units"]["seal_materials[].hot_gas"] == "K"


def test_files_are_kept_and_bad_cases_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "limits.txt"
    assert main(["limits", str(TIGHT), "-o", str(file)]) == 0
    before = file.read_bytes()
    assert main(["limits", str(TIGHT), "-o", str(file)]) == 2
    assert file.read_bytes() == before
    assert main(["limits", str(tmp_path / "none.toml")]) == 2
    assert "Traceback" not in capsys.readouterr().err


def test_a_machine_that_stalls_still_tells_stress_and_cautions() -> None:
    one = stalled()
    text = make_limits_text(one)
    assert "stalls" in text and "HOOP STRESS" in text and "CAUTIONS" in text
    assert list_figures(one) == () and list_seals(one) == ()


def test_the_report_holds_the_same_tables() -> None:
    tables = {t.name: t for t in report_of(found()).tables()}
    assert len(tables["beside limits"].rows) == len(list_figures(found()))
    assert len(tables["hoop stress"].rows) == len(list_stresses(found()))
    assert len(tables["seals"].rows) == len(list_seals(found()))


def test_oil_is_not_told_of_a_gas_that_feeds_no_fire() -> None:
    """Nitrogen from a source in the stages: no oxygen, no ignition."""
    text = found().case.text.replace('draws_from = "supply"', 'draws_from = "source"')
    bottle = (
        '[gas]\nname = "nitrogen"\nsource = "invented"\n\n[source]\npressure = "8 bar(g)"\n'
        'temperature = "21 degC"\nsource = "invented"\n\n[valve]'
    )
    one = assess(read_case_text(text.replace("[valve]", bottle, 1)))
    assert list_figures(one) and not [f for f in list_figures(one) if f.what.startswith("oil")]
    assert "oil has" not in make_limits_text(one) and "carbonises" not in make_limits_text(one)


def test_columns_stand_apart_in_inch_pound_too() -> None:
    """A psi has seven times the digits of a MPa, and no two numbers may touch."""
    text = found().case.text.replace("[document]", '[document]\nunits = "inch-pound"', 1)
    shown = make_limits_text(assess(read_case_text(text)))
    assert max(map(len, shown.split("\n"))) <= 80
    row = next(line for line in shown.split("\n") if line.startswith('  barrel of stage "second"'))
    assert re.search(r"0\.533 +\d+\.\d +\d+ +\d+ to \d+ +Lame$", row)
