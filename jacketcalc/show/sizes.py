"""Sizes that follow from a case's entries by geometry alone; nothing is solved for them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from jacketcalc import geometry
from jacketcalc.inputs import Drive, Exhaust, Jacket, Machine, Stage, Tube

SI_UNITS = {"length": "m", "area": "m2", "volume": "m3", "angle": "rad", "number": "-"}
"""Unit of a size by its dimension."""


@dataclass(frozen=True, kw_only=True)
class Size:
    """One size."""

    table: str
    """Table of the case it belongs to, such as `stage.first.jacket`."""
    key: str
    """Its name in JSON."""
    label: str
    """Its name on the screen."""
    value: float
    """Its value in SI."""
    dimension: str
    """One of `SI_UNITS`."""

    @property
    def unit(self) -> str:
        """Its SI unit."""
        return SI_UNITS[self.dimension]


def list_sizes(machine: Machine) -> tuple[Size, ...]:
    """Return the sizes of a machine, in the order of the case."""
    return tuple(_list(machine))


def _list(machine: Machine) -> Iterator[Size]:
    yield from _drive(machine.drive)
    for stage in machine.stages:
        yield from _stage(machine.drive, stage)
        if stage.jacket is not None:
            yield from _jacket(stage, stage.jacket)
    stages = {stage.name: stage for stage in machine.stages}
    for number, exhaust in ((1, machine.exhaust_1), (2, machine.exhaust_2)):
        yield from _exhaust(f"exhaust.port_{number}", exhaust, stages.get(exhaust.to))


def _size(table: str, key: str, label: str, value: float, dimension: str) -> Size:
    return Size(table=table, key=key, label=label, value=value, dimension=dimension)


def _drive(drive: Drive) -> Iterator[Size]:
    for number, area in enumerate(geometry.piston_areas(drive), start=1):
        swept = geometry.swept_volume(area, drive.stroke)
        chamber = f"chamber {number}"
        yield _size("drive", f"piston_area_{number}", f"piston area, {chamber}", area, "area")
        yield _size("drive", f"swept_volume_{number}", f"swept volume, {chamber}", swept, "volume")


def _stage(drive: Drive, stage: Stage) -> Iterator[Size]:
    table, area = f"stage.{stage.name}", geometry.circle_area(stage.bore)
    ratio = geometry.area_ratio(drive, stage)
    swept = geometry.swept_volume(area, drive.stroke)
    clearance = geometry.clearance_volume(stage, drive.stroke)
    yield _size(table, "piston_area", "piston area", area, "area")
    yield _size(table, "area_ratio", "drive area / piston area", ratio, "number")
    yield _size(table, "swept_volume", "swept volume", swept, "volume")
    yield _size(table, "clearance_volume", "clearance volume", clearance, "volume")


def _jacket(stage: Stage, jacket: Jacket) -> Iterator[Size]:
    helix = geometry.helix_sizes(stage, jacket)
    axial = geometry.axial_width(jacket.pitch, jacket.rib)
    lead = geometry.helix_lead(jacket.pitch, jacket.starts)
    barrel = geometry.barrel_perimeter(stage, jacket) * helix.path_length
    ribs = geometry.fin_perimeter(jacket) * helix.path_length
    inlet = geometry.hole_area(jacket, jacket.inlet_bore)
    outlet = geometry.hole_area(jacket, jacket.outlet_bore)
    several = jacket.starts > 1
    every = ", all starts" if several else ""
    each = ", each start" if several else ""
    holes = "holes" if jacket.holes > 1 else "hole"
    air = "channels and galleries" if jacket.gallery_width else "channels" if several else "channel"
    rows = [
        ("axial_width", "channel width, along the axis", axial, "length"),
        ("channel_width", "channel width, square to the flow", helix.clear_width, "length"),
        ("channel_area", f"channel area{every}", helix.flow_area, "area"),
        ("hydraulic_diameter", "hydraulic diameter", helix.hydraulic_diameter, "length"),
        ("lead", "lead", lead, "length"),
        ("lead_angle", "lead angle", helix.lead_angle, "angle"),
        ("turns", f"turns{each}", helix.turns, "number"),
        ("path_length", f"path length, at mid-depth{each}", helix.path_length, "length"),
        ("barrel_heat_area", "heat transfer area, barrel", barrel, "area"),
    ]
    if ribs:
        rows.append(("rib_heat_area", "heat transfer area, sides of ribs", ribs, "area"))
    rows += [
        ("inlet_area", f"inlet {holes}, area", inlet, "area"),
        ("outlet_area", f"outlet {holes}, area", outlet, "area"),
        ("volume", f"volume of {air}", geometry.jacket_volume(stage, jacket), "volume"),
    ]
    for key, label, value, dimension in rows:
        yield _size(f"stage.{stage.name}.jacket", key, label, value, dimension)


def _exhaust(table: str, exhaust: Exhaust, stage: Stage | None) -> Iterator[Size]:
    tube: Tube | None = exhaust.tube
    jacketed = stage is not None and stage.jacket is not None
    if tube is not None:
        area, volume = geometry.circle_area(tube.bore), geometry.tube_volume(tube)
        yield _size(table, "tube_area", "tube area", area, "area")
        yield _size(table, "tube_volume", "volume of tube", volume, "volume")
    if jacketed:
        label = "volume of passage, tube and jacket" if tube else "volume of passage, jacket"
        volume = geometry.passage_volume(tube, stage)
        yield _size(table, "passage_volume", label, volume, "volume")
