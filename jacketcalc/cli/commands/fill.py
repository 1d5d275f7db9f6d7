"""`jacketcalc fill`: how long does a receiver take?"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.output import CommandError
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.results import Forms, check_place, result_options
from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.terminal import shows_ascii_only

if TYPE_CHECKING:
    from jacketcalc.fill.result import FillComparison
    from jacketcalc.inputs import Case


@click.command("fill", short_help="Fill the receiver from cold.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--to", "target", metavar="PRESSURE",
    help="Receiver pressure at the end; that of the case when not given.",
)  # fmt: skip
@result_options
@common_options
@click.pass_obj
def command(
    settings: Settings, case: str, target: str | None, threads: int | None, as_json: bool,
    output: str | None, force: bool,
) -> None:  # fmt: skip
    """Fill the receiver of CASE from cold, with and without its jackets.

    The case states the receiver in [receiver]: volume, and from where it is not empty. Machine and
    receiver start as warm as what surrounds them; all walls warm on the way. With - the case is
    read from standard input.
    """
    place = check_place(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    from jacketcalc.fill.compare import compare_fills, require_receiver

    start = require_receiver(read).start_pressure
    end = read.machine.receiver_pressure if target is None else _read_target(target, read)
    if end <= start:
        raise CommandError("the fill ends below where it starts; give --to a higher pressure")
    with place.open("fill", read, f"to {end:g} Pa") as folder:
        with ProgressLine(sys.stderr) as progress:
            found = compare_fills(read, end, progress=progress)
        place.write(folder, _forms(found), settings, as_json=as_json)


def _read_target(text: str, case: Case) -> float:
    """Read a pressure with the limits that the receiver has in a case."""
    from jacketcalc.casefile.fields import find_field
    from jacketcalc.casefile.read_field import read_entry
    from jacketcalc.casefile.schema_machine import RECEIVER
    from jacketcalc.quantities import QuantityError

    try:
        field = find_field(RECEIVER, "pressure")
        return float(read_entry(field, text, case.machine.ambient.pressure).value)
    except QuantityError as fault:
        raise CommandError(f"--to: {fault.message}; {fault.fix or fault.why}") from None


def _forms(found: FillComparison) -> Forms:
    from jacketcalc.show.fill_json import make_fill_json
    from jacketcalc.show.fill_text import make_fill_text

    return Forms(
        text=lambda color: make_fill_text(
            found, color=color, ascii_only=shows_ascii_only(sys.stdout)
        ),
        json=lambda: make_fill_json(found),
        pictures=dict,
    )
