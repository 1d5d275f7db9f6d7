"""What the best design of a search does: against no jackets, against the drawn design."""

from __future__ import annotations

from collections.abc import Sequence

from jacketcalc.number_text import fixed, percent
from jacketcalc.show.limit_text import describe_bound
from jacketcalc.show.page import Page
from jacketcalc.studies.choice import Aim
from jacketcalc.studies.columns import CHANGE, FROM_DRAWN, Numbers
from jacketcalc.studies.limits import Bound, list_bounds
from jacketcalc.studies.optimum import LEVEL, LEVEL_KELVIN, Optimum
from jacketcalc.studies.trials import Trial
from jacketcalc.studies.variables import Variable
from jacketcalc.unit_display import format_quantity, to_display

FLOW, AIR, HOTTEST = "delivered_mass_flow", "specific_air_consumption", "hottest_discharge"
SAME, SAME_KELVIN = 5e-4, 0.05
"""Changes that print as nothing: a share [-], a temperature [K]."""
_VERBS = {FLOW: "It delivers", AIR: "It takes", HOTTEST: "Its hottest discharge is"}
_WORDS = {
    FLOW: ("% more than", "% less than", "as much as"),
    AIR: ("% more drive air per kilogram than", "% less drive air per kilogram than",
          "as much drive air per kilogram as"),
}  # fmt: skip


def headline(optimum: Optimum) -> str:
    """Return what was found in a few capitals."""
    if optimum.best.breaks(frozenset(bound.name for bound in optimum.let_go)):
        return "NO DESIGN KEEPS ALL LIMITS TOGETHER; the nearest"
    low, high = _gains(optimum)
    if high <= 0.0:
        head = "NO DESIGN FOUND IS BETTER THAN NO JACKETS; the best"
    elif low <= 0.0:
        head = "BEST DESIGN FOUND; better than no jackets is not certain"
    else:
        head = "BEST DESIGN FOUND"
    count = len(optimum.let_go)
    limits = "a limit" if count == 1 else f"{count} limits"
    every = all(_by_all(optimum, bound) for bound in optimum.let_go)
    why = "that no design keeps" if every else "of those that none keeps together"
    return f"{head}; it breaks {limits} {why}" if count else head


def _by_all(optimum: Optimum, bound: Bound) -> bool:
    """Return whether every design solved breaks a limit."""
    return all(bound.name in trial.broken for trial in optimum.tried)


def _gains(optimum: Optimum) -> tuple[float, float]:
    """Return the ends of the range of the gain over no jackets, above 0 for better."""
    column = optimum.aim.column
    row = optimum.scanned
    spread = row.spread(f"{CHANGE}.{column}") if row is not None else None
    if spread is not None:
        return (-spread[1], -spread[0]) if optimum.aim.lowest else spread
    if column not in optimum.bare or column not in optimum.best.numbers:
        return 1.0, 1.0
    gain = optimum.best.numbers[column] - optimum.bare[column]
    return (-gain, -gain) if optimum.aim.lowest else (gain, gain)


def against(optimum: Optimum, page: Page) -> list[str]:
    """Return the sentences that set the best against no jackets and the drawn design."""
    columns = dict.fromkeys((optimum.aim.column, FLOW))
    return [_sentence(optimum, column, page) for column in columns]


def _sentence(optimum: Optimum, column: str, page: Page) -> str:
    others = [
        (optimum.bare, "the machine without jackets", CHANGE),
        (optimum.drawn.numbers, "the drawn design", FROM_DRAWN),
    ]
    parts = []
    for numbers, name, group in others:
        known = column in numbers and column in optimum.best.numbers
        words = _compared(optimum.best.numbers, numbers, column, name, page) if known else ""
        parts.append(words + (_band(optimum, f"{group}.{column}", page) if words else ""))
    verb = _VERBS.get(column, f"Its {optimum.aim.name.replace('coldest ', '')} is")
    said = f"{verb} {' and '.join(part for part in parts if part)}." if any(parts) else ""
    lost = [name for numbers, name, _ in others if column not in numbers]
    silent = " ".join(f"{name[0].upper()}{name[1:]} delivers nothing." for name in lost)
    return f"{said} {silent}".strip()


def _compared(best: Numbers, other: Numbers, column: str, name: str, page: Page) -> str:
    if column in _WORDS:
        more, less, same = _WORDS[column]
        change = best[column] / other[column] - 1.0
        if abs(change) < SAME:
            return f"{same} {name}"
        return f"{fixed(100 * abs(change), 1)} {more if change > 0.0 else less} {name}"
    change = best[column] - other[column]
    if abs(change) < SAME_KELVIN:
        return f"that of {name}"
    shown = fixed(to_display(abs(change), "temperature difference", page.system), 1)
    unit = page.unit("temperature difference")
    return f"{shown} {unit} {'above' if change > 0.0 else 'below'} that of {name}"


def _band(optimum: Optimum, column: str, page: Page) -> str:
    """Return the paired range of a change."""
    row = optimum.scanned
    ends = row.spread(column) if row is not None else None
    if ends is None:
        return ""
    if column.partition(".")[2] in _WORDS:
        return f" (range {percent(ends[0])} to {percent(ends[1])})"
    unit = "temperature difference"
    low, high = (fixed(to_display(v, unit, page.system), 0, sign=True) for v in ends)
    return f" (range {low} to {high} {page.unit(unit)})"


