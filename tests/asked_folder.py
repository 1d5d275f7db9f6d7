"""A study asked for in the folder at hand, and that folder opened as its command does."""

from __future__ import annotations

from collections.abc import Callable

from jacketcalc.casefile.reading import read_case
from jacketcalc.cli.folder import open_folder

OVER = ["vary", "case.toml", "--over", "jacket.gap=7mm", "--no-range", "-o", "out"]
NAMES = [f"vary.{ending}" for ending in ("csv", "json", "nc", "txt", "xlsx")]


def forms(*endings: str) -> dict[str, Callable[[], bytes]]:
    return {ending: lambda e=ending: f"content of {e}".encode() for ending in endings}


def use(path: str = "out", *, asked: str = "a", force: bool = False, case: str = "case.toml"):  # type: ignore[no-untyped-def]
    return open_folder(
        path, "vary", [".txt", ".csv"], force=force, case=read_case(case), asked=asked
    )
