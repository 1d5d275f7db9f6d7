"""A copy of the package with one term broken, compiled and ready to be imported."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

from jacketcalc.core import build

from .record import Edit, Mutation

ROOT = Path(__file__).parents[2]
"""The source tree."""
PACKAGE = ROOT / "jacketcalc"
FLAGS = ("-O1", "-w")
"""Quick to compile. Without fast mathematics every level of optimisation gives the same numbers;
a line that breaks a term may leave a variable without a use."""


@contextmanager
def broken_package(mutation: Mutation | None) -> Iterator[Path]:
    """Give a folder that holds the package with a term broken, or whole when None."""
    with tempfile.TemporaryDirectory() as scratch:
        copy = Path(scratch) / "jacketcalc"
        shutil.copytree(PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__", "*.so"))
        edits = mutation.edits if mutation else ()
        for edit in edits:
            change(copy, edit)
        library = copy / "core" / build.LIBRARY.name
        if any(edit.file.endswith((".c", ".h")) for edit in edits):
            build.build(library, FLAGS, source=copy / "core" / "c" / "core.c")
        else:
            library.write_bytes(_whole_library())
        yield Path(scratch)


@cache
def _whole_library() -> bytes:
    """Compile the unbroken core, whatever stands beside its loader."""
    with tempfile.TemporaryDirectory() as scratch:
        source = PACKAGE / "core" / "c" / "core.c"
        return build.build(Path(scratch) / build.LIBRARY.name, FLAGS, source=source).read_bytes()


def change(package: Path, edit: Edit) -> None:
    """Make an edit; the text to be replaced must stand in the file exactly once."""
    file = package / edit.file
    text = file.read_text("utf-8")
    count = text.count(edit.old)
    if count != 1:
        raise ValueError(f"{edit.file}: {count} times {edit.old!r}, not once")
    file.write_text(text.replace(edit.old, edit.new), "utf-8")
