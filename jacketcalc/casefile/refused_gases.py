"""Gases that a case cannot name: why not, and what to write instead."""

from __future__ import annotations

from jacketcalc.quantity_problems import QuantityError

_OXYGEN = ("oxygen", "o2", "nitrox", "enriched air", "nitrous oxide", "n2o")
"""Words for gases in which oil and seals burn."""
_MEANT = {
    "n2": "nitrogen",
    "ar": "argon",
    "he": "helium",
    "co2": "carbon dioxide",
    "ch4": "methane",
    "natural gas": "methane",
    "biomethane": "methane",
    "compressed air": "air",
}
"""What a word most likely means."""


def refuse_gas(text: str, choices: tuple[str, ...]) -> QuantityError | None:
    """Build the error for a gas that a word names; None where it names none that is known."""
    asked = text.casefold()
    if asked in _OXYGEN:
        return QuantityError(
            "gas-oxygen",
            f'"{text}" is not covered',
            width=len(text),
            label="not a gas for this tool",
            why="oil, seals and even metals can ignite in gas rich in oxygen: a booster for it is "
            "made, cleaned and tested by rules that are not checked here",
            fix="take this to the maker of oxygen-clean machines; no entry makes it safe",
        )
    meant = _MEANT.get(asked) or next((one for one in choices if one == asked), None)
    if meant is None:
        return None
    return QuantityError(
        "word-unknown",
        f'"{text}" is not a word that "name" can be',
        width=len(text),
        label=f'it is called "{meant}" here',
        why="methane stands in for natural gas, whose other parts make it denser"
        if meant == "methane" and asked != "ch4"
        else "a gas has its full name, in small letters",
        fix=f'name = "{meant}"',
    )
