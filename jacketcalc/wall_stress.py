"""Hoop stress of walls: no check of strength, but a way to notice a misplaced decimal point."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from jacketcalc.geometry import shell_bore
from jacketcalc.inputs import Machine, Solid, Stage
from jacketcalc.materials import find_material

THIN = 0.1
"""Wall over inner radius up to which a wall counts as thin (textbooks' usual bound) [-]."""
DESIGN_SHARE = 2.0 / 3.0
"""Usual design stress over proof stress (EN 13445-3 and ASME II-D, from memory) [-]."""
LEAST_OF_METALS = 5.0
"""Conductivity above which a material of the case's own is taken for a metal [W/(m K)]."""
STAND_IN = "alloy steel 4140"
"""Strong common steel that a case's own metal is compared with."""
STAND_IN_PROOF = (417e6, 655e6)
"""Its yield stress, annealed to normalised [Pa] (Callister, Fundamentals, Table B.4, read)."""


@dataclass(frozen=True, kw_only=True)
class Wall:
    """A round wall with pressure inside."""

    name: str
    """Such as `barrel of stage "second"`."""
    key: str
    """Entry of the case that states its thickness."""
    bore: float
    """Inner diameter [m]."""
    thickness: float
    """Wall thickness [m]."""
    pressure: float
    """Pressure inside above ambient pressure [Pa]."""
    solid: Solid
    """Material."""

    @property
    def is_thin(self) -> bool:
        """Whether the thin-wall formula holds."""
        return self.thickness <= THIN * 0.5 * self.bore

    @property
    def stress(self) -> float:
        """Largest hoop stress [Pa]."""
        formula = thin_wall_stress if self.is_thin else lame_stress
        return formula(self.pressure, self.bore, self.thickness)

    @property
    def formula(self) -> str:
        """Name of the formula that gives the stress."""
        return "thin-wall formula p d / (2 t)" if self.is_thin else "Lame's formula, at the bore"

    @property
    def compared_with(self) -> str:
        """Material whose usual strength is taken, empty where none is known."""
        record = find_material(self.solid.name)
        if record is not None:
            return self.solid.name if record.proof is not None else ""
        return STAND_IN if self.solid.conductivity > LEAST_OF_METALS else ""

    @property
    def usual(self) -> tuple[float, float] | None:
        """Usual design stress, softest to hardest condition [Pa]; None where none is known."""
        if not self.compared_with:
            return None
        record = find_material(self.solid.name)
        low, high = STAND_IN_PROOF if record is None or record.proof is None else record.proof
        return DESIGN_SHARE * low, DESIGN_SHARE * high


def thin_wall_stress(pressure: float, bore: float, thickness: float) -> float:
    """Return the mean hoop stress of a thin wall, p d / (2 t) [Pa]."""
    return pressure * bore / (2.0 * thickness)


def lame_stress(pressure: float, bore: float, thickness: float) -> float:
    """Return Lamé's hoop stress at the bore, p (ro2 + ri2) / (ro2 - ri2) [Pa]."""
    inner = 0.25 * bore**2
    outer = (0.5 * bore + thickness) ** 2
    return pressure * (outer + inner) / (outer - inner)


def overstressed(machine: Machine) -> list[Wall]:
    """Return the walls whose stress passes what the softest usual condition is designed for."""
    return [w for w in list_walls(machine) if w.usual is not None and w.stress > w.usual[0]]


def list_walls(machine: Machine) -> Iterator[Wall]:
    """Yield drive cylinder, barrels, tubes and shells with the highest pressure they can see."""
    ambient = machine.ambient.pressure
    supply = machine.supply.pressure - ambient
    drive = machine.drive
    yield Wall(name="drive cylinder", key="drive.wall_thickness", bore=drive.bore,
               thickness=drive.wall_thickness, pressure=supply, solid=drive.material)  # fmt: skip
    for stage in machine.stages:
        pressure = delivery_pressure(machine, stage) - ambient
        yield Wall(name=f'barrel of stage "{stage.name}"',
                   key=f"stage.{stage.name}.wall_thickness", bore=stage.bore,
                   thickness=stage.wall_thickness, pressure=pressure,
                   solid=stage.material)  # fmt: skip
    yield from _exhaust_walls(machine, supply)


def _exhaust_walls(machine: Machine, supply: float) -> Iterator[Wall]:
    """Yield tubes and shells: the exhaust starts at supply pressure at most."""
    for port, exhaust in enumerate((machine.exhaust_1, machine.exhaust_2), start=1):
        if exhaust.tube is not None:
            yield Wall(name=f"exhaust tube of port {port}", key=f"exhaust.port_{port}.tube.wall",
                       bore=exhaust.tube.bore, thickness=exhaust.tube.wall, pressure=supply,
                       solid=exhaust.tube.material)  # fmt: skip
    for stage in machine.stages:
        if stage.jacket is not None:
            jacket = stage.jacket
            yield Wall(name=f'jacket shell of stage "{stage.name}"',
                       key=f"stage.{stage.name}.jacket.shell_thickness",
                       bore=shell_bore(stage, jacket), thickness=jacket.shell_thickness,
                       pressure=supply, solid=jacket.shell)  # fmt: skip


def delivery_pressure(machine: Machine, stage: Stage) -> float:
    """Return the pressure that a stage delivers at [Pa].

    Between stages it follows from equal mass and equal filling of both: pressure rises as
    swept volumes fall. That is an estimate; nothing is solved here.
    """
    after = next((s for s in machine.stages if s.draws_from == stage.name), None)
    if after is None:
        return machine.receiver_pressure + stage.delivery.cracking_pressure
    before = next((s for s in machine.stages if s.name == stage.draws_from), None)
    source = machine.supply.pressure if before is None else delivery_pressure(machine, before)
    return min(source * (stage.bore / after.bore) ** 2, machine.receiver_pressure)
