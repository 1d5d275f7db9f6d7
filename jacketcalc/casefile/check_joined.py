"""Checks that join several entries of a case.

Each check runs only where every entry it needs could be read, so that one slip is reported
once. Sizes in a message are computed from the case.
"""

from __future__ import annotations

from jacketcalc.casefile.check_gas import check_gas
from jacketcalc.casefile.check_jacket import check_jacket
from jacketcalc.casefile.check_readings import check_readings
from jacketcalc.casefile.check_sizes import check_sizes
from jacketcalc.casefile.collect import Collector
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.read_values import CaseView
from jacketcalc.casefile.similar import find_similar, join_words, look_of
from jacketcalc.inputs import FEEDS

RESERVED = ("supply", "source", "atmosphere", "receiver", "drive")
"""Names that a stage cannot have, because tables use them for other things."""
FLOOD = 1.0
"""Least line volume over the swept volume it takes, where both stages push at once [-]."""


def run_checks(collector: Collector) -> None:
    """Run every check."""
    names = _check_names(collector)
    _check_pressures(collector)
    _check_dew_point(collector)
    _check_film(collector)
    _check_rods(collector)
    for place, path in enumerate(collector.values.stage_paths):
        _check_stage(collector, path, place, names)
    _check_branches(collector, names)
    _check_same_stroke(collector)
    _check_exhaust(collector, names)
    check_gas(collector)
    check_sizes(collector)
    check_readings(collector)


def _length(collector: Collector, value: float) -> str:
    return collector.show(value, "length")


def _check_names(collector: Collector) -> list[str]:
    """Return the stages' names, in order; empty where one could not be read."""
    names: list[str] = []
    for path in collector.values.stage_paths:
        name = collector.values.at(*path).word("name")
        twin = next((other for other in names if other and look_of(other) == look_of(name)), "")
        if name and look_of(name) in map(look_of, RESERVED):
            collector.add(
                "name-taken",
                f'a stage cannot be called "{name}"',
                (*path, "name"),
                label="has another meaning",
                why=f"{join_words(RESERVED)} stand for other parts of the machine",
                fix="give it another name",
            )
        elif name and twin:
            same = twin == name
            collector.add(
                "name-taken",
                f'two stages are called "{name}"'
                if same
                else f'"{twin}" and "{name}" can be taken for one another',
                (*path, "name"),
                label="second time" if same else "looks like the name before",
                why="tables and exhaust ports tell stages apart by name",
                fix="give it another name",
            )
        names.append(name)
    return names


def _check_pressures(collector: Collector) -> None:
    values = collector.values
    supply, receiver = (
        values.at("supply").maybe("pressure"),
        values.at("receiver").maybe("pressure"),
    )
    ambient = values.at("ambient").maybe("pressure")
    feeds = {values.at(*path).word("draws_from") for path in values.stage_paths}
    boosted = "source" not in feeds or "supply" in feeds
    if boosted and supply is not None and receiver is not None and receiver <= supply:
        collector.add(
            "receiver-below-supply",
            "the receiver is not above the supply",
            ("receiver", "pressure"),
            label=f"{_pressure(collector, receiver)}, supply {_pressure(collector, supply)}",
            why="a booster raises pressure: supply air would flow through both check valves",
            fix=f"a receiver above {_pressure(collector, supply)}",
        )
    start = values.at("receiver").maybe("from")
    filled = values.at("receiver").maybe("volume") is not None
    if filled and start is not None and receiver is not None and start >= receiver:
        collector.add(
            "receiver-full",
            "the receiver is full before it is filled",
            ("receiver", "from"),
            label=f"{_pressure(collector, start)}, filled to {_pressure(collector, receiver)}",
            why="a fill goes from the lower to the higher pressure",
            fix=f"a start below {_pressure(collector, receiver)}",
        )
    if supply is not None and ambient is not None and supply <= ambient:
        collector.add(
            "supply-below-ambient",
            "the supply is not above the surroundings",
            ("supply", "pressure"),
            label=f"{_pressure(collector, supply)}, ambient {_pressure(collector, ambient)}",
            why="the drive works on the difference of the two",
            fix=f"a supply above {_pressure(collector, ambient)}",
        )


def _pressure(collector: Collector, value: float) -> str:
    return collector.show(value, "pressure", 5)


