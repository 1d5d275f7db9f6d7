"""Every public function that raises an error of the package says so under Raises.

The form is that of numpydoc's section `Raises` (numpydoc's style guide, "Sections"; from memory):
the name of the error on a line of its own, and under it when it is raised.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import jacketcalc

ROOT = Path(jacketcalc.__file__).parent
FILES = sorted(ROOT.rglob("*.py"))
OWN = {
    node.name
    for file in FILES
    for node in ast.walk(ast.parse(file.read_text("utf-8")))
    if isinstance(node, ast.ClassDef) and node.name.endswith("Error")
}
"""Every error that the package defines."""


def own_nodes(function: ast.AST) -> list[ast.AST]:
    """Return what stands in a function and in none that it defines."""
    found, todo = [], list(ast.iter_child_nodes(function))
    while todo:
        node = todo.pop()
        if not isinstance(node, (ast.FunctionDef, ast.ClassDef, ast.Lambda)):
            found.append(node)
            todo += ast.iter_child_nodes(node)
    return found


def raised(function: ast.FunctionDef) -> set[str]:
    """Return the package's own errors that a function raises itself."""
    names = set()
    for node in own_nodes(function):
        if isinstance(node, ast.Raise) and node.exc is not None:
            called = node.exc.func if isinstance(node.exc, ast.Call) else node.exc
            names.add(ast.unparse(called).rpartition(".")[2])
    return names & OWN


def stated(function: ast.FunctionDef) -> set[str]:
    """Return the errors that stand under Raises in the docstring of a function."""
    _, heading, section = (ast.get_docstring(function) or "").partition("\nRaises\n------\n")
    lines = section.split("\n") if heading else []
    end = next((i for i, line in enumerate(lines) if line.startswith("---")), len(lines) + 1)
    return {line for line in lines[: end - 1] if line.isidentifier()}


def is_command(function: ast.FunctionDef) -> bool:
    """Return whether a docstring is a command's help, where exit statuses tell what goes wrong."""
    return any("click" in ast.unparse(decorator) for decorator in function.decorator_list)


def unstated(source: str) -> list[str]:
    """Return the public functions of a source that keep silent on an error, and which."""
    tree = ast.parse(source)
    homes = [tree, *(n for n in tree.body if isinstance(n, ast.ClassDef) and n.name[0] != "_")]
    functions = [n for home in homes for n in home.body if isinstance(n, ast.FunctionDef)]
    return [
        f"{function.name}: {', '.join(sorted(lacking))}"
        for function in functions
        if not (function.name.startswith("_") or is_command(function))
        and (lacking := raised(function) - stated(function))
    ]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.relative_to(ROOT).as_posix())
def test_errors_that_are_raised_are_stated(file: Path) -> None:
    assert unstated(file.read_text("utf-8")) == []


SAMPLE = '''
def silent(x):
    """Do it."""
    raise errors.RangeError("odd")

def told(x):
    """Do it.

    Raises
    ------
    RangeError
        When it is odd.
    """
    if x:
        raise RangeError("odd")

def half(x):
    """Do it.

    Raises
    ------
    RangeError
        When it is odd.

    Examples
    --------
    CaseError
    """
    raise CaseError([])

class Part:
    def check(self):
        raise ValueError("none of ours")

    def refuse(self):
        raise RangeError("odd")
'''


def test_silence_is_found() -> None:
    assert unstated(SAMPLE) == ["silent: RangeError", "half: CaseError", "refuse: RangeError"]
