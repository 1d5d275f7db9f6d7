"""Whether what is kept was found with the sources, tests and edits that stand there now.

Comments, docstrings and white space do not count.
"""

from __future__ import annotations

import ast
import hashlib
import json
import re
from functools import cache
from pathlib import Path

from .broken import PACKAGE, ROOT
from .record import Mutation

STORE = Path(__file__).with_name("proof.json")
PHYSICS = (
    "core", "correlations", "fill", "flow", "gas", "formula.py", "inputs.py", "designs.py",
    "geometry.py",
    "passage_geometry.py", "passage_ports.py", "assessment/variants.py", "assessment/compare.py",
)  # fmt: skip
"""What of the package the kept numbers depend on."""
CASE = ROOT / "tests" / "machines" / "hot.toml"
_C_COMMENT = re.compile(r"/\*.*?\*/|//[^\n]*", re.DOTALL)
_PYTHON_COMMENT = re.compile(r'"""(?:.*?)"""|^\s*#[^\n]*', re.DOTALL | re.MULTILINE)


def kept() -> dict[str, str]:
    """Return the stamp of every proven mutation, by name."""
    if not STORE.exists():
        return {}
    proofs: dict[str, str] = json.loads(STORE.read_text("utf-8"))
    return proofs


def keep(stamps: dict[str, str]) -> None:
    """Write the stamps down."""
    STORE.write_text(json.dumps(stamps, indent=1) + "\n", "utf-8")


def stamp(mutation: Mutation) -> str:
    """Return the hash of all that a mutation's proof depends on."""
    text = "\n".join([physics(), test_text(mutation.test), repr(mutation.edits)])
    return hashlib.sha256(text.encode()).hexdigest()[:16]


@cache
def physics() -> str:
    """Return the hash of the sources that all numbers depend on."""
    found = hashlib.sha256(_plain(CASE).encode())
    for name in PHYSICS:
        place = PACKAGE / name
        files = [place] if place.is_file() else sorted(place.rglob("*.[cph]*"))
        for file in files:
            if file.suffix in (".py", ".c", ".h"):
                found.update(f"{file.name}\n{_plain(file)}\n".encode())
    return found.hexdigest()


def test_text(test: str) -> str:
    """Return the text of a test's own function."""
    file, name = test.split("::")
    text = (ROOT / "tests" / file).read_text("utf-8")
    for node in ast.parse(text).body:
        if isinstance(node, ast.FunctionDef) and node.name == name.split("[")[0]:
            return " ".join((ast.get_source_segment(text, node) or "").split())
    raise LookupError(f"there is no test {test}")


def _plain(file: Path) -> str:
    text = file.read_text("utf-8")
    comment = _C_COMMENT if file.suffix in (".c", ".h") else _PYTHON_COMMENT
    return " ".join(comment.sub(" ", text).split())
