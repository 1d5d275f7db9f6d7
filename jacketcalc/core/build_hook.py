"""Compiles the core while a wheel is built. It is loaded by file, before the package exists."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


def _steps() -> Any:
    file = Path(__file__).with_name("build.py")
    spec = importlib.util.spec_from_file_location("jacketcalc_core_build", file)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class CoreHook(BuildHookInterface[Any]):
    """Adds the compiled core to a wheel, and tags it for the platform and every Python."""

    def dependencies(self) -> list[str]:
        """Ask for a compiler only where the system has none."""
        steps = _steps()
        return [] if steps.system_compiler() else [steps.NEEDED]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Compile, and put the library beside its loader."""
        if self.target_name != "wheel":
            return
        steps = _steps()
        where = Path(self.directory) / "core"
        where.mkdir(parents=True, exist_ok=True)
        built = steps.build(where / steps.LIBRARY.name)
        build_data["force_include"][str(built)] = f"jacketcalc/core/{built.name}"
        build_data["pure_python"] = False
        build_data["tag"] = steps.wheel_tag()
