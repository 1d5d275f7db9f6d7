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
    from jacketcalc.casefile.fields import Field
    from jacketcalc.cli.folder import MakeFile
    from jacketcalc.fill.repeated import RepeatedFills
    from jacketcalc.fill.result import FillComparison
    from jacketcalc.inputs import Case

FILLS = 10
"""Fills of --repeat [-]."""


@click.command("fill", short_help="Fill the receiver from cold.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--to", "target", metavar="PRESSURE",
    help="Receiver pressure at the end; that of the case when not given.",
)  # fmt: skip
@click.option(
    "--repeat", is_flag=True,
    help=f"Fill {FILLS} receivers one after the other, and show the first beside the last.",
)  # fmt: skip
@click.option(
    "--pause", metavar="TIME", default="10 min", show_default=True,
    help="Pause between two fills of --repeat.",
)  # fmt: skip
@result_options
@common_options
@click.pass_obj
def command(
    settings: Settings, case: str, target: str | None, repeat: bool, pause: str,
    threads: int | None, as_json: bool, output: str | None, force: bool,
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
    from jacketcalc.fill.repeat import repeat_fills

    start = require_receiver(read).start_pressure
    end = read.machine.receiver_pressure if target is None else _read_target(target, read)
    if end <= start:
        raise CommandError("the fill ends below where it starts; give --to a higher pressure")
    wait = _read_pause(pause)
    asked = f"to {end:g} Pa" + (f", {FILLS} times, pauses {wait:g} s" if repeat else "")
    with place.open("fills" if repeat else "fill", read, asked) as folder:
        with ProgressLine(sys.stderr) as progress:
            forms = (
                _repeat_forms(repeat_fills(read, end, pause=wait, count=FILLS, progress=progress))
                if repeat
                else _forms(compare_fills(read, end, progress=progress))
            )
        place.write(folder, forms, settings, as_json=as_json)


def _read_target(text: str, case: Case) -> float:
    """Read a pressure with the limits that the receiver has in a case."""
    from jacketcalc.casefile.fields import find_field
    from jacketcalc.casefile.schema_machine import RECEIVER

    field = find_field(RECEIVER, "pressure")
    return _read("--to", field, text, case.machine.ambient.pressure)


def _read_pause(text: str) -> float:
    """Read a time of up to a day."""
    from jacketcalc.casefile.fields import quantity

    return _read("--pause", quantity("pause", "time", "Pause", 0.0, 86400.0), text, None)


def _read(option: str, field: Field, text: str, ambient: float | None) -> float:
    from jacketcalc.casefile.read_field import read_entry
    from jacketcalc.quantity_problems import QuantityError

    try:
        return float(read_entry(field, text, ambient).value)
    except QuantityError as fault:
        raise CommandError(f"{option}: {fault.message}; {fault.fix or fault.why}") from None


def _forms(found: FillComparison) -> Forms:
    from jacketcalc.show.fill_json import make_fill_json
    from jacketcalc.show.fill_text import make_fill_text

    def pictures() -> dict[str, MakeFile]:
        from jacketcalc.report.fill_figures import fill_figures

        return dict(fill_figures(found))

    ascii_only = shows_ascii_only(sys.stdout)
    return Forms(
        text=lambda color: make_fill_text(found, color=color, ascii_only=ascii_only),
        json=lambda: make_fill_json(found),
        pictures=pictures,
    )


def _repeat_forms(found: RepeatedFills) -> Forms:
    from jacketcalc.show.fill_json import make_repeat_json
    from jacketcalc.show.fill_text import make_repeat_text

    ascii_only = shows_ascii_only(sys.stdout)
    return Forms(
        text=lambda color: make_repeat_text(found, color=color, ascii_only=ascii_only),
        json=lambda: make_repeat_json(found),
        pictures=dict,
    )
