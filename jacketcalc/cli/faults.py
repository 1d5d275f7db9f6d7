"""Unexpected faults: one line for the person, a report file for whoever mends it."""

from __future__ import annotations

import hashlib
import os
import platform
import tempfile
import traceback
from collections.abc import Sequence

from jacketcalc import __version__


def report_fault(error: Exception, arguments: Sequence[str]) -> str:
    """Write a report into the folder for temporary files; return its name, empty if none can be."""
    lines = [
        f"jacketcalc {__version__}",
        f"Python {platform.python_version()} on {platform.platform()}",
        f"arguments: {list(arguments)!r}",
        *_hashes(arguments),
        "",
        *traceback.format_exception(error),
    ]
    try:
        handle, name = tempfile.mkstemp(prefix="jacketcalc-fault-", suffix=".txt")
        with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace") as stream:
            stream.write("\n".join(line.rstrip("\n") for line in lines) + "\n")
    except OSError:
        return ""
    return name


def _hashes(arguments: Sequence[str]) -> list[str]:
    """Return the SHA-256 of every argument that is a file, so that a case can be told."""
    found = []
    for name in arguments:
        try:
            with open(name, "rb") as stream:
                found.append(f"{name}: sha256 {hashlib.sha256(stream.read()).hexdigest()}")
        except (OSError, ValueError):
            continue
    return found


def describe_fault(error: Exception, report: str, debug: bool) -> str:
    """Return the message for the person, with the traceback where it was asked for."""
    kind = type(error).__name__
    first = (str(error).splitlines() or [""])[0]
    what = f"{kind}: {first}" if first else kind
    wanted = report or "the lines above: no report could be written into a temporary folder"
    line = f"error: unexpected fault ({what}); please pass on {wanted}\n"
    if report and not debug:
        return line
    return "".join(traceback.format_exception(error)) + line
