"""The schema as JSON Schema (draft 7), so that editors complete and check keys."""

from __future__ import annotations

import json
import re
from typing import Any

from jacketcalc.casefile.fields import CaseTable, Field, find_field
from jacketcalc.casefile.schema import REFERENCE, ROOT, SOURCE
from jacketcalc.materials import MATERIALS
from jacketcalc.units import example, join_units, list_units


def make_schema() -> dict[str, Any]:
    """Return the JSON Schema of a case."""
    return {
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": "jacketcalc case",
        **_table(ROOT),
    }


def make_text() -> str:
    """Return the schema as text."""
    return json.dumps(make_schema(), indent=1, ensure_ascii=False) + "\n"


def _table(table: CaseTable, inherits: bool = False) -> dict[str, Any]:
    """Return the schema of one table; `inherits` where a table above states the source."""
    properties = {field.key: _field(field) for field in table.fields}
    sourced = table.sourced or inherits
    for inner in table.tables:
        properties[inner.key] = _wrap(inner, _table(inner, sourced))
    ways = [field.key for field in table.fields if field.instead_of]
    main = next((field.instead_of for field in table.fields if field.instead_of), "")
    required = [field.key for field in table.fields if field.required and field.key != main]
    required += [inner.key for inner in table.tables if inner.presence == "required"]
    if table.key:
        properties |= {field.key: _field(field) for field in (SOURCE, REFERENCE)}
        required += ["source"] if table.sourced and not inherits else []
    schema = {
        "type": "object",
        "description": table.about,
        "properties": properties,
        "required": required,
        "additionalProperties": False,
    }
    if ways:
        needed = find_field(table, main).required
        schema |= _one_of((main, *ways), none=not needed)
    return schema


def _one_of(keys: tuple[str, ...], none: bool) -> dict[str, Any]:
    """Return the rule that one of some keys stands, or none where that will do."""
    rules: list[dict[str, Any]] = [{"required": [key]} for key in keys]
    if none:
        rules.append({"not": {"anyOf": list(rules)}})
    return {"oneOf": rules}


def _wrap(table: CaseTable, schema: dict[str, Any]) -> dict[str, Any]:
    """Put the schema of a table that stands more than once into its container."""
    if table.array:
        return {"type": "array", "minItems": 1, "maxItems": table.most, "items": schema}
    if table.named:
        return {"type": "object", "additionalProperties": schema}
    return schema


def _field(field: Field) -> dict[str, Any]:
    schema: dict[str, Any] = {"description": _describe(field)}
    if field.kind == "word":
        schema["enum"] = list(field.choices)
    elif field.kind == "count":
        schema |= {"type": "integer", "minimum": int(field.low), "maximum": int(field.high)}
    elif field.kind == "quantity":
        schema |= _quantity(field)
    else:
        schema["type"] = "string"
        schema |= {"examples": list(MATERIALS)} if field.kind == "material" else {}
        schema |= {"examples": ["6 mm, 8 mm, 10 mm"]} if field.kind == "sizes" else {}
    if field.default:
        schema["default"] = int(field.default) if field.kind == "count" else field.default
    return schema


def _quantity(field: Field) -> dict[str, Any]:
    """Return the schema of a quantity: text with a unit, or a number where none is needed."""
    units = list_units(field.dimension)
    marks = "|".join(re.escape(unit).replace("/", r"\/") for unit in units)
    number = r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?"
    text: dict[str, Any] = {"type": "string", "examples": [example(field.dimension)]}
    if field.dimension not in ("ratio", "number"):
        text["pattern"] = rf"^\s*{number}\s*({marks}|[^\x00-\x7f].*)\s*((\+-|\+\/-|±).*)?$"
        return text
    return {"anyOf": [text, {"type": "number", "minimum": field.low, "maximum": field.high}]}


def _describe(field: Field) -> str:
    text = field.about
    if field.dimension and list_units(field.dimension):
        text += f". Units: {join_units(field.dimension)}"
    if field.default:
        text += f". Filled in where missing: {field.default}"
    elif field.rule:
        text += f". Filled in where missing: {field.why}"
    return text
