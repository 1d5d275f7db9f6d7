"""Sentences that said more than the program knows."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from command_line import CASE
from report_sample import found, report_of
from study_sample import invented

from jacketcalc.assessment.compare import compare
from jacketcalc.cli.main import main
from jacketcalc.report.html import make_html
from jacketcalc.report.sections.checks import what_drives
from jacketcalc.report.traced import Pen
from jacketcalc.show.study_text import make_study_text


def test_what_moves_most_is_the_change_and_not_the_flow() -> None:
    """A member that doubles both flows moves the flow by 100 % and the change by nothing.

    Worked by hand: the stated change is +10 %; one member makes 2.2 out of 2, the other 1.2 out
    of 1.
    """
    whole = found("impact_laboratory")
    flows = {"as stated": (1.1, 1.0), "both double": (2.2, 2.0), "the change doubles": (1.2, 1.0)}
    members = []
    for label, (jacketed, bare) in flows.items():
        new, old = (replace(o, delivered_mass_flow=f) for o, f in
                    ((whole.jacketed, jacketed), (whole.bare, bare)))  # fmt: skip
        members.append(replace(whole.band.members[0], label=label, jacketed=new, bare=old,
                               change=compare(new, old)))  # fmt: skip
    stated = members[0]
    told = what_drives(Pen(replace(
        whole, jacketed=stated.jacketed, bare=stated.bare, change=stated.change,
        band=replace(whole.band, members=tuple(members)),
    )))  # fmt: skip
    assert "change of delivered flow depends most on “the change doubles”: +10.0 percent" in told
    assert "Delivered flow itself moves by +9.1\u00a0% with the jackets" in told
    assert "by 0.0\u00a0% without them" in told
    assert "moves delivered flow most" not in told


@pytest.mark.parametrize(
    ("low", "stated", "said"),
    [
        (-0.03, 0.014, "+1.4 % (-3.0 % to +1.4 %), which cannot be told from bare"),
        (0.01, 0.014, "+1.4 % (+1.0 % to +1.4 %) from bare"),
        (-0.05, -0.014, "-1.4 % (-5.0 % to -1.4 %) from bare"),
    ],
)
def test_a_change_whose_band_holds_nought_cannot_be_told_from_bare(
    low: float, stated: float, said: str
) -> None:
    table = invented("jacket.pitch=20mm,30mm,40mm", number=lambda p, m: low if m else stated)
    told = " ".join(make_study_text(table).split())
    assert f", {said}" in told
    assert "no difference" not in told


def test_the_report_does_not_claim_when_limits_were_fixed() -> None:
    text = make_html(report_of(found("single_stage")))
    assert "before the machine was solved" not in text
    assert "Rule and limits are those of the case file" in text


@pytest.mark.parametrize("part", ["uncertainty", "fill", "pitch,uncertainty"])
def test_parts_that_do_not_exist_are_not_offered(
    part: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert main(["report", str(CASE), "-o", str(tmp_path), "--with", part]) == 2
    assert "it takes pitch" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
    assert main(["report", "--help"]) == 0
    assert part.split(",")[-1] not in capsys.readouterr().out.replace("fills", "")
