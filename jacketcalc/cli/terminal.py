"""What the terminal can show: colour, letters, progress."""

from __future__ import annotations

import io
import os
import sys
import time
from collections.abc import Mapping
from types import TracebackType
from typing import TextIO

from jacketcalc.cli.settings import Settings

PATIENCE = 1.0
"""Time after which progress is shown [s]."""
_BAR = 30
"""Length of the progress bar in columns [-]."""


def prepare_streams() -> None:
    """Make sure that every stream is there and that no letter can stop a message."""
    if sys.stdin is None:
        sys.stdin = io.TextIOWrapper(io.BytesIO())
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, io.StringIO())
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


class Progress:
    """A line on a terminal that says how far a computation is; gone when it ends."""

    def __init__(self, stream: TextIO, patience: float = PATIENCE) -> None:
        self._stream = stream
        self._shown = 0
        self._begin = time.monotonic() + patience
        self._wanted = stream.isatty()

    def __call__(self, share: float) -> None:
        """Show the share done, 0 to 1, once there was time to become impatient."""
        if not self._wanted or time.monotonic() < self._begin:
            return
        share = min(1.0, max(0.0, share))
        filled = round(_BAR * share)
        text = f"solving  [{'#' * filled}{'.' * (_BAR - filled)}]  {100 * share:3.0f} %"
        self._shown = len(text)
        self._stream.write(f"\r{text}")
        self._stream.flush()

    def __enter__(self) -> Progress:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._shown:
            self._stream.write(f"\r{' ' * self._shown}\r")
            self._stream.flush()
