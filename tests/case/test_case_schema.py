"""The kept JSON schema is fresh and fits the shipped cases."""

from __future__ import annotations

import json
import tomllib
from typing import Any

from broken import FULL
from places import FILES

from jacketcalc.casefile import schema_json


def test_json_schema_fits_the_cases() -> None:
    schema = json.loads(schema_json.make_text())
    for path in FILES:
        assert_fits(tomllib.loads(path.read_text("utf-8")), schema)
    assert_fits(tomllib.loads(FULL), schema)


def assert_fits(value: Any, schema: dict[str, Any]) -> None:
    """Check the parts of JSON Schema that the schema uses."""
    if schema.get("type") == "object":
        known = schema.get("properties", {})
        more = schema["additionalProperties"]
        assert set(schema.get("required", [])) <= value.keys()
        for key, item in value.items():
            assert key in known or more is not False, key
            assert_fits(item, known.get(key, more))
    elif schema.get("type") == "array":
        assert schema["minItems"] <= len(value) <= schema["maxItems"]
        for item in value:
            assert_fits(item, schema["items"])
    elif "enum" in schema:
        assert value in schema["enum"]
