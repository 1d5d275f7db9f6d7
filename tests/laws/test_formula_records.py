"""Every formula has a record: in the catalogue, its source cited, its range told."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from typing import Any, get_args

import fluids
import ht
import numpy as np
import pytest
from report_sample import CASES, COARSE

from jacketcalc import correlations
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case
from jacketcalc.casefile.template import make_template
from jacketcalc.core.run import run
from jacketcalc.correlations.records import (
    CLOSURE_RECORDS,
    FORMULAS,
    RECORDS,
    catalogue,
    range_notes,
)
from jacketcalc.designs import Design
from jacketcalc.flow import iso6358
from jacketcalc.formula import Formula, PowerLaw, formula
from jacketcalc.inputs import Closure
from jacketcalc.references import SOURCES

NO_FORMULAS = {
    "jacketcalc.correlations.blends": "how laws pass into one another",
    "jacketcalc.correlations.laws": "formulas joined to laws",
    "jacketcalc.correlations.records": "the catalogue",
}
"""Modules of the catalogue without formulas of their own, and what they hold."""
INVERSES = {"saturation_temperature"}
"""Functions that only solve a formula for its argument."""


def modules() -> Iterator[Any]:
    for found in pkgutil.iter_modules(correlations.__path__, f"{correlations.__name__}."):
        yield importlib.import_module(found.name)


def bare(module: Any) -> list[str]:
    """Public functions that a module defines, formulas aside."""
    return [
        name
        for name, thing in vars(module).items()
        if inspect.isfunction(thing) and thing.__module__ == module.__name__
        and not name.startswith("_") and name not in INVERSES
    ]  # fmt: skip


def test_every_public_formula_has_a_record() -> None:
    without = {m.__name__: bare(m) for m in modules() if m.__name__ not in NO_FORMULAS}
    assert not any(without.values()), without
    assert set(NO_FORMULAS) <= {m.__name__ for m in modules()}


def test_a_formula_without_a_record_is_found() -> None:
    """`laws` has many public functions and no formula: the finder sees them."""
    assert "channel_friction" in bare(importlib.import_module("jacketcalc.correlations.laws"))


def test_every_formula_stands_in_the_catalogue() -> None:
    owned = [
        thing for module in [*modules(), iso6358] for thing in vars(module).values()
        if isinstance(thing, Formula) and thing.__module__ == module.__name__
    ]  # fmt: skip
    assert {id(f) for f in owned} == {id(f) for f in FORMULAS}
    assert len(catalogue()) == len(FORMULAS) == len(owned)


def test_a_library_is_named_where_it_is_called() -> None:
    """The record names the function of ht or fluids, and the code calls that one."""
    named = [f for f in FORMULAS if f.record.library]
    for one in named:
        package, _, name = one.record.library.partition(".")
        assert hasattr({"ht": ht, "fluids": fluids}[package], name)
        assert f"{one.record.library}(" in inspect.getsource(one.function)
    calls = [
        f for f in FORMULAS if re.search(r"\b(ht|fluids)\.\w+\(", inspect.getsource(f.function))
    ]
    assert calls and {f.record.name for f in calls} == {f.record.name for f in named}


def test_a_new_formula_carries_its_record() -> None:
    """As DEVELOPERS.md has it: a function, its record, and nothing else."""

    @formula(
        name="tube, turbulent, Dittus and Boelter", quantity="Nu [-]", source="gnielinski-1976",
        equation=f"Nu = {PowerLaw(0.023, 0.8, 0.4).text()}", ranges={"Re": (1e4, 1e6)},
    )  # fmt: skip
    def dittus_boelter(Re: float, Pr: float) -> float:
        """Return the turbulent Nusselt number of a heated tube [-]."""
        return float(PowerLaw(0.023, 0.8, 0.4)(Re, Pr))

    library = ht.turbulent_Dittus_Boelter(5e4, 0.7, revised=True)
    assert dittus_boelter(5e4, 0.7) == pytest.approx(library, rel=1e-12)
    assert dittus_boelter.record.equation == "Nu = 0.023 Re^0.8 Pr^0.4"
    assert dittus_boelter.__doc__ == "Return the turbulent Nusselt number of a heated tube [-]."
    assert dittus_boelter.record.obtained == "read"


def test_closures_are_made_of_formulas() -> None:
    assert all(set(names) <= set(catalogue()) for names in CLOSURE_RECORDS.values())


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
    case = set_value(read_case(str(CASES / "single.toml")), "models.jacket", closure)
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
