"""From values that passed every check to the records of `inputs`."""

from __future__ import annotations

from typing import Any, cast

from jacketcalc import inputs
from jacketcalc.casefile.read_values import Values, View
from jacketcalc.casefile.rules import has_gallery
from jacketcalc.casefile.source import CaseText


def build_case(values: Values, source: CaseText) -> inputs.Case:
    """Build the case."""
    top = values.at()
    judge = values.at("judge")
    return inputs.Case(
        title=top.word("title"),
        machine=build_machine(values),
        judgement=inputs.Judgement(
            by=cast(inputs.Currency, judge.word("by")),
            bare=cast(inputs.Reference, judge.word("bare")),
            discharge_limit=judge.number("discharge_limit"),
            tip_limit=judge.number("smallest_land"),
            size_step=judge.number("size_step"),
        ),
        document=_document(values.at("document")),
        given=tuple(values.given),
        sha256=source.sha256,
        text=source.text,
        file=source.file,
    )


def build_machine(values: Values) -> inputs.Machine:
    """Build the machine."""
    models = values.at("models")
    return inputs.Machine(
        room=inputs.Room(**_numbers(values.at("room"), "temperature", "pressure")),
        supply=_supply(values.at("supply")),
        valve=_valve(values.at("valve")),
        drive=_drive(values.at("drive")),
        stages=tuple(_stage(View(values, path)) for path in values.stage_paths),
        tank_pressure=values.at("tank").number("pressure"),
        exhaust_1=_exhaust(values.at("exhaust", "port_1")),
        exhaust_2=_exhaust(values.at("exhaust", "port_2")),
        models=inputs.Models(
            jacket=cast(inputs.Closure, models.word("jacket")),
            cylinder=cast(inputs.CylinderModel, models.word("cylinder")),
            stirring=models.number("stirring"),
        ),
    )


def _numbers(table: View, *keys: str) -> dict[str, Any]:
    return {key: table.number(key) for key in keys}


def _flow_element(table: View) -> inputs.FlowElement:
    return inputs.FlowElement(
        sonic=table.number("conductance"), critical_ratio=table.number("critical_ratio")
    )


def _document(table: View) -> inputs.Document:
    texts = ("owner", "number", "revision", "date", "author", "checker", "approver")
    more: dict[str, Any] = {key: table.word(key) for key in texts}
    return inputs.Document(**more, units=cast(Any, table.word("units")))


def _supply(table: View) -> inputs.Supply:
    return inputs.Supply(
        **_numbers(table, "pressure", "temperature", "pressure_dew_point"),
        line=_flow_element(table.inside("line")) if table.has("line") else None,
    )


def _valve(table: View) -> inputs.Valve:
    return inputs.Valve(
        fill=_flow_element(table.inside("fill")),
        vent=_flow_element(table.inside("vent")),
        **_numbers(table, "dead_time", "dwell"),
        cycle_rate=table.maybe("cycle_rate"),
    )


def _drive(table: View) -> inputs.Drive:
    return inputs.Drive(
        **_numbers(
            table,
            "bore",
            "stroke",
            "rod_1",
            "rod_2",
            "dead_volume_1",
            "dead_volume_2",
            "moving_mass",
            "friction",
            "friction_share",
            "wall_thickness",
        ),
        material=table.solid("material"),
    )


def _check_valve(table: View) -> inputs.CheckValve:
    return inputs.CheckValve(
        conductance=_flow_element(table),
        opening_pressure=table.number("opening_pressure_difference"),
    )


def _stage(table: View) -> inputs.Stage:
    return inputs.Stage(
        name=table.word("name"),
        draws_from=table.word("draws_from"),
        compresses_on=cast(inputs.Stroke, int(table.number("compresses_on_stroke"))),
        **_numbers(
            table,
            "bore",
            "clearance",
            "barrel_length",
            "wall_thickness",
            "head_thickness",
            "piston_length",
            "seal_friction",
            "mount_conductance",
        ),
        material=table.solid("material"),
        inlet=_check_valve(table.inside("inlet")),
        delivery=_check_valve(table.inside("delivery")),
        seal=table.solid("seal_material"),
        line=_line(table.inside("line")) if table.has("line") else None,
        jacket=_jacket(table.inside("jacket")) if table.has("jacket") else None,
    )


def _line(table: View) -> inputs.Line:
    return inputs.Line(**_numbers(table, "volume", "heat_loss"))


def _jacket(table: View) -> inputs.Jacket:
    return inputs.Jacket(
        **_numbers(
            table,
            "gap",
            "pitch",
            "land",
            "wound_length",
            "offset",
            "tip_clearance",
            "roughness",
            "entry_loss",
            "vent_loss",
            "vent_bore",
            "inlet_bore",
            "shell_thickness",
        ),
        starts=int(table.number("starts")),
        gallery_width=table.number("gallery_width") if has_gallery(table) else 0.0,
        inlet_at=cast(Any, table.word("inlet_at")),
        land_joint=cast(inputs.LandJoint, table.word("land_joint")),
        shell=table.solid("shell_material"),
    )


def _exhaust(table: View) -> inputs.Exhaust:
    return inputs.Exhaust(
        to=table.word("to"),
        tube=_tube(table.inside("tube")) if table.has("tube") else None,
        silencer=_flow_element(table.inside("silencer")) if table.has("silencer") else None,
    )


def _tube(table: View) -> inputs.Tube:
    return inputs.Tube(
        **_numbers(table, "bore", "wall", "length", "roughness", "fitting_loss"),
        material=table.solid("material"),
    )
