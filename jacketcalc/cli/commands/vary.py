"""`jacketcalc vary`: any number of the case over a range."""

from __future__ import annotations

import click

from jacketcalc.cli.output import CommandError
from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.studies import study_options
from jacketcalc.cli.study_limits import limit_options


@click.command("vary", short_help="Vary one or two numbers of a case.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--over",
    "axes",
    metavar="KEY=FROM:TO:COUNT",
    multiple=True,
    required=True,
    help="What to vary, such as jacket.pitch=8mm:48mm:16; twice for a map.",
)
@click.option(
    "--band/--no-band",
    default=None,
    help="Solve the whole band of the model and the parts of the change at each point, or "
    "the case's models alone. One number: --band; two: --no-band.",
)
@limit_options
@study_options
@common_options
@click.pass_obj
def command(
    settings: Settings,
    /,
    case: str,
    axes: tuple[str, ...],
    band: bool | None,
    as_json: bool,
    output: str | None,
    force: bool,
    threads: int | None,
    **asked: str | None,
) -> None:  # fmt: skip
    """Solve the machine of CASE over any of its numbers, one or two at a time.

    jacket.gap stands for every jacket, stage.NAME.jacket.gap for one. A point that cannot be
    built is named, with the reason. Limits are counted, and hatched on the map of pitch and gap.
    Where the number also changes the machine without jackets, tables give both, and their changes
    from the case as it stands.

    Columns of files: QUANTITY or QUANTITY.STAGE of the machine with jackets, bare.QUANTITY of the
    bare one, change.QUANTITY from bare, from_case.QUANTITY and bare_from_case.QUANTITY from the
    case as it stands. @low and @high end the names of the ends of a band; empty without a band.

    \b
    Examples:
      jacketcalc vary booster.toml --over jacket.gap=2mm:8mm:13
      jacketcalc vary booster.toml --over jacket.pitch=8mm:48mm:16 \\
                                   --over jacket.starts=1,2,4 -o map
    """
    if len(axes) > 2:
        raise CommandError(f"--over is given {len(axes)} times; two at most")
    from jacketcalc.cli.study_run import run_table
    from jacketcalc.studies.axes import parse_axis

    run_table(
        settings, case, lambda read: [parse_axis(read, axis, "--over") for axis in axes],
        stem="vary", band=len(axes) == 1 if band is None else band, asked=asked, as_json=as_json,
        output=output, force=force, threads=threads,
    )  # fmt: skip
