"""`jacketcalc rivals`: what else could be done to the machine."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.results import Forms, check_place, result_options
from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.terminal import shows_ascii_only

if TYPE_CHECKING:
    from jacketcalc.cli.folder import MakeFile
    from jacketcalc.inputs import Case
    from jacketcalc.studies.rival_table import RivalTable, RivalTerms

TERMS = (
    ("cooler", "heat conductance", "CONDUCTANCE", "Of a cooler between the stages; twice what the "
     "line loses, at least 20 W/K, when not given."),
    ("exchanger", "heat conductance", "CONDUCTANCE", "Of the exchanger in which the exhaust cools "
     "the line; 10 W/K when not given."),
    ("fan-speed", "velocity", "VELOCITY", "Of air blown across barrels and heads; 3 m/s when not "
     "given."),
    ("water-flow", "volume flow", "FLOW", "Of water round the barrels; 2 L/min when not given."),
    ("water-temperature", "temperature", "TEMPERATURE", "At which it comes in; 15 degC when not "
     "given."),
    ("water-gap", "length", "LENGTH", "Through which it flows along a barrel; 3 mm when not "
     "given."),
)  # fmt: skip
"""Options that state what is assumed: name, dimension, what stands for it, help."""


def _term_options(function: click.decorators.FC) -> click.decorators.FC:
    for name, _, metavar, told in reversed(TERMS):
        function = click.option(f"--{name}", metavar=metavar, help=told)(function)
    return function


@click.command("rivals", short_help="Compare the jackets with other ways.",
               context_settings=CONTEXT)  # fmt: skip
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--row",
    "own",
    metavar="ENTRIES",
    multiple=True,
    help="A row of your own: KEY=VALUE as `vary` spells them and names of ways, with commas "
    "between; can be given again.",
)
@_term_options
@result_options
@common_options
@click.pass_obj
def command(
    settings: Settings,
    /,
    case: str,
    own: tuple[str, ...],
    threads: int | None,
    as_json: bool,
    output: str | None,
    force: bool,
    **asked: str | None,
) -> None:  # fmt: skip
    """Compare the jackets of CASE with what else could be done to the machine.

    Rows: the machine as it stands, without jackets as judge.no_jackets has it; its jackets; wider
    tubes; a larger valve; no silencer; a cooler between the stages; a fan on bare barrels; the
    exhaust led to the line's cooler; a water jacket; and the best of them two by two. Every row
    is a machine solved whole, against the machine as it stands, with its limits counted.

    Ways that --row can name: jackets, no jackets, wider tubes, larger valve, no silencer, cooler,
    fan, exhaust cooler, water. A row has the jackets where it names neither them nor what takes
    their place.

    \b
    Examples:
      jacketcalc rivals booster.toml
      jacketcalc rivals booster.toml --cooler "40 W/K" --fan-speed "6 m/s"
      jacketcalc rivals booster.toml --row "larger valve, jacket.gap=4mm" \\
                                     --row "no jackets, drive.bore=80mm"
    """
    place = check_place(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case
    from jacketcalc.studies.rival_entries import parse_rows

    read = read_case(case)
    terms = _read_terms(read, asked)
    rows = parse_rows(read, own)
    with place.open("rivals", read, repr((terms, own))) as folder:
        from jacketcalc.studies.rivals import solve_rivals

        with ProgressLine(sys.stderr) as progress:
            table = solve_rivals(read, terms=terms, own=rows, threads=threads, progress=progress)
        to_screen = place.target.is_stdout and shows_ascii_only(sys.stdout)
        place.write(folder, _forms(table, to_screen), settings, as_json=as_json)


def _read_terms(case: Case, asked: dict[str, str | None]) -> RivalTerms:
    """Read the options that state what is assumed; all that is wrong is told at once.

    Raises
    ------
    CaseError
        When one is no quantity of its kind, or nothing could be computed with it.
    """
    from jacketcalc.errors import CaseError, Problem
    from jacketcalc.quantities import read_quantity
    from jacketcalc.quantity_problems import QuantityError
    from jacketcalc.studies.rival_table import LIMITS, RivalTerms

    problems: list[Problem] = []
    found: dict[str, float] = {}
    for name, dimension, _, _ in TERMS:
        key = name.replace("-", "_")
        text = asked.get(key)
        if text is None:
            continue
        spoken, (low, high) = f"--{name} {text}", LIMITS[key]
        try:
            value = read_quantity(text, dimension, case.machine.ambient.pressure).value
        except QuantityError as error:
            problems.append(Problem(name=error.name, message=error.message, file=spoken,
                                    why=error.why, fix=error.fix))  # fmt: skip
            continue
        if not low <= value <= high:
            problems.append(
                Problem(name="study-range", message="this cannot be", file=spoken,
                        why=f"it must lie between {low:g} and {high:g} in SI",
                        fix="write a size that can be built"))  # fmt: skip
            continue
        found[key] = value
    if problems:
        raise CaseError(problems)
    return RivalTerms(**found)


def _forms(table: RivalTable, ascii_only: bool) -> Forms:
    from jacketcalc.show.rival_json import make_rival_json
    from jacketcalc.show.rival_sheet import make_rival_csv
    from jacketcalc.show.rival_text import make_rival_text

    def pictures() -> dict[str, MakeFile]:
        from jacketcalc.report.rival_figures import rival_figures

        return {".csv": lambda: make_rival_csv(table).encode(), **rival_figures(table)}

    return Forms(
        text=lambda color: make_rival_text(table, color=color, ascii_only=ascii_only),
        json=lambda: make_rival_json(table),
        pictures=pictures,
    )