def _check_dew_point(collector: Collector) -> None:
    supply = collector.values.at("supply")
    dew_point, warm = supply.maybe("pressure_dew_point"), supply.maybe("temperature")
    if dew_point is None or warm is None or dew_point <= warm:
        return
    typed = [("supply", key) for key in ("pressure_dew_point", "humidity_class")]
    stated = [path for path in typed if path in collector.source.spots.keys]
    path: Path = stated[0] if stated else typed[0]
    filled = not stated
    collector.add(
        "dew-point",
        "the supply air is colder than its dew point",
        ("supply", "temperature") if filled else path,
        label=f"dew point {collector.show(dew_point, 'temperature')}"
        + (", filled in" if filled else ""),
        why="air cannot hold more vapour than saturates it; liquid water is not modelled",
        fix=f"state a pressure_dew_point of {collector.show(warm, 'temperature')} or less"
        + (", or a class of drier air" if path == typed[1] else ""),
    )


def _check_film(collector: Collector) -> None:
    """Refuse a film factor that its own range leaves out."""
    ambient = collector.values.at("ambient")
    keys = ("film_factor_low", "film_factor", "film_factor_high")
    low, factor, high = (ambient.maybe(key) for key in keys)
    if low is None or factor is None or high is None or low <= factor <= high:
        return
    collector.add(
        "film-range",
        "the film factor lies outside its own range",
        ("ambient", "film_factor"),
        label=f"{factor:g}, range {low:g} to {high:g}",
        why="the model range goes from film_factor_low to film_factor_high, round film_factor",
        fix="state a film_factor_low and a film_factor_high with film_factor between them",
    )


def _check_rods(collector: Collector) -> None:
    drive = collector.values.at("drive")
    bore = drive.maybe("bore")
    for key in ("rod_1", "rod_2"):
        rod = drive.maybe(key)
        if bore is not None and rod is not None and rod >= bore:
            collector.add(
                "rod-bore",
                f'"{key}" leaves no piston area',
                ("drive", key),
                label=f"{_length(collector, rod)} in a bore of {_length(collector, bore)}",
                why="the rod passes through the drive chamber, so it is thinner than the bore",
                fix=f"a rod below {_length(collector, bore)}",
            )


def _check_stage(collector: Collector, path: Path, place: int, names: list[str]) -> None:
    stage, drive = collector.values.at(*path), collector.values.at("drive")
    _check_draws_from(collector, path, place, names)
    _check_rod_reaches(collector, stage, drive)
    bore, drive_bore = stage.maybe("bore"), drive.maybe("bore")
    if bore is not None and drive_bore is not None and bore >= drive_bore:
        collector.add(
            "stage-bore",
            "the stage is not smaller than the drive",
            (*path, "bore"),
            label=f"{_length(collector, bore)}, drive {_length(collector, drive_bore)}",
            why="pressure is raised in the ratio of the areas, less friction",
            fix=f"a bore below {_length(collector, drive_bore)}",
        )
    if stage.has("jacket"):
        check_jacket(collector, stage)


def _check_draws_from(collector: Collector, path: Path, place: int, names: list[str]) -> None:
    stage = collector.values.at(*path)
    source, own = stage.word("draws_from"), (*path, "draws_from")
    if source and source not in FEEDS and source not in names[:place]:
        _refuse_origin(collector, own, source, names, place)
        return
    line = (*path, "line")
    if source in FEEDS and stage.has("line"):
        collector.add(
            "line-unused",
            f"a stage that draws from the {source} has an interstage line",
            line,
            label="leads from no stage",
            why="[stage.line] joins the delivery of one stage to the inlet of the next; "
            "the supply line is [supply.line]",
            fix="leave [stage.line] out",
        )
    if source in names[:place] and not stage.has("line") and not collector.is_unread(line):
        collector.add(
            "table-missing",
            "the table [stage.line] is missing",
            own,
            label="from here",
            why="the gas between two stages has a volume, which sets how the pressure swings",
            fix='[stage.line] with volume = "..." below this stage',
        )


def _refuse_origin(
    collector: Collector, own: Path, source: str, names: list[str], place: int
) -> None:
    if source in names:
        collector.add(
            "stage-order",
            f'"{names[place]}" draws from '
            + ("itself" if source == names[place] else f'"{source}", which stands after it'),
            own,
            label="not before it",
            why="stages stand in the order in which the gas passes them",
            fix="put the stage that draws from the supply first",
        )
        return
    if "" in names[:place]:
        return
    known = [*FEEDS, *names[:place]]
    nearest = known[-1] if place else "supply"
    similar = find_similar(source, known)
    collector.add(
        "stage-unknown",
        f'there is no stage "{source}" before this one',
        own,
        label=f'the nearest is "{similar}"' if similar else "not known",
        why=f"it can draw from {join_words(known)}",
        fix=f'draws_from = "{similar or nearest}"',
    )


