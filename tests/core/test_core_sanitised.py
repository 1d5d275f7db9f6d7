"""The core under the compiler's sanitisers: random machines, whole and in parts.

Addresses, undefined behaviour, conversions out of range and every index are checked; the first
report ends the process. A library of its own is solved with in a process of its own.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import environment
from core_build import compile_library, compiler
from places import ROOT, TESTS

from jacketcalc.core.build import build

FLAGS = (
    "-O1", "-g", "-fsanitize=address,undefined,float-cast-overflow,bounds",
    "-fno-sanitize-recover=all", "-fno-omit-frame-pointer", "-DCHECK_INDICES",
)  # fmt: skip
EACH = 9
"""Random machines of each layout, 63 in all [-]."""


def run_sanitised(script: str, *words: str, **changes: str) -> subprocess.CompletedProcess[str]:
    """Run Python with the sanitiser's own memory functions."""
    runtime = subprocess.run(
        [*compiler(), "-print-file-name=libasan.so"], capture_output=True, text=True, check=True
    ).stdout.strip()
    if not os.path.isabs(runtime):
        pytest.skip("this compiler has no address sanitiser to preload")
    preload = {"LD_PRELOAD": runtime, "ASAN_OPTIONS": "detect_leaks=0", "UBSAN_OPTIONS":
               "print_stacktrace=1"}  # fmt: skip
    return subprocess.run(
        [sys.executable, "-c", script, *words], capture_output=True, text=True, timeout=550,
        check=False, env={**environment(**preload), **changes, "PYTHONPATH": os.pathsep.join(
            [str(TESTS), str(ROOT)])},
    )  # fmt: skip


SOLVE = """
import sys
from random_check import read
from random_machines import LAYOUTS, draw_machines
from study_sample import CASES, COARSE
from jacketcalc.casefile.reading import read_case
from jacketcalc.core.run import run
from jacketcalc.designs import Design
each = int(sys.argv[1])
machines = [read_case(str(file)).machine for file in sorted(CASES.glob("*.toml"))]
for place, layout in enumerate(LAYOUTS):
    texts = draw_machines(layout, each, start=100 + place)
    machines += [machine for text in texts if (machine := read(text)) is not None]
results = run([Design(machine=machine) for machine in machines], resolution=COARSE, details=True)
print(len(results))
"""


FILL = """
from fill_sample import CASE, march
from jacketcalc.fill.pause import pause_machine
run, vessel, step = march(CASE.machine, 20e5)
pause_machine(step, run.state, 600.0)
print(run.ended)
"""


@pytest.fixture(scope="module")
def sanitised(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A sanitised build; reports go to standard error."""
    compiler()
    return str(build(tmp_path_factory.mktemp("sanitised") / "_core.so", FLAGS))


def test_random_machines_give_no_report(sanitised: str) -> None:
    done = run_sanitised(SOLVE, str(EACH), JACKETCALC_CORE=sanitised)
    assert done.returncode == 0 and done.stderr == "", done.stderr[-4000:]
    assert int(done.stdout.split()[-1]) > 5 * EACH


def test_a_fill_and_a_pause_give_no_report(sanitised: str) -> None:
    done = run_sanitised(FILL, JACKETCALC_CORE=sanitised)
    assert done.returncode == 0 and done.stderr == "", done.stderr[-4000:]
    assert done.stdout.split() == ["target"]


def test_parts_give_no_report(sanitised: str) -> None:
    """The tests of single parts once more, with the sanitised core."""
    names = ("core_memory", "core_borders", "core_threads", "pulses", "flow_curve")
    files = [str(path) for name in names for path in TESTS.rglob(f"test_{name}.py")]
    script = (
        "import sys, pytest; sys.exit(pytest.main(['-q', '-p', 'no:cacheprovider', *sys.argv[1:]]))"
    )
    done = run_sanitised(script, "-q", "-pno:cacheprovider", *files, JACKETCALC_CORE=sanitised)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-4000:]


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("double *d = (double *)p; d[n] = 1.0;", "heap-buffer-overflow"),
        ("double a[4] = {0}; ((volatile double *)p)[0] = a[n];", "out of bounds"),
        ("((volatile int64_t *)p)[0] = (int64_t)(1e300 * (double)n);", "outside the range"),
    ],
)
def test_the_sanitisers_see_what_they_should(body: str, words: str, tmp_path: Path) -> None:
    """Three faults put in on purpose, each of its own kind."""
    source = f"#include <stdint.h>\nvoid fault(void *p, int64_t n) {{ {body} }}\n"
    flags = [flag for flag in FLAGS if not flag.startswith("-O")]
    library = compile_library(source, tmp_path, *flags)
    script = (
        "import ctypes, sys, numpy\n"
        "held = numpy.zeros(4)\n"
        "fault = ctypes.CDLL(sys.argv[1]).fault\n"
        "fault.argtypes = ctypes.c_void_p, ctypes.c_int64\n"
        "fault(held.ctypes.data, 4)\n"
    )
    done = run_sanitised(script, str(library))
    assert done.returncode != 0 and words in done.stderr
