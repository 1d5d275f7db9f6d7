"""`jacketcalc plan-test`: the few readings that would narrow the answer most."""

from __future__ import annotations

import sys

import click

from jacketcalc.cli.output import check_target
from jacketcalc.cli.settings import (
    CONTEXT,
    Settings,
    common_options,
    file_options,
    json_option,
    threads_option,
)
from jacketcalc.cli.terminal import shows_color


@click.command(
    "plan-test", short_help="Name the readings that tell most.", context_settings=CONTEXT
)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--count", type=click.IntRange(1, 20), default=4, show_default=True, help="Readings to choose."
)
@threads_option
@json_option
@file_options
@common_options
@click.pass_obj
def command(
    settings: Settings, case: str, count: int, threads: int | None, as_json: bool,
    output: str | None, force: bool,
) -> None:  # fmt: skip
    """Choose the readings at a bench that would narrow the verdict of CASE most.

    Each candidate has an instrument assumed. Readings that CASE holds already count.
    """
    target = check_target(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    from jacketcalc.uncertainty.plan_test import plan_test

    plan = plan_test(read, count=count, threads=threads)
    if as_json or target.path.endswith(".json"):
        from jacketcalc.show.bench_json import make_plan_json

        target.write(make_plan_json(plan))
        return
    from jacketcalc.show.bench_text import make_plan_text

    color = target.is_stdout and shows_color(sys.stdout, settings)
    target.write(make_plan_text(plan, color=color))
