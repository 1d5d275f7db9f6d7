"""The compiled library: what it exports and calls, and what a wrong one leads to."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from command_line import CASE, run
from core_build import compile_library, compile_object, tool

from jacketcalc.core.layout import header_hash
from jacketcalc.core.library import BUILT, LIBRARY, SIGNATURES, load_library
from jacketcalc.errors import InstallationError

ALLOWED = {
    "cbrt", "cos", "exp", "expm1", "log", "pow", "sqrt", "tanh",
    "memcpy", "memmove", "memset", "_GLOBAL_OFFSET_TABLE_",
}  # fmt: skip
"""Names from outside that the core may use: mathematics and moving memory. None takes memory,
prints, or ends the process."""


def symbols(*options: str) -> list[list[str]]:
    """Return what `nm` says of each name, the name last."""
    told = subprocess.run([tool("nm"), *options], capture_output=True, text=True, check=True)
    return [line.split() for line in told.stdout.splitlines() if line.strip()]


def test_only_the_functions_that_python_calls_are_exported() -> None:
    named = {words[-1] for words in symbols("-D", "--defined-only", str(BUILT))}
    assert {name for name in named if not name.startswith("_")} == set(SIGNATURES)
    assert all(name.startswith("core_") for name in SIGNATURES)


def test_nothing_can_be_written_and_nothing_is_called_but_mathematics(tmp_path: Path) -> None:
    """Types of `nm`: T, t code; R, r what is only read; U from outside; D, d, B, b, C writable."""
    found = symbols(str(compile_object(tmp_path)))
    assert {words[-2] for words in found} <= set("TtRrU")
    assert {words[-1] for words in found if words[-2] == "U"} <= ALLOWED
    assert {words[-1] for words in found if words[-2] == "T"} == set(SIGNATURES)


def missing(folder: Path) -> Path:
    return folder / "_core.so"


def damaged(folder: Path) -> Path:
    (folder / "_core.so").write_bytes(b"not a library")
    return folder / "_core.so"


def of_another_layout(folder: Path) -> Path:
    bodies = "".join(f"void {name}(void) {{}}\n" for name in SIGNATURES if name != "core_layout")
    return compile_library(f'const char *core_layout(void) {{ return "0"; }}\n{bodies}', folder)


def without_a_function(folder: Path) -> Path:
    """The right layout, and none of what an older library did not have yet."""
    body = f'{{ return "{header_hash()}"; }}'
    return compile_library(f"const char *core_layout(void) {body}\n", folder)


KINDS = [
    (missing, "is missing"),
    (damaged, "cannot be loaded"),
    (of_another_layout, "was built from another version"),
    (without_a_function, "was built from another version"),
]


@pytest.mark.parametrize(("make", "words"), KINDS)
def test_another_library_is_one_clear_error(
    make: Callable[[Path], Path], words: str, tmp_path: Path
) -> None:
    with pytest.raises(InstallationError, match=f"{words}.*pip install") as caught:
        load_library(make(tmp_path))
    assert "\n" not in str(caught.value)


def test_the_right_library_is_loaded() -> None:
    assert load_library(LIBRARY).core_layout().decode() == header_hash()


@pytest.mark.parametrize(("make", "words"), KINDS[:3])
def test_the_command_line_says_so_in_one_line(
    make: Callable[[Path], Path], words: str, tmp_path: Path
) -> None:
    done = run("assess", str(CASE), cwd=tmp_path, JACKETCALC_CORE=str(make(tmp_path)))
    said = done.stderr.decode()
    assert done.returncode == 3 and done.stdout == b""
    assert said.count("\n") == 1 and said.startswith("error: the compiled core")
    assert words in said and "Traceback" not in said
