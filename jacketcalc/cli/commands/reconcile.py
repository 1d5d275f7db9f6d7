"""`jacketcalc reconcile`: readings of a bench against the model."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.output import CommandError, check_target
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.results import Forms, check_place, result_options
from jacketcalc.cli.settings import CONTEXT, Settings, common_options

if TYPE_CHECKING:
    from jacketcalc.cli.folder import MakeFile
    from jacketcalc.inputs import Case
    from jacketcalc.uncertainty.reconcile import Reconciliation


@click.command(
    "reconcile", short_help="Set readings of a bench against the model.", context_settings=CONTEXT
)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--readings",
    metavar="FILE",
    type=click.Path(exists=True, dir_okay=False),
    help="CSV whose columns are the keys of [[reading]]; beside those of CASE.",
)
@click.option(
    "--fitted",
    metavar="FILE",
    type=click.Path(dir_okay=False),
    help="Write CASE with the fitted values and their origin to FILE.",
)
@result_options
@common_options
@click.pass_obj
def command(
    settings: Settings, case: str, readings: str | None, fitted: str | None, threads: int | None,
    as_json: bool, output: str | None, force: bool,
) -> None:  # fmt: skip
    """Compare the [[reading]] tables of CASE with what the model shows.

    Says which single unknown explains them best and what the verdict then is, fits all unknowns
    together with their priors, and says so where no parameters explain the readings.
    """
    place = check_place(output, force=force, keep=case)
    written = check_target(fitted, force=force, keep=case) if fitted else None
    if written is not None and output and Path(output).resolve() == Path(written.path):
        raise CommandError("results and fitted case cannot both go to one place; name two files")
    read = _read(case, readings)
    from jacketcalc.uncertainty.reconcile import reconcile

    with place.open("reconcile", read, repr(read.readings)) as folder:
        with ProgressLine(sys.stderr) as progress:
            found = reconcile(read, read.readings, progress=progress, threads=threads)
        place.write(folder, _forms(found), settings, as_json=as_json)
    if written is not None:
        written.write(_fitted(read, found))


def _forms(found: Reconciliation) -> Forms:
    from jacketcalc.show.bench_json import make_bench_json
    from jacketcalc.show.bench_text import make_bench_text

    def pictures() -> dict[str, MakeFile]:
        from jacketcalc.report.uncertainty_figures import bench_figures

        return dict(bench_figures(found))

    return Forms(
        text=lambda color: make_bench_text(found, color=color),
        json=lambda: make_bench_json(found),
        pictures=pictures,
    )


def _read(case: str, readings: str | None) -> Case:
    """Read a case, with the readings of a CSV behind its own."""
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    if readings is None:
        return read
    from jacketcalc.casefile.reading_csv import with_readings

    try:
        data = Path(readings).read_bytes()
    except OSError as fault:
        raise CommandError(f'"{readings}" cannot be read: {fault.strerror}') from None
    return with_readings(read, data, readings)


def _fitted(case: Case, found: Reconciliation) -> str:
    """Return the case with what the joint fit found."""
    from jacketcalc.casefile.fitted import fitted_case
    from jacketcalc.cautions import CAUTION
    from jacketcalc.input_paths import field_path, read_field
    from jacketcalc.statistics.distributions import COVERAGE_FACTOR

    values: dict[str, tuple[float, float]] = {}
    for unknown, value in zip(found.joint.unknowns, found.joint.values, strict=True):
        u = (value.high - value.low) / (2.0 * COVERAGE_FACTOR)
        for key in unknown.keys:
            steps = field_path(case.machine, key)
            stated = read_field(case.machine, steps) if steps is not None else None
            if stated:
                size = float(stated) if unknown.factor else 1.0
                values[key] = value.value * size, u * size
    return fitted_case(case, values, CAUTION)
