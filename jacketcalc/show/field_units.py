"""SI units of record fields, read where they stand once: in the docstring of the field."""

from __future__ import annotations

import ast
import re
import sys
from functools import cache

_UNIT = re.compile(r"\[([^\[\]]+)\]")


@cache
def field_units(module: str, name: str) -> dict[str, str]:
    """Return the unit of each field of a dataclass that states one; `-` is dimensionless."""
    for node in _parse(module).body:
        if isinstance(node, ast.ClassDef) and node.name == name:
            return _units(node)
    raise LookupError(f"no class {name} in {module}")


@cache
def _parse(module: str) -> ast.Module:
    file = sys.modules[module].__file__
    assert file is not None
    with open(file, encoding="utf-8") as stream:
        return ast.parse(stream.read())


def _units(node: ast.ClassDef) -> dict[str, str]:
    units: dict[str, str] = {}
    for field, text in zip(node.body[:-1], node.body[1:], strict=True):
        if not (isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name)):
            continue
        if isinstance(text, ast.Expr) and isinstance(text.value, ast.Constant):
            found = _UNIT.search(str(text.value.value))
            if found is not None:
                units[field.target.id] = found[1]
    return units
