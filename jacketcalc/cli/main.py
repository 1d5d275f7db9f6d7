"""The entry point: runs a command, and turns what goes wrong into messages and exit statuses."""

from __future__ import annotations

import sys
from collections.abc import Sequence

import click

from jacketcalc.cli.group import group
from jacketcalc.cli.output import say, silence, unwritable
from jacketcalc.cli.settings import Settings
from jacketcalc.cli.terminal import prepare_streams, shows_color
from jacketcalc.errors import CaseError, InstallationError, JacketcalcError

NAME = "jacketcalc"
COMPLETION = "_JACKETCALC_COMPLETE"
"""Environment variable by which a shell asks for completions."""
ASIDE = frozenset(("-h", "--help", "--version"))
"""Options that print something and do no more."""
DONE, WRONG, UNSOLVED, FAULT, INTERRUPTED = 0, 2, 3, 70, 130
"""Exit statuses [-]."""


def main(arguments: Sequence[str] | None = None, root: click.Group = group) -> int:
    """Run the command line and return its exit status.

    Parameters
    ----------
    arguments : words after the program's name; those it was called with when None
    root : the commands there are
    """
    given = list(sys.argv[1:] if arguments is None else arguments)
    settings = Settings()
    try:
        prepare_streams()
        return _run(given, settings, root)
    except BrokenPipeError:
        silence()
        return DONE
    except (KeyboardInterrupt, click.Abort):
        return _interrupted()
    except Exception as error:
        return _fault(error, given, settings)


def _run(arguments: list[str], settings: Settings, root: click.Group) -> int:
    """Run a command; errors made on purpose become messages."""
    asked = _answer_shell(root)
    if asked is not None:
        return asked
    try:
        with root.make_context(NAME, list(arguments), obj=settings) as context:
            root.invoke(context)
        sys.stdout.flush()
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    except click.ClickException as error:
        _show_refusal(error)
        return WRONG
    except BrokenPipeError:
        raise
    except OSError as fault:
        # Help is written by click itself, past `write_out`.
        if ASIDE.isdisjoint(arguments):
            raise
        _show_refusal(unwritable(fault))
        return WRONG
    except CaseError as error:
        _show_problems(error, settings)
        return WRONG
    except InstallationError as error:
        say(f"error: {error}")
        return UNSOLVED
    except JacketcalcError as error:
        _show_unsolved(error)
        return UNSOLVED
    return DONE


def _answer_shell(root: click.Group) -> int | None:
    """Answer a shell that asks for completions; None when none does."""
    import os

    instruction = os.environ.get(COMPLETION)
    if not instruction:
        return None
    from click.shell_completion import shell_complete

    return shell_complete(root, {}, NAME, COMPLETION, instruction)


def _show_refusal(error: click.ClickException) -> None:
    """Say why a command was refused, and how it is written."""
    message = error.format_message()
    if message.startswith("Usage:"):
        say(message)
        return
    if isinstance(error, click.NoSuchOption) and error.possibilities:
        message = f'no such option "{error.option_name}"; the nearest is "{error.possibilities[0]}"'
    say(f"error: {message[:1].lower()}{message[1:].rstrip('.')}")
    if isinstance(error, click.UsageError) and error.ctx is not None:
        say(f"{error.ctx.get_usage()}\nMore: {error.ctx.command_path} --help")


def _show_unsolved(error: JacketcalcError) -> None:
    import textwrap

    for line in f"error: {error}".split("\n"):
        indent = line[: len(line) - len(line.lstrip())] + "  "
        say(textwrap.fill(line, 80, subsequent_indent=indent, break_long_words=False))
    say("No solution was reached; nothing was written.")


def _show_problems(error: CaseError, settings: Settings) -> None:
    from jacketcalc.casefile.rendering import render_problems

    sys.stderr.write(render_problems(error, shows_color(sys.stderr, settings)))
    sys.stderr.flush()


def _interrupted() -> int:
    say("interrupted")
    return INTERRUPTED


def _fault(error: Exception, arguments: list[str], settings: Settings) -> int:
    from jacketcalc.cli.faults import describe_fault, report_fault

    report = report_fault(error, arguments)
    sys.stderr.write(describe_fault(error, report, settings.debug))
    return FAULT
