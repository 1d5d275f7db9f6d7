"""Limits that studies take from the command line: options, and reading them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.settings import Command

if TYPE_CHECKING:
    from jacketcalc.inputs import Case
    from jacketcalc.studies.limits import Limits


def limit_options(function: Command) -> Command:
    """Add the options that set limits; a command takes them as `**asked`."""
    for option in (
        click.option("--frost-margin", metavar="KELVIN",
                     help="Least margin of the passage walls over the frost point at their own "
                          "pressure."),
        click.option("--back-pressure-limit", metavar="PRESSURE", help="Highest peak allowed."),
        click.option("--discharge-limit", metavar="TEMPERATURE", help="Hottest discharge allowed."),
        click.option("--least-rib", metavar="LENGTH",
                     help="Thinnest rib that can be made; make.smallest_rib when not given."),
    ):  # fmt: skip
        function = option(function)
    return function


def read_limits(case: Case, asked: Mapping[str, str | None]) -> Limits:
    """Read what `limit_options` brought; what is not given comes from the case, or is not asked.

    Raises
    ------
    CaseError
        When an option is no quantity of its kind.
    """
    from jacketcalc.errors import CaseError, Problem
    from jacketcalc.quantities import read_quantity
    from jacketcalc.quantity_problems import QuantityError
    from jacketcalc.studies.limits import Limits

    problems: list[Problem] = []

    def read(name: str, dimension: str) -> float | None:
        text = asked.get(name)
        if text is None:
            return None
        try:
            return read_quantity(text, dimension, case.machine.ambient.pressure).value
        except QuantityError as error:
            spoken = f"--{name.replace('_', '-')} {text}"
            problems.append(
                Problem(
                    name=error.name, message=error.message, file=spoken, why=error.why,
                    fix=error.fix,
                )
            )  # fmt: skip
        return None

    thinnest = read("least_rib", "length")
    limits = Limits(
        rib=case.make.smallest_rib if thinnest is None else thinnest,
        discharge=read("discharge_limit", "temperature"),
        back_pressure=read("back_pressure_limit", "pressure difference"),
        frost=read("frost_margin", "temperature difference"),
    )
    if problems:
        raise CaseError(problems)
    return limits
