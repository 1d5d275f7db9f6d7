"""Finished batches on disk: one file each, whole or not there, named by what was solved."""

from __future__ import annotations

import dataclasses
import hashlib
import json
import types
import typing
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

from jacketcalc import __version__
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.studies.files import write_bytes

FORMAT = "jacketcalc-batch-2"
"""Name and version of a kept batch's format."""


class Checkpoint:
    """Keeps results in a folder; keeps nothing when the folder's name is empty."""

    def __init__(self, folder: str, resolution: Resolution) -> None:
        self._folder = Path(folder) if folder else None
        self._resolution = resolution

    def load(self, designs: Sequence[Design]) -> list[Result] | None:
        """Return the results of a batch that is kept, None where there is none to use."""
        if self._folder is None:
            return None
        try:
            kept = json.loads(self.file_of(designs).read_text(encoding="ascii"))
            if kept["format"] != FORMAT or kept["sha256"] != _digest(kept["results"]):
                return None
            return [_decode(Result, result) for result in kept["results"]]
        except (OSError, ValueError, LookupError, TypeError, AttributeError):
            return None

    def save(self, designs: Sequence[Design], results: Sequence[Result]) -> None:
        """Keep the results of a batch."""
        if self._folder is None:
            return
        self._folder.mkdir(parents=True, exist_ok=True)
        plain = [_encode(result) for result in results]
        text = json.dumps({"format": FORMAT, "sha256": _digest(plain), "results": plain})
        write_bytes(self.file_of(designs), text.encode("ascii"), force=True)

    def file_of(self, designs: Sequence[Design]) -> Path:
        """Return where a batch is kept; there must be a folder to keep it in."""
        assert self._folder is not None
        asked = "\n".join([FORMAT, program_digest(), repr(self._resolution), *map(repr, designs)])
        return self._folder / f"{hashlib.sha256(asked.encode()).hexdigest()[:32]}.json"


def _digest(results: Any) -> str:
    """Return what changes with any number of kept results."""
    return hashlib.sha256(json.dumps(results).encode()).hexdigest()


@cache
def program_digest() -> str:
    """Return what changes with the version and with the code itself."""
    root = Path(__file__).resolve().parent.parent
    digest = hashlib.sha256(__version__.encode())
    for part in ("core", "correlations", "findings", "flow", "gas"):
        for file in sorted([*(root / part).glob("*.py"), *(root / part).glob("c/*.[ch]")]):
            digest.update(file.read_bytes())
    return digest.hexdigest()


def _encode(value: Any) -> Any:
    if dataclasses.is_dataclass(value):
        return {f.name: _encode(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, dict):
        return {key: _encode(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [_encode(item) for item in value]
    return value if isinstance(value, (str, bool, type(None))) else float(value)


def _decode(wanted: Any, value: Any) -> Any:
    """Return plain data as what an annotation asks for."""
    origin, inner = typing.get_origin(wanted), typing.get_args(wanted)
    if origin in (types.UnionType, typing.Union):
        return None if value is None else _decode(inner[0], value)
    if origin is tuple:
        return tuple(_decode(inner[0], item) for item in value)
    if origin is dict:
        return {key: _decode(inner[1], item) for key, item in value.items()}
    if dataclasses.is_dataclass(wanted) and isinstance(wanted, type):
        hints = _hints(wanted)
        return wanted(**{name: _decode(hints[name], item) for name, item in value.items()})
    return value


@cache
def _hints(record: type) -> dict[str, Any]:
    return typing.get_type_hints(record)