def limits_said(optimum: Optimum, page: Page) -> list[str]:
    """Return sentences on limits: which none keeps, what the one drawn breaks, what is kept."""
    said = []
    if optimum.let_go:
        one = len(optimum.let_go) == 1
        listed = "; ".join(_let_go(optimum, bound, page) for bound in optimum.let_go)
        if all(_by_all(optimum, bound) for bound in optimum.let_go):
            said.append(f"Every design solved breaks {'this' if one else 'these'} "
                        f"limit{'' if one else 's'}: {listed}.")  # fmt: skip
        else:
            said.append("No design keeps all limits together. The best breaks what the machine "
                        f"without jackets breaks too: {listed}.")  # fmt: skip
        said.append(f"{'It is' if one else 'They are'} left out to find the best; the other "
                    "limits count.")  # fmt: skip
        said.append(f"Nearest to keeping every limit: {sizes(optimum, optimum.nearest)}.")
    elif optimum.best.broken:
        said.append(f"It breaks: {_broken(optimum, optimum.best, page)}.")
    if optimum.drawn.broken:
        said.append(f"The drawn design breaks: {_broken(optimum, optimum.drawn, page)}.")
    kept = [b for b in list_bounds(optimum.case, optimum.limits) if b.name not in
            (*optimum.best.broken, *(bound.name for bound in optimum.let_go))]  # fmt: skip
    if kept:
        words = "; ".join(describe_bound(bound, page.system) for bound in kept)
        said.append(f"The best breaks none of these: {words}.")
    if optimum.limits.ignored:
        said.append(f"Ignored, as asked: {', '.join(sorted(optimum.limits.ignored))}.")
    return said


def _let_go(optimum: Optimum, bound: Bound, page: Page) -> str:
    machines = (
        ("the nearest", optimum.nearest.numbers),
        ("the machine without jackets", optimum.bare),
    )
    found = [(name, bound.excess(numbers)) for name, numbers in machines]
    by = [
        f"{name} by {_amount(excess, bound.dimension, page)}"
        for name, excess in found
        if excess is not None and excess > 0.0
    ]
    told = f" ({', '.join(by)})" if by else ""
    return f"{describe_bound(bound, page.system)}{told}"


def _amount(value: float, dimension: str, page: Page) -> str:
    if dimension.startswith("temperature"):
        shown = to_display(value, "temperature difference", page.system)
        return f"{fixed(shown, 0)} {page.unit('temperature difference')}"
    return format_quantity(value, dimension, page.system, 3)


def _broken(optimum: Optimum, trial: Trial, page: Page) -> str:
    bounds = list_bounds(optimum.case, optimum.limits)
    return "; ".join(describe_bound(b, page.system) for b in bounds if b.name in trial.broken)


def sizes(optimum: Optimum, trial: Trial) -> str:
    """Return the entries of a design with their values."""
    pairs = zip(optimum.axes, trial.texts, strict=True)
    return ", ".join(f"{axis.path} {text}" for axis, text in pairs)


def steps_said(optimum: Optimum, page: Page) -> str:
    """Say in which steps sizes were looked for, and what finer ones could gain."""
    said = steps_of(optimum.variables, page)
    if not any(_in_steps(variable) for variable in optimum.variables):
        return said
    gain, most = _gain(optimum.aim, optimum, page)
    tail = "" if most else "; give smaller steps"
    return f"{said[:-1]}; finer steps would gain {gain} at most{tail}."


def _in_steps(variable: Variable) -> bool:
    return not (variable.axis.whole or variable.choices) and len(variable.axis.values) > 1


def steps_of(variables: Sequence[Variable], page: Page) -> str:
    """Say what binds the sizes of a search: cutters, tubes and lengths that there are, steps."""
    bound = dict.fromkeys(_bound(v) for v in variables if v.choices)
    said = [", ".join(bound)] if bound else []
    steps = {
        v.axis.path: format_quantity(v.step, v.axis.dimension, page.system)
        for v in variables
        if _in_steps(v)
    }
    alike = set(steps.values())
    if len(alike) == 1:
        said.append(f"sizes in steps of {alike.pop()}")
    elif alike:
        listed = ", ".join(f"{path} {step}" for path, step in steps.items())
        said.append(f"steps of sizes: {listed}")
    return " ".join(f"{words[0].upper()}{words[1:]}." for words in said)


def _bound(variable: Variable) -> str:
    """Say what leaves a variable a few values alone."""
    path, count = variable.axis.path, len(variable.choices)
    many = "s" if count > 1 else ""
    if path.endswith("pitch"):
        return f"pitches by {count} cutter{many}"
    key = path.rpartition(".")[2]
    return f"{count} {'tube' if key == 'bore' else key}{many}"


def _gain(aim: Aim, optimum: Optimum, page: Page) -> tuple[str, bool]:
    """Return what finer steps could gain, and whether that is little."""
    if aim.relative:
        share = optimum.rounding / abs(optimum.best.numbers[aim.column])
        words = f"about {percent(share, 2, sign=False)}" if share >= 1e-4 else "less than 0.01 %"
        return words, share <= LEVEL
    shown = to_display(optimum.rounding, "temperature difference", page.system)
    unit = page.unit("temperature difference")
    words = f"about {fixed(shown, 2)} {unit}" if shown >= 0.01 else f"less than 0.01 {unit}"
    return words, optimum.rounding <= LEVEL_KELVIN
