"""What is not needed is not imported: nothing heavy for help or a case, no CoolProp to solve."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from broken import FULL
from command_line import QUICK, environment
from places import ROOT

import jacketcalc.gas
from jacketcalc.casefile.template import make_template


def test_the_main_job_imports_neither_coolprop_nor_scipy(tmp_path: Path) -> None:
    case = tmp_path / "case.toml"
    case.write_text(make_template())
    code = (
        "import sys; sys.modules['CoolProp'] = sys.modules['scipy'] = None;"
        "from jacketcalc.cli.main import main;"
        "sys.exit(main(['assess', 'case.toml']))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, env=environment(),
                          capture_output=True, text=True)  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "delivery" in done.stdout


def test_reading_a_case_loads_nothing_heavy() -> None:
    code = (
        "import sys\nfrom jacketcalc.casefile.reading import read_case_text\n"
        "read_case_text(sys.stdin.read())\n"
        "heavy = {'numpy', 'scipy', 'pydantic', 'CoolProp', 'matplotlib', 'rich', 'json'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        input=FULL,
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    assert done.stdout.strip() == "[]"


def test_the_short_interface_costs_nothing_until_it_is_used() -> None:
    heavy = "{'numpy', 'scipy', 'CoolProp', 'matplotlib'}"
    code = (
        f"import sys, jacketcalc; assert not {heavy} & set(sys.modules);"
        "print([callable(getattr(jacketcalc, n)) for n in jacketcalc.__all__ if n[0] != '_'])"
    )
    command = [sys.executable, "-c", code]
    told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    assert told.count("True") == 12 and "False" not in told


HEAVY = ("numpy", "scipy", "CoolProp", "matplotlib", "ht", "fluids")


def loaded_by(*arguments: str, cwd: Path) -> set[str]:
    """Return the modules that a command had imported when it ended."""
    code = (
        "import sys; from jacketcalc.cli.main import main; status = main(sys.argv[1:]);"
        "sys.stderr.write(' '.join(sys.modules)); sys.exit(status)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        cwd=cwd,
        input=make_template().encode(),
        capture_output=True,
        env=environment(),
        check=True,
    )
    return set(done.stderr.decode().split())


def test_help_imports_nothing_heavy_and_little_at_all(tmp_path: Path) -> None:
    modules = loaded_by("--help", cwd=tmp_path)
    assert modules.isdisjoint(HEAVY)
    bare = subprocess.run(
        [sys.executable, "-c", "import sys, click; print(len(sys.modules))"],
        capture_output=True,
        check=True,
    )
    foreign = [name for name in modules if not name.startswith("jacketcalc")]
    assert len(foreign) <= int(bare.stdout) + 30


@pytest.mark.parametrize("arguments", QUICK, ids=" ".join)
def test_what_computes_nothing_imports_nothing_heavy(arguments: list[str], tmp_path: Path) -> None:
    assert loaded_by(*arguments, cwd=tmp_path).isdisjoint(HEAVY)


@pytest.mark.parametrize(
    ("statement", "output"),
    [
        ("import sys, jacketcalc.gas; print('CoolProp' in sys.modules)", "False\n"),
        (
            "import sys; from jacketcalc.gas import air; air(); print('CoolProp' in sys.modules)",
            "False\n",
        ),
        ("from jacketcalc.gas.coolprop import load; load(); print('ready')", "ready\n"),
    ],
)
def test_coolprop_comes_late_and_silently(statement: str, output: str) -> None:
    source = Path(jacketcalc.gas.__file__).parents[2]
    found = subprocess.run(
        [sys.executable, "-c", statement],
        capture_output=True,
        check=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(source)},
    )
    assert found.stdout == output
