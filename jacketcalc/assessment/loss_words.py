"""What the exhaust passages cost, and the one change that gains most, in words."""

from __future__ import annotations

from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.single_change import SingleChange
from jacketcalc.assessment.standing_words import say_change
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.pressure_budget import PressureBudget
from jacketcalc.inputs import Currency
from jacketcalc.number_text import close_sum, fixed
from jacketcalc.unit_display import System, say_quantity


def name_ports(budget: PressureBudget) -> str:
    """Return the ports that a passage serves, such as `port 1`."""
    if len(budget.ports) > 1:
        return f"ports {' and '.join(map(str, budget.ports))}"
    return f"port {budget.ports[0]}"


def say_budget(budget: PressureBudget, system: System) -> str:
    """Return what a passage costs and what share each part has: rounded shares add up to 100 %."""
    shares = close_sum([100.0 * part.share for part in budget.parts], 0)
    told = ", ".join(
        f"{part.name} {fixed(share, 0)}" for part, share in zip(budget.parts, shares, strict=True)
    )
    name = name_ports(budget)
    decimals = 2 if system == "SI" else 1
    whole = say_quantity(budget.whole, "pressure difference", system, decimals)
    return f"{name[0].upper()}{name[1:]}, {whole}: {told} %."


def best_change(found: Assessment) -> SingleChange | None:
    """Return the single change that gains most, None where none gains or none was tried.

    A change that betters the jackets' gain and worsens the machine with them is none.
    """
    by, drawn = found.case.judgement.by, found.jacketed
    return next(
        (one for one in found.tried if one.gain > 0.0 and betters(by, one.jacketed, drawn)), None
    )


def betters(by: Currency, new: Outcome, old: Outcome) -> bool:
    """Whether a machine is better than another in what is judged."""
    if by == "delivery":
        return new.delivered_mass_flow > old.delivered_mass_flow
    if by == "specific air consumption":
        return new.specific_air_consumption < old.specific_air_consumption
    return new.hottest_discharge < old.hottest_discharge


def say_best(found: Assessment) -> str:
    """Return the change that gains most with its gain; empty where none was tried."""
    if not found.tried:
        return ""
    one = best_change(found)
    if one is None:
        return f"Of {len(found.tried)} single changes of a part by one size none gains."
    by, system = found.case.judgement.by, found.case.document.units
    drawn = judged_now(found)
    then, now = (say_change(by, value, system) for value in (one.change, drawn))
    return f"Best change: {one.what}: {by} {then}, as drawn {now}."


def judged_now(found: Assessment) -> float:
    """Return what the jackets as drawn change of what is judged: relative [-], or [K]."""
    by = found.case.judgement.by
    if by == "delivery":
        return found.change.delivered_mass_flow
    if by == "specific air consumption":
        return found.change.specific_air_consumption
    return found.jacketed.hottest_discharge - found.bare.hottest_discharge


def say_way(found: Assessment) -> str:
    """Return where a way of changes leads, each on top of those before; empty without one."""
    if not found.way:
        return ""
    by, system = found.case.judgement.by, found.case.document.units
    last = found.way[-1]
    better = last.change if by == "delivery" else -last.change
    reached = say_change(by, last.change, system)
    count = "One change" if len(found.way) == 1 else f"{len(found.way)} changes"
    text = f"{count} by one size, each on top of those before"
    if better > 0.0:
        typed = "Typed into the case, assess gives the model range."
        return f"{text}: {by} {reached}, nominal models. {typed}"
    return f"{text}: still {by} {reached}; none further gains. Other jackets may: optimise."
