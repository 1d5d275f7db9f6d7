"""An assessment as text for a person and as JSON for a program."""
