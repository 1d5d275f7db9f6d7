"""Every number states its unit, once, where it is held: fields, constants, parameters."""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from places import ROOT

PACKAGE = ROOT / "jacketcalc"
MODULES = sorted(PACKAGE.rglob("*.py"))
NUMBER = re.compile(r"\b(float|Array|ArrayLike|NDArray\[np\.float64\]|Span|Interval)\b")
"""Annotations that hold floating-point numbers."""
UNIT = re.compile(r"\[[^\[\]]+\]|\bSI\b|\b(?:data|in the) units?\b")
"""A unit in brackets, or SI, or whose unit it is, where another entry says the dimension."""
BY_HOLDER = {"Interval": "in the unit of the field that holds it"}
"""Records whose unit is that of the field that holds them, and the words that say so."""


def parse(file: Path) -> ast.Module:
    return ast.parse(file.read_text("utf-8"))


def is_record(node: ast.AST) -> bool:
    """Return whether a class is a dataclass or a named tuple."""
    if not isinstance(node, ast.ClassDef):
        return False
    marks = [*node.decorator_list, *node.bases]
    return any(re.search("dataclass|NamedTuple", ast.unparse(mark)) for mark in marks)


def text_after(body: list[ast.stmt], index: int) -> str:
    """Return the string that stands below a statement, as its docstring."""
    below = body[index + 1] if index + 1 < len(body) else None
    if isinstance(below, ast.Expr) and isinstance(below.value, ast.Constant):
        return str(below.value.value)
    return ""


def holds_numbers(annotation: ast.expr | None) -> bool:
    words = "" if annotation is None else ast.unparse(annotation)
    return NUMBER.search(words) is not None and "Callable" not in words


def fields_without(tree: ast.Module) -> Iterator[str]:
    """Yield the fields of records that hold numbers and say no unit."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.ClassDef) or not is_record(node):
            continue
        if BY_HOLDER.get(node.name, "-") in (ast.get_docstring(node) or ""):
            continue
        for index, entry in enumerate(node.body):
            if not isinstance(entry, ast.AnnAssign) or not holds_numbers(entry.annotation):
                continue
            if not UNIT.search(text_after(node.body, index)):
                yield f"{node.name}.{ast.unparse(entry.target)}"


def constants_without(tree: ast.Module) -> Iterator[str]:
    """Yield the module's constants that are floating-point numbers and say no unit."""
    for index, node in enumerate(tree.body):
        if not isinstance(node, ast.Assign) or not isinstance(node.value, ast.Constant):
            continue
        if isinstance(node.value.value, float) and not UNIT.search(text_after(tree.body, index)):
            yield ast.unparse(node.targets[0])


def described(docstring: str) -> dict[str, str]:
    """Return the parameters that a docstring describes, by name."""
    found = re.search(r"^Parameters\n-+\n(.*?)(?=^\w+\n-+\n|\Z)", docstring, re.M | re.S)
    entries = re.split(r"\n(?=\S)", found[1]) if found else []
    return {name.strip(): entry for entry in entries for name in entry.partition(":")[0].split(",")}


def parameters_without(tree: ast.Module) -> Iterator[str]:
    """Yield the described parameters that hold numbers and whose description says no unit."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.FunctionDef):
            continue
        entries = described(ast.get_docstring(node) or "")
        for argument in (*node.args.args, *node.args.kwonlyargs):
            text = entries.get(argument.arg)
            if text is not None and holds_numbers(argument.annotation) and not UNIT.search(text):
                yield f"{node.name}({argument.arg})"


@pytest.mark.parametrize("find", [fields_without, constants_without, parameters_without])
def test_every_number_states_its_unit(find: Callable[[ast.Module], Iterator[str]]) -> None:
    missing = [
        f"{file.relative_to(PACKAGE)}: {name}" for file in MODULES for name in find(parse(file))
    ]
    assert not missing, "\n".join(missing)


def test_a_number_without_a_unit_is_found() -> None:
    """The finders see what they are for."""
    tree = ast.parse(
        '@dataclass\nclass A:\n    """A."""\n    x: float\n    """Length [m]."""\n    y: float\n'
        '    """Length."""\n    n: int\n\nBIG = 2.0\nSMALL = 1.0\n"""Share [-]."""\n\n'
        'def f(a: float, b: float) -> None:\n    """Do.\n\n    Parameters\n    ----------\n'
        '    a : length [m]\n    b : length\n    """\n'
    )
    assert list(fields_without(tree)) == ["A.y"]
    assert list(constants_without(tree)) == ["BIG"]
    assert list(parameters_without(tree)) == ["f(b)"]
