"""Checks of a jacket against itself and against the barrel it winds round."""

from __future__ import annotations

import math

from jacketcalc.casefile.collect import Collector
from jacketcalc.casefile.read_values import CaseView
from jacketcalc.casefile.rules import has_gallery, widest_hole
from jacketcalc.geometry import axial_width
from jacketcalc.unit_display import to_display

MOST_TURNS = 500.0
"""Turns from which a jacket is taken for a slip of units [-]."""


def _length(collector: Collector, value: float) -> str:
    return collector.show(value, "length")


def _at_most(collector: Collector, value: float) -> str:
    """Return a length rounded down, so that what is shown can be typed."""
    shown = to_display(value, "length", collector.system)
    step = 10.0 ** (math.floor(math.log10(shown)) - 3)
    return collector.show(value * math.floor(shown / step + 1e-6) * step / shown, "length")


def check_jacket(collector: Collector, stage: CaseView) -> None:
    """Check one stage's jacket."""
    jacket = stage.inside("jacket")
    _check_rib(collector, jacket)
    _check_clearance(collector, jacket)
    _check_turns(collector, jacket)
    _check_length(collector, stage, jacket)
    for key, what in (("outlet_bore", "outlet"), ("inlet_bore", "inlet")):
        _check_hole(collector, stage, jacket, key, what)


def _check_rib(collector: Collector, jacket: CaseView) -> None:
    if not jacket.holds("rib", "pitch"):
        return
    rib, pitch = jacket.number("rib"), jacket.number("pitch")
    if rib < pitch:
        return
    collector.add(
        "rib-pitch",
        "the rib is as wide as the pitch or wider",
        (*jacket.path, "rib"),
        label=f"leaves {_length(collector, axial_width(pitch, rib))} of channel",
        why="the channel is what the pitch leaves beside the rib",
        fix=f"a rib below {_length(collector, pitch)}, or a pitch above {_length(collector, rib)}",
    )


def _check_clearance(collector: Collector, jacket: CaseView) -> None:
    if not jacket.holds("tip_clearance", "gap"):
        return
    clearance, gap = jacket.number("tip_clearance"), jacket.number("gap")
    path = (*jacket.path, "tip_clearance")
    filled = path not in collector.source.spots.keys
    if clearance >= gap:
        collector.add(
            "tip-gap",
            "the rib's tip clearance is as large as the gap",
            (*jacket.path, "gap") if filled else path,
            label=f"clearance {_length(collector, clearance)}, gap {_length(collector, gap)}"
            + (", clearance filled in" if filled else ""),
            why="the rib must reach into the gap to guide the air",
            fix=f"a tip_clearance below {_length(collector, gap)}",
        )


def _check_turns(collector: Collector, jacket: CaseView) -> None:
    if not jacket.holds("length", "pitch"):
        return
    wound, pitch = jacket.number("length"), jacket.number("pitch")
    if wound < pitch:
        collector.add(
            "jacket-turns",
            "the jacket winds over less than one pitch",
            (*jacket.path, "length"),
            label=f"pitch {_length(collector, pitch)}",
            why="a helix shorter than its pitch does not go round the cylinder",
            fix=f"{_length(collector, pitch)} or more, or a pitch of "
            f"{_at_most(collector, wound)} or less",
        )
    elif wound > MOST_TURNS * pitch:
        collector.add(
            "jacket-turns",
            f"the jacket has {wound / pitch:.0f} ribs along its length",
            (*jacket.path, "pitch"),
            label=f"more than {MOST_TURNS:.0f}",
            why="no such helix is made; a unit may have slipped",
            fix=f"a pitch of {_length(collector, wound / MOST_TURNS)} or more",
        )


def _check_length(collector: Collector, stage: CaseView, jacket: CaseView) -> None:
    barrel = stage.maybe("barrel_length")
    if barrel is None or not jacket.holds("length", "offset"):
        return
    wound, offset = jacket.number("length"), jacket.number("offset")
    if wound + offset <= barrel * (1.0 + 1e-9):
        return
    name = collector.source.describe_path((*stage.path, "barrel_length"))
    start = f" from {_length(collector, offset)}" if offset else ""
    filled = (*stage.path, "barrel_length") not in collector.source.spots.keys
    space = barrel - offset
    collector.add(
        "jacket-length",
        "the jacket is longer than the barrel it winds round",
        (*jacket.path, "length"),
        label=f"barrel {_length(collector, barrel)}" + (" (filled in)" if filled else ""),
        why=f"the winding{start} must end on the barrel; {name} is {_length(collector, barrel)}",
        fix=f"a length of {_at_most(collector, space)} or less"
        if space > 0.0
        else f"an offset below {_length(collector, barrel)}",
    )


def _check_hole(
    collector: Collector, stage: CaseView, jacket: CaseView, key: str, what: str
) -> None:
    """Refuse a hole that would cut the ribs beside its channel, or too much of the shell."""
    bore, widest = jacket.maybe(key), widest_hole(jacket, stage)
    if bore is None or widest is None or widest <= 0.0 or bore <= widest * (1.0 + 1e-9):
        return
    gallery = has_gallery(jacket)
    where, space = "channel", axial_width(jacket.number("pitch"), jacket.number("rib"))
    if gallery:
        where, space = "gallery", jacket.number("gallery_width")
    fix = f"{key} of {_at_most(collector, widest)} or less"
    why = f"the {where} is {_length(collector, space)} wide along the axis"
    if widest < space * (1.0 - 1e-9):
        why += f", and {_at_most(collector, widest)} is what fits between ribs and in the shell"
    if gallery:
        why += "; a gallery_width as wide as the hole makes space"
    collector.add(
        "hole-fit",
        f"the {what} hole does not fit its {where}",
        (*jacket.path, key),
        label=f"at most {_at_most(collector, widest)} fits",
        why=why,
        fix=fix,
    )
