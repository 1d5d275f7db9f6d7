"""What the terminal can show: colour and letters."""

from __future__ import annotations

import errno
import io
import os
import sys
from collections.abc import Mapping
from typing import TextIO

from jacketcalc.cli.settings import Settings


class _Closed(io.StringIO):
    """Standard output that the caller closed: a result that nobody gets is no success."""

    def write(self, text: str) -> int:
        """Refuse what would be lost."""
        raise OSError(errno.EBADF, "it is closed")


def prepare_streams() -> None:
    """Make sure that every stream is there and that no letter can stop a message."""
    if sys.stdin is None:
        sys.stdin = io.TextIOWrapper(io.BytesIO())
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, _Closed() if name == "stdout" else io.StringIO())
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def shows_color(
    stream: TextIO, settings: Settings, environment: Mapping[str, str] = os.environ
) -> bool:
    """Return whether colour is wanted and can be shown."""
    if not settings.color or environment.get("NO_COLOR"):
        return False
    return stream.isatty() and environment.get("TERM") != "dumb"


def shows_ascii_only(stream: TextIO) -> bool:
    """Return whether a stream takes less than the whole of Unicode."""
    encoding = (stream.encoding or "ascii").lower().replace("-", "").replace("_", "")
    return not encoding.startswith("utf")
