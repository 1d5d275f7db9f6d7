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
    names = tuple(values.at(*path).word("name") for path in values.stage_paths)
    for path in reading_paths(values):
        table = values.at(*path)
        # A number that cannot be read is refused where it stands, and is no missing one.
        held = [key for key in READ_KEYS if (*path, key) in collector.source.spots.keys]
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


def _check_one(collector: Collector, table: CaseView, key: str, names: tuple[str, ...]) -> None:
    keys = collector.source.spots.keys
    for needed in NEEDS.get(key, ()):
        if (*table.path, needed) in keys and not (table.holds(needed) or table.word(needed)):
            continue  # it is refused where it stands
        if needed == "stage":
            name = table.word("stage")
            if name not in names:
                collector.add(
                    "reading-part",
                    f'"{name}" is no stage' if name else "the reading does not say of which stage",
                    (*table.path, "stage") if name else table.path,
                    label="not a stage",
                    why=f"{key} is read at a stage",
                    fix=f"stage = one of: {', '.join(names)}",
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
    _check_outlet(collector, table, key)
    start, end = table.maybe("pressure_from"), table.maybe("pressure_to")
    if key == "fill_time" and start is not None and end is not None and start >= end:
        collector.add(
            "reading-part",
            "the receiver does not fill from the one pressure to the other",
            (*table.path, "pressure_to"),
            label="not above pressure_from",
            why="a fill time is that from the lower to the higher pressure",
            fix="a pressure_to above pressure_from",
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


def _check_outlet(collector: Collector, table: CaseView, key: str) -> None:
    """Refuse an exhaust temperature where no exhaust leaves a jacket."""
    if key != "exhaust_temperature" or table.word("jackets") == "with":
        return
    collector.add(
        "reading-part",
        "with the jackets bypassed no exhaust leaves one",
        (*table.path, "jackets"),
        label="bypassed",
        why="exhaust_temperature is read at the outlet of a jacket",
        fix='jackets = "with"',
    )
