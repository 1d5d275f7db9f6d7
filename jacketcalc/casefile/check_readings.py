"""What readings of a bench must hold beside their own limits."""

from __future__ import annotations

from jacketcalc.casefile.collect import Collector
from jacketcalc.casefile.read_values import CaseView
from jacketcalc.casefile.reading_paths import reading_paths
from jacketcalc.casefile.schema_reading import READ_KEYS

NEEDS = {
    "delivered_mass": ("duration",),
    "wall_temperature": ("stage",),
    "exhaust_temperature": ("stage",),
    "fill_time": ("receiver_volume", "pressure_from", "pressure_to"),
}
"""What a reading needs beside its number."""


def check_readings(collector: Collector) -> None:
    """Refuse readings that say nothing, two things at once, or not of what."""
    values = collector.values
    names = {values.at(*path).word("name") for path in values.stage_paths}
    for path in reading_paths(values):
        table = values.at(*path)
        held = [key for key in READ_KEYS if table.maybe(key) is not None]
        if len(held) != 1:
            collector.add(
                "reading-number",
                "a reading holds one number" if held else "the reading holds no number",
                path,
                label=", ".join(held) or "none",
                why=f"it is one of: {', '.join(READ_KEYS)}",
                fix="write a [[reading]] of its own for each" if held else "add the number read",
            )
            continue
        _check_one(collector, table, held[0], names)


def _check_one(collector: Collector, table: CaseView, key: str, names: set[str]) -> None:
    for needed in NEEDS.get(key, ()):
        if needed == "stage":
            name = table.word("stage")
            if name not in names:
                collector.add(
                    "reading-part",
                    f'"{name}" is no stage' if name else "the reading does not say of which stage",
                    (*table.path, "stage") if name else table.path,
                    label="not a stage",
                    why=f"{key} is read at a stage",
                    fix=f"stage = one of: {', '.join(sorted(names))}",
                )
        elif table.maybe(needed) is None:
            collector.add(
                "reading-part",
                f'the reading lacks "{needed}"',
                table.path,
                label="incomplete",
                why=f"{key} says nothing without it",
                fix=f'add {needed} = "..."',
            )
    own = collector.source.describe_path((*table.path, key))
    given = next((g for g in collector.values.given if g.path == own), None)
    if given is not None and not (given.tolerance or given.standard_uncertainty):
        collector.add(
            "reading-uncertainty",
            "the reading does not say how uncertain it is",
            (*table.path, key),
            label="no uncertainty",
            why="readings count by their uncertainty",
            fix=f'such as {key} = "{given.text} +- 2 %", or with u for a standard uncertainty',
        )
