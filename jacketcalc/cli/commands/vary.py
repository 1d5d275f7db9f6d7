"""`jacketcalc vary`: any one or two entries of the case."""

from __future__ import annotations

import click

from jacketcalc.cli.output import CommandError
from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.studies import quick_option, study_options
from jacketcalc.cli.study_limits import limit_options


@click.command("vary", short_help="Vary one or two entries of a case.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--over",
    "axes",
    metavar="KEY=VALUES",
    multiple=True,
    help="What to vary, such as jacket.pitch=8mm:48mm; twice for a map.",
)
@click.option(
    "--tube",
    metavar="BORES",
    help="Bores of the tubes, both alike; the same as --over tube.bore=BORES.",
)
@click.option(
    "--range/--no-range",
    "band",
    default=None,
    help="Solve the whole model range, and the parts of the change, at each point; or the "
    "nominal models alone. One entry: --range; two: --no-range.",
)
@quick_option
@limit_options
@study_options
@common_options
@click.pass_obj
def command(
    settings: Settings,
    /,
    case: str,
    axes: tuple[str, ...],
    tube: str | None,
    band: bool | None,
    quick: bool,
    as_json: bool,
    output: str | None,
    force: bool,
    threads: int | None,
    **asked: str | None,
) -> None:  # fmt: skip
    """Solve the machine of CASE over any of its entries, one or two at a time.

    KEY is a number, a count or a word of the case: jacket.gap stands for every jacket,
    stage.NAME.jacket.gap for one. VALUES are FROM:TO in round steps, FROM:TO:STEP, FROM:TO:COUNT,
    or a list. Changes are from the same machine without jackets, and from the drawn design, which
    stands in every table and figure. Both are paired: same model member for both machines. A point
    that cannot be built is named, with the reason. Limits are counted. Where the entry changes the
    machine without jackets too, tables show both machines.

    \b
    Examples:
      jacketcalc vary booster.toml --over jacket.gap=2mm:8mm:0.5mm
      jacketcalc vary booster.toml --over stage.first.material=brass,PTFE
      jacketcalc vary booster.toml --over jacket.pitch=8mm:48mm \\
                                   --over jacket.starts=1,2,4 -o map
    """
    if tube is not None:
        axes = (*axes, f"tube.bore={tube}")
    if not axes:
        raise CommandError("nothing is varied; give --over KEY=VALUES, or --tube BORE,BORE")
    if len(axes) > 2:
        raise CommandError(f"--over is given {len(axes)} times; two at most, with --tube")
    if quick and band:
        raise CommandError("--quick and --range are both given; give one of them")
    from jacketcalc.cli.study_run import run_table
    from jacketcalc.studies.axes import parse_axis

    run_table(
        settings, case, lambda read: [parse_axis(read, axis, "--over") for axis in axes],
        stem="vary", band=len(axes) == 1 if band is None else band, asked=asked, as_json=as_json,
        output=output, force=force, threads=threads, quick=quick,
    )  # fmt: skip
