"""The errors a user of the package can meet."""

from __future__ import annotations

from dataclasses import dataclass, field


class JacketcalcError(Exception):
    """Base of every error raised on purpose."""


class RangeError(JacketcalcError):
    """A state or size lies outside what the models cover."""


class ConvergenceError(JacketcalcError):
    """The coupled solution was not reached; the message says where, with residuals."""


@dataclass(frozen=True, kw_only=True)
class Problem:
    """One thing wrong with a case file, placed where it stands."""

    name: str
    """Stable short name of the kind of problem, such as `unit-missing`."""
    message: str
    """What is wrong, lower case, no full stop."""
    path: str = ""
    """Dotted key path, such as `stage.first.jacket.pitch`; empty for the whole file."""
    file: str = "<case>"
    """File name as the user gave it."""
    line: int = 0
    """Line, from 1; 0 when no line applies."""
    column: int = 0
    """Column, from 1; 0 when no column applies."""
    text: str = ""
    """The line as typed."""
    width: int = 0
    """Length of the faulty span, in characters."""
    label: str = ""
    """Short remark beside the place."""
    why: str = ""
    """The rule that was broken."""
    fix: str = ""
    """What to write instead; empty when not sure."""


@dataclass
class CaseError(JacketcalcError):
    """A case that cannot be used, with the problems found."""

    problems: list[Problem] = field(default_factory=list)
    """Problems in the order of the file."""
    hidden: int = 0
    """Further problems that are counted and not kept."""

    def __str__(self) -> str:
        count = len(self.problems) + self.hidden
        first = self.problems[0].message if self.problems else "unknown problem"
        return f"{count} problem{'s' if count != 1 else ''} in the case; first: {first}"


class InstallationError(JacketcalcError):
    """The package is not installed whole; the message says what to do."""
