"""`jacketcalc propose`: winds a makeable jacket round each barrel."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.output import Target, check_target
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import (
    CONTEXT,
    Settings,
    common_options,
    force_option,
    json_option,
    threads_option,
)
from jacketcalc.cli.study_limits import limit_options
from jacketcalc.cli.terminal import shows_ascii_only, shows_color

if TYPE_CHECKING:
    from jacketcalc.cli.folder import MakeFile
    from jacketcalc.studies.propose import Proposal

ENDINGS = [".toml", ".txt", ".json"]
"""Endings of the files of a proposal; a name that has one is a file."""


@click.command("propose", short_help="Wind makeable jackets.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--tube",
    metavar="BORES",
    help="Bores of the tubes to look at, both alike, such as 12mm,16mm,19mm; when not given, "
    "those of make.tube_bores, or usual ones from the drawn one up.",
)
@click.option(
    "--least-turns",
    metavar="NUMBER",
    type=click.FloatRange(0.0, 100.0),
    help="Fewest turns of each start; make.least_turns or 2 when not given.",
)
@click.option("--quick", is_flag=True, help="Fewer designs: an answer within 10 s on two cores.")
@limit_options
@threads_option
@force_option
@click.option("-o", "--output", metavar="FOLDER", type=click.Path(allow_dash=True),
              help="Write case, text and JSON into FOLDER; a name that ends in .toml, .txt or "
              ".json is one file.")  # fmt: skip
@json_option
@common_options
@click.pass_obj
def command(
    settings: Settings,
    /,
    case: str,
    tube: str | None,
    least_turns: float | None,
    quick: bool,
    threads: int | None,
    force: bool,
    output: str | None,
    as_json: bool,
    **asked: str | None,
) -> None:  # fmt: skip
    """Wind a jacket round each barrel of CASE, and say what it would bring.

    The jackets keep to what the shop can make, the table [make]: the step of sizes, the smallest
    rib, the widths of its cutters, the tubes on its shelf, the fewest turns. What it does not
    state is free. Ports may be exchanged; jackets that are drawn are wound anew, of their
    materials. Limits that the machine breaks without jackets do not bind. If no jacket pays, the
    one that comes nearest is shown, and why it does not. It is an estimate, not an approval.

    \b
    Example:
      jacketcalc propose booster.toml --tube 12mm,16mm -o jackets.toml
    """
    from jacketcalc.casefile.reading import read_case
    from jacketcalc.cli.folder import open_folder
    from jacketcalc.cli.study_limits import read_limits
    from jacketcalc.studies.first_winding import read_bores
    from jacketcalc.studies.optimise import TURNS
    from jacketcalc.studies.propose import propose

    single = output is not None and Path(output).suffix.lower() in ENDINGS
    target = check_target(output if single or output == "-" else None, force=force, keep=case)
    folder_name = None if single or output == "-" else output
    read = read_case(case)
    turns = read.make.least_turns or TURNS if least_turns is None else least_turns
    limits = replace(read_limits(read, asked), turns=turns or None)
    bores = read_bores(tube) if tube is not None else None
    search = repr((limits, bores, quick))
    with open_folder(folder_name, "propose", ENDINGS, force=force, case=read,
                     asked=search) as folder:  # fmt: skip
        with ProgressLine(sys.stderr) as progress:
            found = propose(read, bores=bores, limits=limits, quick=quick, progress=progress,
                            threads=threads)  # fmt: skip
        file = ""
        if folder.path:
            file = os.path.join(str(folder_name), "propose.toml")
            folder.write(_forms(found, file))
        if target.path.lower().endswith(".toml"):
            target.write(found.best_case.text)
            file, target = target.shown, check_target(None)
        _show(found, target, settings, file=file, as_json=as_json)


def _forms(found: Proposal, file: str) -> dict[str, MakeFile]:
    from jacketcalc.show.proposal_json import make_proposal_json
    from jacketcalc.show.proposal_text import make_proposal_text

    return {
        ".toml": lambda: found.best_case.text.encode(),
        ".txt": lambda: make_proposal_text(found, file=file).encode("utf-8", "replace"),
        ".json": lambda: make_proposal_json(found).encode(),
    }


def _show(found: Proposal, target: Target, settings: Settings, *, file: str, as_json: bool) -> None:
    from jacketcalc.show.proposal_json import make_proposal_json
    from jacketcalc.show.proposal_text import make_proposal_text

    if as_json or target.path.lower().endswith(".json"):
        text = make_proposal_json(found)
    else:
        color = target.is_stdout and shows_color(sys.stdout, settings)
        ascii_only = target.is_stdout and shows_ascii_only(sys.stdout)
        text = make_proposal_text(found, color=color, ascii_only=ascii_only, file=file)
    target.write(text)
