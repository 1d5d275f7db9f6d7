"""Rows of limits say which temperature they judge: wall, or gas, or a service range."""

from __future__ import annotations

from dataclasses import replace

import pytest
from changed import spoken
from report_sample import found, report_of

from jacketcalc.report.model import plain
from jacketcalc.show.text import make_text

CASE = "hot"


def test_a_seal_is_judged_by_its_wall_and_its_gas_stands_beside() -> None:
    """The gas is the hottest of the indicator diagram, bare and jacketed."""
    whole = found(CASE)
    rows = [c for c in whole.limits if "seal" in c.what]
    assert len(rows) == 2
    for i, check in enumerate(rows):
        assert check.what.startswith("wall at the seal (")
        for gas, detail in ((check.gas_bare, whole.bare_detail),
                            (check.gas_jacketed, whole.jacketed_detail)):  # fmt: skip
            assert gas == pytest.approx(float(detail.stages[i].temperature.max()), rel=1e-9)
    high = rows[1]
    assert high.gas_jacketed is not None and high.gas_jacketed > high.jacketed + 100.0
    shown = make_text(whole, full=True)
    assert shown.count("gas there, not judged") == 2
    table = next(t for t in report_of(whole).tables() if t.name == "limits")
    gas = [
        r for r in table.rows if any(plain(c.text).startswith("gas at that seal") for c in r.cells)
    ]
    assert [r.cells[3].value for r in gas] == [c.gas_jacketed for c in rows]
    assert all(plain(r.cells[0].text) == "not judged" for r in gas)


def test_gas_above_the_seal_s_limit_is_noted() -> None:
    whole = found(CASE)
    check = next(c for c in whole.limits if "seal" in c.what)
    kept = replace(check, limit=400.0, jacketed=390.0, low=389.0, high=391.0, gas_jacketed=500.0)
    (note,) = [n for n in spoken(replace(whole, limits=(kept,))).notes if n.name == "seal"]
    assert "117 degC keeps its limit of 127 degC, but gas of up to 227 degC" in note.text
    cool = replace(kept, gas_jacketed=399.0)
    assert not [n for n in spoken(replace(whole, limits=(cool,))).notes if n.name == "seal"]


def test_service_temperatures_are_called_so() -> None:
    whole = found(CASE)
    for kind in ("barrel", "shell", "tube"):
        rows = [c.what for c in whole.limits if c.what.startswith(kind)]
        assert rows and all(what.startswith(f"{kind} service temperature (") for what in rows)
    assert "nothing of strength" in " ".join(make_text(whole, full=True).split())
