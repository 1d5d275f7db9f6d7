"""Checks of the gas that is compressed: where it comes from, and that no part of it is liquid."""

from __future__ import annotations

from jacketcalc.casefile.collect import Collector
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.read_values import CaseView
from jacketcalc.gases import FLUIDS, Fluid


def check_gas(collector: Collector) -> None:
    """Run every check."""
    values = collector.values
    fed = [CaseView(values, path) for path in values.stage_paths]
    drawing = [stage for stage in fed if stage.word("draws_from") == "source"]
    has_source = values.at().has("source") or collector.is_unread(("source",))
    for stage in drawing if not has_source else ():
        _refuse_no_source(collector, (*stage.path, "draws_from"))
    if values.at().has("source") and not drawing and all(s.word("draws_from") for s in fed):
        collector.add(
            "gas-source-unused",
            "no stage draws from [source]",
            ("source",),
            label="feeds nothing",
            why="[source] is the bottle or line that a stage draws from in place of the supply",
            fix='draws_from = "source" in the first stage, or leave [source] out',
        )
    if drawing:
        _check_receiver(collector)
    gas = FLUIDS.get(values.at("gas").word("name"))  # type: ignore[call-overload]
    if gas is None or gas.name == "air":
        return
    for stage in fed:
        if stage.word("draws_from") == "supply":
            _refuse_supply(collector, gas, (*stage.path, "draws_from"))
    _check_phase(collector, gas)


def _refuse_no_source(collector: Collector, own: Path) -> None:
    collector.add(
        "gas-source",
        "the table [source] is missing",
        own,
        label="from here",
        why="a bottle or line has a pressure and a temperature of its own",
        fix='[source] with pressure = "..." and temperature = "..."',
    )


def _refuse_supply(collector: Collector, gas: Fluid, own: Path) -> None:
    collector.add(
        "gas-supply",
        f"a stage draws {gas.name} from the supply",
        own,
        label="the supply is air",
        why=f"the supply feeds the drive, which runs on air; {gas.name} comes from a bottle or "
        "line of its own",
        fix='draws_from = "source", and a table [source] with its pressure and temperature',
    )


def _check_receiver(collector: Collector) -> None:
    values = collector.values
    source = values.at("source").maybe("pressure")
    receiver = values.at("receiver").maybe("pressure")
    if source is None or receiver is None or receiver > source:
        return
    shown = [collector.show(p, "pressure", 5) for p in (receiver, source)]
    collector.add(
        "receiver-below-source",
        "the receiver is not above the source",
        ("receiver", "pressure"),
        label=f"{shown[0]}, source {shown[1]}",
        why="a booster raises pressure: gas would flow through both check valves by itself",
        fix=f"a receiver above {shown[1]}",
    )


def _check_phase(collector: Collector, gas: Fluid) -> None:
    """Refuse pressures and temperatures at which part of the gas could be liquid."""
    values = collector.values
    for table in ("source", "receiver"):
        found = values.at(table).maybe("pressure")
        if found is None or found <= gas.highest_asked:
            continue
        most = collector.show(gas.highest_asked, "pressure", 3)
        collector.add(
            "gas-liquid",
            f"{gas.name} could be liquid in part",
            (table, "pressure"),
            label=f"above {most}",
            why=f"below its critical temperature of {collector.show(gas.critical, 'temperature')} "
            "it condenses as pressure rises; two phases are not modelled",
            fix=f"{most} or less",
        )
    for table in ("source", "ambient"):
        found = values.at(table).maybe("temperature")
        if found is None or found >= gas.coldest_asked:
            continue
        least = collector.show(gas.coldest_asked, "temperature")
        collector.add(
            "gas-liquid",
            f"{gas.name} could be liquid in part",
            (table, "temperature"),
            label=f"below {least}",
            why="a wall that cold condenses it at the pressures of its table; two phases are not "
            "modelled",
            fix=f"{least} or more",
        )
