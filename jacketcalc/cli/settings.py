"""Options that every command takes, and those that many share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import click

Command = Callable[..., Any]


@dataclass
class Settings:
    """What the common options say; made before parsing, so that faults can read it too."""

    color: bool = True
    """Whether colour is allowed where a terminal shows it."""
    debug: bool = False
    """Whether an unexpected fault prints its traceback."""


def _no_color(context: click.Context, _: click.Parameter, value: bool) -> None:
    if value:
        context.ensure_object(Settings).color = False


def _debug(context: click.Context, _: click.Parameter, value: bool) -> None:
    if value:
        context.ensure_object(Settings).debug = True


def common_options(function: Command) -> Command:
    """Add the options that stand behind every command."""
    for name, callback, text in (
        ("--debug", _debug, "Print the traceback of an unexpected fault."),
        ("--no-color", _no_color, "Never use colour; NO_COLOR does the same."),
    ):
        option = click.option(
            name, is_flag=True, expose_value=False, is_eager=True, callback=callback, help=text
        )
        function = option(function)
    return function


threads_option = click.option(
    "--threads",
    metavar="N",
    type=click.IntRange(1, 512),
    help="Machines solved at once; one for each core when not given.",
)
"""Adds the number of threads."""
json_option = click.option(
    "--json", "as_json", is_flag=True, help="Print one JSON object in SI units."
)
"""Adds the choice of JSON."""
force_option = click.option("--force", is_flag=True, help="Replace files that exist.")
"""Adds leave to replace files."""


def file_options(function: Command) -> Command:
    """Add the options of a result that is one file, text or JSON."""
    text = "Write to FILE; JSON where its name ends in .json."
    kind = click.Path(allow_dash=True)
    target = click.option("-o", "--output", metavar="FILE", type=kind, help=text)
    force = click.option("--force", is_flag=True, help="Replace FILE where it exists.")
    return target(force(function))


CONTEXT = {"help_option_names": ["-h", "--help"], "max_content_width": 80}
"""Settings of every click context."""
