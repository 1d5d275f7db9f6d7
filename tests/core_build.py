"""Builds of the compiled core for tests, by the system's compiler."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from jacketcalc.core.build import FLAGS, HERE, SOURCE, system_compiler

NO_COMPILER = "no C compiler on this system"


def compiler() -> list[str]:
    """Return the system's compiler; a test that needs one is skipped where there is none."""
    found = system_compiler()
    if not found:
        pytest.skip(NO_COMPILER)
    return found


def tool(name: str) -> str:
    """Return a tool of the system; a test that needs it is skipped where there is none."""
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} is not on this system")
    return found


def compile_program(source: str, folder: Path) -> Path:
    """Compile a C program that may include the core's header."""
    code, program = folder / "program.c", folder / "program"
    code.write_text(source, encoding="utf-8")
    words = [*compiler(), "-std=c99", f"-I{HERE / 'c'}", str(code), "-o", str(program)]
    subprocess.run(words, check=True)
    return program


def compile_library(source: str, folder: Path, *flags: str) -> Path:
    """Compile a shared library of its own."""
    code, library = folder / "library.c", folder / "_core.so"
    code.write_text(source, encoding="utf-8")
    words = [*compiler(), "-shared", "-fPIC", *flags, str(code), "-o", str(library)]
    subprocess.run(words, check=True)
    return library


def compile_object(folder: Path) -> Path:
    """Compile the core as it is shipped, but for linking it."""
    target = folder / "core.o"
    flags = [flag for flag in FLAGS if flag != "-shared"]
    words = [*compiler(), *flags, '-DLAYOUT_HASH="0"', "-c", str(SOURCE), "-o", str(target)]
    subprocess.run(words, check=True)
    return target
