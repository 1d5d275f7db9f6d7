"""The sections of the report: each takes a result and returns blocks."""
