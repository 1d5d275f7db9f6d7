"""`jacketcalc pitch`: which helix pitch?"""

from __future__ import annotations

import click

from jacketcalc.cli.output import CommandError
from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.studies import quick_option, study_options
from jacketcalc.cli.study_limits import limit_options


@click.command("pitch", short_help="Compare helix pitches.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option("--stage", metavar="NAME", help="Vary this stage's jacket alone.")
@click.option("--from", "low", metavar="LENGTH", help="First pitch; 8 mm or 0.3 in when not given.")
@click.option("--to", "high", metavar="LENGTH", help="Last pitch; 48 mm or 1.9 in when not given.")
@click.option("--step", metavar="LENGTH", help="Step between pitches; a round one when not given.")
@click.option("--count", type=click.IntRange(2, 200), help="Number of pitches, in place of a step.")
@click.option("--tube", metavar="BORES", help="Bores of the tubes too, both alike: a map.")
@click.option("--starts", metavar="COUNTS", help="Starts too, such as 1,2,4: a map.")
@click.option("--rib", metavar="LENGTHS", help="Ribs too, such as 2mm,3mm: a map.")
@quick_option
@limit_options
@study_options
@common_options
@click.pass_obj
def command(
    settings: Settings,
    /,
    case: str,
    stage: str | None,
    low: str | None,
    high: str | None,
    step: str | None,
    count: int | None,
    tube: str | None,
    starts: str | None,
    rib: str | None,
    quick: bool,
    as_json: bool,
    output: str | None,
    force: bool,
    threads: int | None,
    **asked: str | None,
) -> None:  # fmt: skip
    """Solve the machine of CASE at every pitch.

    Changes are from the same machine without jackets, and from the drawn design; both are
    paired: same model member for both machines. All jackets get the same pitch. The result
    shows the best pitch for each aim, which pitches are as good, the drawn design as a row, what
    cooling and resistance alone would change, stages, jackets and limits. Pitches are those that
    can be made: in the steps of [make], or its cutters' widths beside the rib. One of --tube,
    --starts and --rib may be varied with them. With - the case is read from standard input.
    """
    if step is not None and count is not None:
        raise CommandError("--step and --count are both given; give one of them")
    root = "jacket" if stage is None else f"stage.{stage}.jacket"
    further = {"tube.bore": ("--tube", tube), f"{root}.starts": ("--starts", starts),
               f"{root}.rib": ("--rib", rib)}  # fmt: skip
    others = [(path, name, text) for path, (name, text) in further.items() if text is not None]
    if len(others) > 1:
        named = " and ".join(name for _, name, _ in others)
        raise CommandError(f"{named} are both given; a map has one beside the pitch, and "
                           "`jacketcalc optimise` takes all")  # fmt: skip
    from jacketcalc.cli.study_run import run_table
    from jacketcalc.inputs import Case
    from jacketcalc.studies.axes import Axis, make_axis
    from jacketcalc.studies.study import pitch_axis

    asked_for = (("--from", low), ("--to", high), ("--step", step), ("--count", count))
    spoken = " ".join(f"{name} {text}" for name, text in asked_for if text is not None) or "pitch"

    def read_axes(read: Case) -> list[Axis]:
        pitches = pitch_axis(read, low, high, count, stage, spoken, step=step)
        return [pitches, *(make_axis(read, path, text, f"{name} {text}")
                           for path, name, text in others)]  # fmt: skip

    run_table(
        settings, case, read_axes, quick=quick,
        stem="pitch", band=True, asked=asked, as_json=as_json, output=output, force=force,
        threads=threads,
    )  # fmt: skip
