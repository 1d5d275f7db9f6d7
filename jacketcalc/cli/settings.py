"""Options that every command takes."""

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


CONTEXT = {"help_option_names": ["-h", "--help"], "max_content_width": 80}
"""Settings of every click context."""
