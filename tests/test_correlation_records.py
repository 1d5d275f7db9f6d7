"""Every correlation cites a source, and says when it's used outside its range."""

from __future__ import annotations

from typing import get_args

import numpy as np
import pytest
from report_sample import CASES, COARSE

from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case
from jacketcalc.casefile.template import make_template
from jacketcalc.core.run import run
from jacketcalc.correlations.records import CLOSURE_RECORDS, RECORDS, catalogue, range_notes
from jacketcalc.designs import Design
from jacketcalc.inputs import Closure
from jacketcalc.references import SOURCES


def test_names_are_unique() -> None:
    assert len(catalogue()) == len(RECORDS)


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.name)
def test_record_is_complete(record) -> None:
    source = SOURCES[record.source]
    assert source.obtained == record.obtained
    assert record.quantity and record.equation
    assert record.scatter[0] <= 0.0 <= record.scatter[1]
    assert all(low < high for low, high in record.variables_range.values())


def test_every_closure_has_records() -> None:
    assert set(CLOSURE_RECORDS) == set(get_args(Closure))
    for names in CLOSURE_RECORDS.values():
        assert set(names) <= set(catalogue())


@pytest.mark.parametrize("closure", get_args(Closure))
def test_every_closure_can_be_chosen_in_a_case(closure: str) -> None:
    """Its word leads to a law, and a machine is solved with it."""
    case = set_value(read_case(str(CASES / "single_stage.toml")), "models.jacket", closure)
    solved = run([Design(machine=case.machine)], resolution=COARSE)[0].outcome.stages[0].jacket
    assert solved is not None and solved.coefficient > 0.0
    assert f'"{closure}"' in make_template()


def test_inside_the_range_nothing_is_said() -> None:
    assert range_notes("gas spring", Pe=np.array([100.0, 5000.0]), Pr=0.7) == []


def test_outside_the_range_a_sentence() -> None:
    notes = range_notes("coil average", Re=np.array([200.0, 1e3, 1e4, 3e5]), curvature=0.2)
    assert notes == [
        "coil average: Re runs from 200 to 300000, 50% of its values outside; "
        "stated for 500 to 150000.",
        "coil average: curvature is 0.2; stated for 0 to 0.14.",
    ]
