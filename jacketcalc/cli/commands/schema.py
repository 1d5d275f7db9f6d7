"""`jacketcalc schema`: the JSON Schema of a case."""

from __future__ import annotations

import click

from jacketcalc.cli.output import write_out
from jacketcalc.cli.settings import CONTEXT, common_options


@click.command("schema", short_help="Print the JSON Schema of a case.", context_settings=CONTEXT)
@common_options
def command() -> None:
    """Print the JSON Schema of a case, with which editors complete and check keys.

    \b
    Once, for the editor to find:
      jacketcalc schema > case.schema.json
    """
    from jacketcalc.casefile.schema_json import make_text

    write_out(make_text())