def _check_rod_reaches(collector: Collector, stage: CaseView, drive: CaseView) -> None:
    """Stroke 1 pushes the piston towards chamber 2, so a stage it serves hangs on rod 2.

    Several stages at one end hang on a crosshead, by rods of their own.
    """
    stroke = stage.maybe("compresses_on_stroke")
    if stroke is None:
        return
    views = (CaseView(collector.values, path) for path in collector.values.stage_paths)
    alone = [view.maybe("compresses_on_stroke") for view in views].count(stroke) == 1
    key = "rod_2" if stroke == 1 else "rod_1"
    rod, bore = drive.maybe(key), stage.maybe("bore")
    outer = drive.maybe("bore")
    fits = rod is None or outer is None or rod < outer
    if alone and rod is not None and bore is not None and fits and rod >= bore:
        collector.add(
            "rod-stage",
            f"the rod is {_length(collector, rod)} thick, the bore it enters "
            f"{_length(collector, bore)}",
            (*drive.path, key),
            label="does not fit in",
            why="the rod follows the stage's piston into its barrel",
            fix=f"make {key} less than {_length(collector, bore)}",
        )
    if drive.maybe(key) == 0.0:
        collector.add(
            "rod-missing",
            f'no rod pushes the stage: "{key}" is 0',
            (*stage.path, "compresses_on_stroke"),
            label=f'needs "{key}"',
            fix=f"state {key}, or compress on stroke {3 - stroke:.0f}",
            why=f"on stroke {stroke:.0f} the piston moves towards chamber {3 - stroke:.0f}, "
            "and the stage sits at that end",
        )


def _check_branches(collector: Collector, names: list[str]) -> None:
    """Refuse stages that draw from one and the same stage: its line leads to one inlet."""
    values, taken = collector.values, dict[str, str]()
    for name, path in zip(names, values.stage_paths, strict=True):
        source = values.at(*path).word("draws_from")
        if not name or source not in names:
            continue
        if source in taken:
            collector.add(
                "stage-branch",
                f'"{taken[source]}" and "{name}" both draw from "{source}"',
                (*path, "draws_from"),
                label="drawn from already",
                why="the line behind a stage leads to one other stage",
                fix=f'draws_from = "{taken[source]}", or "supply"',
            )
        taken.setdefault(source, name)


def _check_same_stroke(collector: Collector) -> None:
    """Two stages in series that push at once need a line that takes a whole stroke."""
    values = collector.values
    stages = [CaseView(values, path) for path in values.stage_paths]
    for place, second in enumerate(stages):
        for first in stages[:place]:
            if first.word("name") and second.word("draws_from") == first.word("name"):
                _check_line_takes(collector, first, second)


def _check_line_takes(collector: Collector, first: CaseView, second: CaseView) -> None:
    """Refuse a line too small for what the stage before pushes while the next is full."""
    strokes = [stage.maybe("compresses_on_stroke") for stage in (first, second)]
    stroke, bore = collector.values.at("drive").maybe("stroke"), first.maybe("bore")
    volume = second.inside("line").maybe("volume")
    if None in strokes or strokes[0] != strokes[1]:
        return
    if stroke is None or bore is None or volume is None:
        return
    swept = 0.785398163 * bore**2 * stroke
    if volume >= FLOOD * swept:
        return
    least = collector.show(FLOOD * swept, "volume", 3)
    collector.add(
        "stroke-order",
        "both stages push on the same stroke and the line is too small for it",
        (*second.path, "compresses_on_stroke"),
        label="same stroke as the stage before",
        why="the stage before pushes while this one, which should take its air, is full; "
        f"the line must then take a whole stroke, {least}",
        fix=f"compress on stroke {3 - int(strokes[0] or 0)}, or make the line {least} or more",
    )


def _check_exhaust(collector: Collector, names: list[str]) -> None:
    values = collector.values
    for port in ("port_1", "port_2"):
        own: Path = ("exhaust", port, "to")
        goal = values.at("exhaust", port).word("to")
        if not goal or goal == "atmosphere":
            continue
        if goal not in names:
            if "" in names:
                continue
            known = ["atmosphere", *names]
            similar = find_similar(goal, known)
            collector.add(
                "stage-unknown",
                f'there is no stage "{goal}"',
                own,
                label=f'the nearest is "{similar}"' if similar else "not known",
                why=f"the exhaust goes to {join_words(known)}",
                fix=f'to = "{similar}"' if similar else "write one of these",
            )
            continue
        stage = values.at("stage", names.index(goal))
        jacket = (*stage.path, "jacket")
        if not stage.has("jacket") and not collector.is_unread(jacket):
            collector.add(
                "jacket-missing",
                f'the exhaust goes to "{goal}", which has no jacket',
                own,
                label="no jacket there",
                fix='to = "atmosphere", or a table [stage.jacket] in that stage',
                why="exhaust reaches a stage through its jacket: [stage.jacket]",
            )
