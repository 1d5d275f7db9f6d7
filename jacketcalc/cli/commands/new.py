"""`jacketcalc new`: a commented case to start from, scaled where sizes are told."""

from __future__ import annotations

import shlex
import textwrap
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.output import CommandError, check_target, say
from jacketcalc.cli.settings import CONTEXT, common_options

if TYPE_CHECKING:
    from jacketcalc.casefile.quick_options import Fault

_OPTIONS = (
    ("--drive", "BORExSTROKE", "Drive cylinder, such as 125x160mm."),
    ("--stages", "BORE[,BORE]", "Bores of one or two stages, such as 40mm,18mm."),
    ("--supply", "PRESSURE", 'Supply, such as "6.5 bar(g)".'),
    ("--receiver", "PRESSURE", 'Receiver, such as "250 bar(g)".'),
    ("--valve", "FLOW", 'Control valve: nominal flow from 6 to 5 bar(g), such as "2400 l/min" '
     '(ANR) or "2400 l/min DIN 1343", or its C, such as "9 dm3/(s bar)".'),
    ("--tube", "DIAMETER", "Outside diameter of the tubes to the jackets, such as 12mm."),
    ("--title", "TEXT", "Title of the case."),
)  # fmt: skip
"""Each option with its value and its help."""


def _size_options(function: click.decorators.FC) -> click.decorators.FC:
    for name, value, text in reversed(_OPTIONS):
        function = click.option(name, metavar=value, help=text)(function)
    return function


@click.command("new", short_help="Write a commented case to start from.", context_settings=CONTEXT)
@click.argument("file", type=click.Path(allow_dash=True))
@_size_options
@click.option("--no-jackets", "bare", is_flag=True,
              help="Leave jackets out of a scaled case; `propose` winds them.")  # fmt: skip
@common_options
def command(file: str, bare: bool, **sizes: str | None) -> None:
    """Write a complete commented case to FILE; an existing file is left as it is.

    With - as FILE the case is printed. With any of the sizes below the case is
    scaled to them; every line says which rule its number comes from, and what is
    not told follows from what is. Without any, the case shows every key.

    \b
    Example:
      jacketcalc new booster.toml --drive 125x160mm --stages 40mm,18mm
        --supply "6.5 bar(g)" --receiver "250 bar(g)" --valve "2400 l/min"
    """
    told = {name: text for name, text in sizes.items() if text is not None}
    if bare and not told:
        raise CommandError("--no-jackets leaves jackets out of a scaled case; give a size too, "
                           "such as --drive 125x160mm")  # fmt: skip
    target = check_target(file)
    target.write(_scaled(told, bare) if told else _template())
    if not target.is_stdout:
        say(f"Next:  jacketcalc {'assess' if told else 'check'} {shlex.quote(file)}")


def _template() -> str:
    from jacketcalc.casefile.template import make_template

    return make_template()


def _scaled(told: dict[str, str], bare: bool) -> str:
    from jacketcalc.casefile.quick_options import OptionError, read_options
    from jacketcalc.studies.first_case import make_first_case

    words = [word for name, text in told.items() for word in (f"--{name}", text)]
    words += ["--no-jackets"] if bare else []
    line = shlex.join(["jacketcalc", "new", *words])
    try:
        return make_first_case(read_options(**told), line, jackets=not bare)
    except OptionError as error:
        raise CommandError("\nerror: ".join(map(_render, error.faults))) from None


def _render(fault: Fault) -> str:
    lines = textwrap.wrap(f"{fault.option}: {fault.message}", 73)
    for head, text in (("why", fault.why), ("fix", fault.fix)):
        lines += textwrap.wrap(text, 80, initial_indent=f"  {head}: ", subsequent_indent=" " * 7)
    return "\n".join(lines)
