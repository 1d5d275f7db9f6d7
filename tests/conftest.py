"""Hypothesis draws the same examples in every run: what fails, fails again.

`pytest --hypothesis-profile=default` draws others. The sources under test get a compiled core of
their own: the installed one where its sources are the same, else one built here.
"""

from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path
from shutil import copyfile

import pytest
from hypothesis import settings

from jacketcalc.core import build

settings.register_profile("repeatable", derandomize=True, database=None, deadline=None)
settings.load_profile("repeatable")

SOURCES = sorted((build.HERE / "c").glob("*.[ch]"))


def pytest_configure(config: pytest.Config) -> None:
    """Put a core beside the sources, once, before workers start."""
    if hasattr(config, "workerinput"):
        return
    newest = max(source.stat().st_mtime for source in SOURCES)
    if build.LIBRARY.exists() and build.LIBRARY.stat().st_mtime >= newest:
        return
    installed = _installed()
    if installed is not None:
        copyfile(installed, build.LIBRARY)
    else:
        build.build()


def _installed() -> Path | None:
    """Return the installed core, None where there is none of these sources."""
    try:
        package = Path(str(distribution("jacketcalc").locate_file("jacketcalc/core")))
    except PackageNotFoundError:
        return None
    library = package / build.LIBRARY.name
    if not library.exists() or package == build.HERE:
        return None
    same = all(
        (package / "c" / source.name).exists()
        and (package / "c" / source.name).read_bytes() == source.read_bytes()
        for source in SOURCES
    )
    return library if same else None
