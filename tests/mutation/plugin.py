"""A pytest plugin that breaks one term before any test is collected.

    PYTHONPATH=tests python -m pytest -p mutation.plugin --mutation NAME TEST

It notes whether the tests failed by an assertion of their own: an error elsewhere is no proof.
"""

from __future__ import annotations

from typing import Any

import pytest

from .catalogue import by_name
from .patching import Patch
from .prove import NOTICED

PATCH = Patch()
failures: list[bool] = []


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--mutation", help="Name of the term to break.")


def pytest_configure(config: pytest.Config) -> None:
    by_name(config.getoption("--mutation")).apply(PATCH)


def pytest_unconfigure(config: pytest.Config) -> None:
    PATCH.undo()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> Any:
    report = yield
    if call.excinfo is not None:
        failures.append(call.when == "call" and call.excinfo.errisinstance(AssertionError))
    return report


def pytest_terminal_summary(terminalreporter: Any) -> None:
    if failures and all(failures):
        terminalreporter.write_line(NOTICED)
