"""Builds the compiled core: inside `pip install`, or in place by `python -m jacketcalc.core.build`.

A C99 compiler of the system is used, named by $CC or found as cc, gcc or clang; where there is
none the one from the package registry is (`ziglang`), which the build asks for only then. Nothing
here imports the package, for it runs before the package is installed.
"""

from __future__ import annotations

import hashlib
import os
import shlex
import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path

HERE = Path(__file__).resolve().parent
SOURCE = HERE / "c" / "core.c"
LIBRARY = HERE / ("_core" + {"win32": ".dll", "darwin": ".dylib"}.get(sys.platform, ".so"))
FLAGS = (
    "-std=c99", "-O2", "-fPIC", "-shared", "-fvisibility=hidden", "-ffp-contract=off",
    "-Wall", "-Wextra", "-Wconversion", "-Werror",
)  # fmt: skip
"""No fast mathematics, no contraction, no processor of this machine alone: same bytes everywhere
on a platform."""
NEEDED = "ziglang>=0.13"
"""What brings a compiler where the system has none."""


def system_compiler() -> list[str]:
    """Return the command of the system's compiler, empty where there is none."""
    given = shlex.split(os.environ.get("CC", ""))
    if given and shutil.which(given[0]):
        return given
    return next(([name] for name in ("cc", "gcc", "clang") if shutil.which(name)), [])


def registry_compiler() -> list[str]:
    """Return the command of the registry's compiler, told not to build for this machine alone."""
    return [sys.executable, "-m", "ziglang", "cc", "-mcpu=baseline", "-fno-sanitize=undefined"]


def layout_hash() -> str:
    """Return the hash of the layout that the library carries."""
    text = (HERE / "c" / "layout.h").read_text(encoding="utf-8")
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def build(target: Path = LIBRARY, extra: tuple[str, ...] = (), source: Path = SOURCE) -> Path:
    """Compile the core.

    Parameters
    ----------
    target : library to write
    extra : further flags, such as those of a sanitiser
    source : the file that includes all others

    Raises
    ------
    RuntimeError
        When no compiler is found or it fails; the message holds what it said.
    """
    compiler = system_compiler() or registry_compiler()
    warnings = () if system_compiler() else ("-Wno-unused-command-line-argument",)
    define = f'-DLAYOUT_HASH="{layout_hash()}"'
    part = target.with_suffix(".part")
    command = [*compiler, *FLAGS, *warnings, *extra, define, str(source), "-o", str(part), "-lm"]
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(f"the C core could not be compiled by {compiler[0]}:\n{done.stderr}")
    os.replace(part, target)
    return target


def wheel_tag() -> str:
    """Return the tag of a wheel that fits every Python of this platform."""
    return f"py3-none-{sysconfig.get_platform().replace('-', '_').replace('.', '_')}"


if __name__ == "__main__":
    print(build(extra=tuple(sys.argv[1:])))
