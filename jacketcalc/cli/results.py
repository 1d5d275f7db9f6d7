"""A result on screen, in one file, or in a folder as text, JSON and pictures."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.output import Target, check_target
from jacketcalc.cli.settings import Command, Settings, force_option, json_option, threads_option
from jacketcalc.cli.terminal import shows_color

if TYPE_CHECKING:
    from jacketcalc.cli.folder import Folder, MakeFile
    from jacketcalc.inputs import Case

ENDINGS = [".txt", ".json"]
"""Endings of the files of a result, pictures apart; a name that has one is a file."""


def result_options(function: Command) -> Command:
    """Add the options of a command whose result is text, JSON and pictures."""
    for option in (
        threads_option,
        force_option,
        click.option("-o", "--output", metavar="FOLDER", type=click.Path(allow_dash=True),
                     help="Write text, JSON and pictures into FOLDER; a name that ends in .txt "
                     "or .json is one file."),
        json_option,
    ):  # fmt: skip
        function = option(function)
    return function


@dataclass(frozen=True, kw_only=True)
class Forms:
    """A result in all its forms, each made when it is asked for."""

    text: Callable[[bool], str]
    """Text, with or without colour."""
    json: Callable[[], str]
    pictures: Callable[[], Mapping[str, MakeFile]]
    """By the endings of their names."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where a result goes, checked before anything is computed."""

    target: Target
    """One file, or standard output."""
    folder: str | None
    """A folder; None where none is asked for."""
    force: bool
    """Whether files may be replaced."""

    def open(self, stem: str, case: Case, asked: str) -> AbstractContextManager[Folder]:
        """Check the folder and hold it until the result is written.

        Parameters
        ----------
        stem : how the names of the files begin
        case : the case that is studied; its file is never replaced
        asked : what is asked of it
        """
        from jacketcalc.cli.folder import open_folder

        return open_folder(self.folder, stem, ENDINGS, force=self.force, case=case, asked=asked)

    def write(self, folder: Folder, forms: Forms, settings: Settings, *, as_json: bool) -> None:
        """Write the files of a folder, then the file or the screen."""
        try:
            if folder.path:
                folder.write({
                    ".txt": lambda: forms.text(False).encode("utf-8", "replace"),
                    ".json": lambda: forms.json().encode(),
                    **forms.pictures(),
                })  # fmt: skip
        finally:
            if as_json or self.target.path.lower().endswith(".json"):
                self.target.write(forms.json())
            else:
                color = self.target.is_stdout and shows_color(sys.stdout, settings)
                self.target.write(forms.text(color))


def check_place(output: str | None, *, force: bool, keep: str) -> Place:
    """Refuse a file that cannot take a result; a folder is checked when it is opened.

    Parameters
    ----------
    output : name as given: a file by its ending, `-` or None for the screen, else a folder
    force : whether files may be replaced
    keep : a file that must not be replaced, the case itself

    Raises
    ------
    CommandError
        When the file cannot take a result.
    """
    single = output is None or output == "-" or Path(output).suffix.lower() in ENDINGS
    target = check_target(output if single else None, force=force, keep=keep)
    return Place(target=target, folder=None if single else output, force=force)
