"""What a machine is: frozen records in SI, the contract between case file and physics.

Numbers are SI, pressures absolute, temperatures in kelvin. A record is changed with
`dataclasses.replace`. Every float field states its unit in brackets.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from jacketcalc.readings import Reading

Stroke = Literal[1, 2]
"""Stroke 1: drive chamber 1 is fed and chamber 2 exhausts. Stroke 2: the other way."""

FEEDS = ("supply", "source")
"""What a stage can draw from that is no other stage."""
Currency = Literal["delivery", "specific air consumption", "discharge temperature"]
Closure = Literal["low", "nominal", "high", "mori-nakayama", "schmidt", "xin-ebadian"]
RibJoint = Literal["barrel", "shell", "loose"]
Reference = Literal["exhaust direct", "exhaust through tube"]
CylinderModel = Literal["gas spring", "adair", "annand"]
WhenShort = Literal["rests", "sags"]
Cooling = Literal["air", "water bath"]
GasName = Literal["air", "nitrogen", "argon", "helium", "carbon dioxide", "methane"]


@dataclass(frozen=True, kw_only=True)
class FlowElement:
    """A flow element after ISO 6358-1."""

    sonic: float
    """Sonic conductance C [m3/(s Pa)], at the reference 293.15 K and 1.185 kg/m3."""
    critical_back_pressure_ratio: float
    """Critical back-pressure ratio b [-]."""


@dataclass(frozen=True, kw_only=True)
class Solid:
    """A wall material."""

    name: str
    """Name as given in the case."""
    conductivity: float
    """Thermal conductivity [W/(m K)]."""
    emissivity: float
    """Total hemispherical emissivity of its outside [-]."""
    lowest: float
    """Lowest service temperature [K]."""
    highest: float
    """Highest service temperature [K]."""
    density: float = 7850.0
    """Density, by default that of steel [kg/m3]."""
    specific_heat: float = 480.0
    """Specific heat, by default that of steel [J/(kg K)]."""


@dataclass(frozen=True, kw_only=True)
class Ambient:
    """The surroundings."""

    temperature: float
    """Air and radiation temperature of the surroundings [K]."""
    pressure: float
    """Atmospheric pressure [Pa]."""
    film_factor: float = 1.0
    """Factor on natural convection at every outside surface, as draughts and neighbours make it;
    radiation and an interstage line's stated conductance keep theirs [-]."""
    film_factor_low: float = 0.7
    """Lowest factor that the model range takes [-]."""
    film_factor_high: float = 2.5
    """Highest factor that the model range takes [-]."""


@dataclass(frozen=True, kw_only=True)
class Intake:
    """What the compressor of the supply takes in, and how far it cools what it gives."""

    relative_humidity: float
    """Over water, at its intake [-]."""
    temperature: float
    """Of the air it takes in [K]."""
    pressure: float
    """Of the air it takes in [Pa]."""
    aftercooler_temperature: float
    """Of the air behind its aftercooler, where water is drained at supply pressure [K]."""


@dataclass(frozen=True, kw_only=True)
class Supply:
    """The workshop air that feeds drive and first stage."""

    pressure: float
    """Supply pressure, stagnation [Pa]."""
    temperature: float
    """Supply temperature, stagnation [K]."""
    pressure_dew_point: float | None = None
    """Dew point of the supply air at supply pressure; None where `intake` tells it [K]."""
    line: FlowElement | None = None
    """Supply line in series with the control valve; None when included in the valve."""
    capacity: float | None = None
    """Air that its compressor delivers [kg/s]; None where none is stated."""
    intake: Intake | None = None
    """What its compressor takes in; None where a dew point tells the humidity."""
    when_short: WhenShort = "rests"
    """What happens where that is too little: the machine rests, or the supply pressure sags."""


@dataclass(frozen=True, kw_only=True)
class Gas:
    """The gas that the stages compress; the drive always runs on air."""

    name: GasName = "air"


@dataclass(frozen=True, kw_only=True)
class Source:
    """A bottle or line that stages draw from, in place of the supply."""

    pressure: float
    """Its pressure, stagnation, held constant [Pa]."""
    temperature: float
    """Its temperature, stagnation [K]."""


@dataclass(frozen=True, kw_only=True)
class Valve:
    """The control valve that limit switches reverse."""

    supply_path: FlowElement
    """Flow path from supply to a drive port."""
    exhaust_path: FlowElement
    """Flow path from a drive port to the valve's exhaust port."""
    switching_time: float
    """Time from a switch being reached to the valve having reversed [s]."""
    pause: float = 0.0
    """Extra rest at each stroke end [s]."""
    cycle_rate: float | None = None
    """Imposed cycle rate [1/s]; None when the machine sets its own."""


@dataclass(frozen=True, kw_only=True)
class Drive:
    """The double-acting drive cylinder."""

    bore: float
    """Bore [m]."""
    stroke: float
    """Stroke, shared by the stages on the rod [m]."""
    rod_1: float
    """Rod diameter through chamber 1 [m]; 0 where no rod passes."""
    rod_2: float
    """Rod diameter through chamber 2 [m]; 0 where no rod passes."""
    dead_volume_1: float
    """Volume of chamber 1 and its port at its smallest [m3]."""
    dead_volume_2: float
    """Volume of chamber 2 and its port at its smallest [m3]."""
    moving_mass: float
    """Pistons and rod [kg]."""
    friction: float
    """Constant friction force of a cylinder's seals [N]."""
    friction_share: float
    """Friction force as a share of the drive's gas force, added to the constant part [-]."""
    wall_thickness: float
    """Cylinder wall [m]."""
    material: Solid
    """Cylinder wall material."""
    cylinders: int = 1
    """Like cylinders that push one rod or crosshead and are fed and emptied together; bore, rods,
    dead volumes, friction and wall are those of each [-]."""


@dataclass(frozen=True, kw_only=True)
class CheckValve:
    """A check valve."""

    conductance: FlowElement
    """Flow path when open."""
    cracking_pressure: float
    """Pressure difference at which flow begins [Pa]."""
    port_bore: float = 0.0
    """Bore of its port in the head [m]."""
    port_length: float = 0.0
    """Length of that port [m]; 0 where its air exchanges no heat with the head."""


@dataclass(frozen=True, kw_only=True)
class Tube:
    """A round tube between a drive port and what follows."""

    bore: float
    """Inner diameter [m]."""
    wall: float
    """Wall thickness [m]."""
    length: float
    """Length [m]."""
    material: Solid
    """Tube material."""
    roughness: float
    """Sand-grain roughness inside [m]."""
    fitting_loss: float
    """Sum of loss coefficients of its fittings, on the tube's dynamic pressure [-]."""


@dataclass(frozen=True, kw_only=True)
class Jacket:
    """A helical passage between a stage's cylinder and a shell."""

    gap: float
    """Radial height of the channel [m]."""
    pitch: float
    """Axial distance between neighbouring ribs [m] (lead divided by starts)."""
    starts: int
    """Number of parallel helices [-]."""
    rib: float
    """Axial thickness of a rib [m]."""
    length: float
    """Axial length over which the channel winds [m]: from inlet centre to outlet centre, or
    between the galleries where there are some."""
    offset: float
    """Distance from the head end of the barrel to the start of the winding [m]."""
    inlet_at: Literal["head", "flange"]
    """End of the winding where the exhaust enters."""
    rib_joint: RibJoint
    """What the rib is one piece with."""
    tip_clearance: float
    """Radial clearance at the rib's free edge [m]."""
    roughness: float
    """Sand-grain roughness [m]."""
    inlet_loss: float
    """Loss coefficient at entry, on the channel's dynamic pressure [-]."""
    outlet_loss: float
    """Loss coefficient at the outlet, on the outlet's dynamic pressure [-]."""
    outlet_bore: float
    """Diameter of each outlet hole [m]."""
    inlet_bore: float
    """Diameter of each hole through the shell that the tube feeds [m]."""
    gallery_width: float
    """Axial width of the ring groove at either end [m]; 0 where the starts share none."""
    shell_thickness: float
    """Shell wall [m]."""
    shell: Solid
    """Shell material."""

    @property
    def holes(self) -> int:
        """Holes at each end [-]."""
        return 1 if self.gallery_width > 0.0 else self.starts


@dataclass(frozen=True, kw_only=True)
class Coolant:
    """What cools a line beside the surroundings; no case states it."""

    conductance: float
    """Conductance from the line's wall to it [W/K]."""
    temperature: float
    """Temperature that this conductance counts from [K]."""


@dataclass(frozen=True, kw_only=True)
class Outside:
    """What flows over a stage's outside in place of still air; no case states it."""

    blown: float = 0.0
    """Coefficient of a stream of ambient air over barrel and head; 0 for still air [W/(m2 K)]."""
    bathed: float = 0.0
    """Coefficient of a liquid that flows over the barrel; 0 where none does [W/(m2 K)]."""
    bath_temperature: float = 0.0
    """Temperature of that liquid [K]."""


@dataclass(frozen=True, kw_only=True)
class Line:
    """The line between two stages."""

    volume: float
    """Enclosed volume from the delivery valve of one stage to the inlet valve of the next [m3]."""
    heat_loss: float
    """Conductance from its wall to the surroundings [W/K]; where its tube is 0, from its air."""
    bore: float = 0.0
    """Bore of its tube [m]."""
    length: float = 0.0
    """Length of its tube [m]; 0 where its wall is not followed."""
    coolant: Coolant | None = None
    """What cools it beside the surroundings; None for nothing."""


@dataclass(frozen=True, kw_only=True)
class Stage:
    """A single-acting compression stage on the drive's rod."""

    name: str
    """Name used in every table."""
    draws_from: str
    """`supply`, `source`, or the name of the stage before."""
    compresses_on: Stroke
    """The stroke on which it compresses."""
    bore: float
    """Bore [m]."""
    clearance: float
    """Clearance volume as a share of swept volume [-]."""
    barrel_length: float
    """Length of the barrel from its head end [m]."""
    wall_thickness: float
    """Barrel wall [m]."""
    material: Solid
    """Barrel material."""
    head_thickness: float
    """Head plate [m]."""
    piston_length: float
    """Length of the piston [m]."""
    inlet: CheckValve
    """Suction valve."""
    delivery: CheckValve
    """Delivery valve."""
    seal_friction: float
    """Seal friction force as a share of the stage's gas force [-]."""
    seal: Solid
    """Seal material."""
    flange_conductance: float
    """Conductance from the barrel's open end to the drive body [W/K]."""
    line: Line | None = None
    """Line from the stage before; None when it draws from the supply or the source."""
    jacket: Jacket | None = None
    """Its jacket, or None."""
    outside: Outside | None = None
    """What flows over its outside; None for still air."""


@dataclass(frozen=True, kw_only=True)
class Exhaust:
    """Where one drive port's exhaust goes."""

    to: str
    """Name of the stage whose jacket it feeds, or `atmosphere`."""
    tube: Tube | None = None
    """Tube from the valve; None when nothing lies between."""
    silencer: FlowElement | None = None
    """Silencer at the outlet; None when open."""


@dataclass(frozen=True, kw_only=True)
class Receiver:
    """A receiver that is filled: what it holds, and what takes up its heat."""

    volume: float
    """Volume of the air in it [m3]."""
    start_pressure: float
    """Pressure at the start of a fill [Pa]."""
    wall_mass: float
    """Mass of its wall [kg]."""
    material: Solid
    """Material of its wall."""
    diameter: float
    """Inner diameter, the size that free convection takes [m]."""
    surface: float
    """Surface of its wall, the same inside and outside [m2]."""
    cooled_by: Cooling = "air"
    """What surrounds it."""
    bath_temperature: float = 293.15
    """Temperature of a water bath [K]."""


@dataclass(frozen=True, kw_only=True)
class Judgement:
    """What the case asks."""

    by: Currency = "delivery"
    """The currency the verdict judges."""
    no_jackets: Reference = "exhaust direct"
    """Where exhaust goes without jackets: out at the valve, or through the tube."""
    discharge_limit: float = 423.15
    """Highest mean discharge temperature asked for [K] (by default that of source `api-618`)."""


@dataclass(frozen=True, kw_only=True)
class Make:
    """What the shop can make, and has."""

    step: float = 0.0
    """Step in which pitch, gap, rib, length and holes can be made; 0 where none is stated [m]."""
    smallest_rib: float = 0.0
    """Smallest rib thickness that can be made [m]."""
    least_turns: float = 0.0
    """Fewest turns of each start round its barrel; 0 where none are stated [-]."""
    cutter_widths: tuple[float, ...] = ()
    """Widths along the axis in which a channel can be cut; empty where any can [m]."""
    tube_bores: tuple[float, ...] = ()
    """Bores of the tubes on the shelf; empty where any can be had [m]."""


@dataclass(frozen=True, kw_only=True)
class Models:
    """Which closures are used."""

    jacket: Closure = "nominal"
    """Convective coefficient in the passage."""
    cylinder: CylinderModel = "gas spring"
    """In-cylinder heat transfer."""
    mixing: float = 0.25
    """In-cylinder mixing factor, 0 none to 1 full [-]."""
    in_cylinder_factor: float = 1.0
    """Factor on the in-cylinder heat of every stage, phase lead included; drive chambers keep
    theirs [-]."""
    jacket_factor: float = 1.0
    """Factor on the convective coefficient in the jackets while air flows [-]."""


@dataclass(frozen=True, kw_only=True)
class Given:
    """How one number of the case came in, for lists and reports."""

    path: str
    """Dotted key path."""
    text: str
    """As typed, or as filled in."""
    value: float | str
    """Value in SI, or the word given."""
    unit: str
    """SI unit, empty for words and pure numbers."""
    source: str
    """measured, drawing, catalogue, standard, assumed or invented."""
    tolerance: float = 0.0
    """Half-width of the stated tolerance, in SI; 0 when none."""
    standard_uncertainty: float = 0.0
    """Stated standard uncertainty u, in SI; 0 when none."""
    assumed: bool = False
    """Filled in by the program."""
    derived: bool = False
    """Made by the program from another entry, which `text` names."""
    reference: str = ""
    """Drawing, catalogue page or record it comes from, where the case names one."""


@dataclass(frozen=True, kw_only=True)
class Document:
    """Title-block fields of the report; empty when not stated."""

    owner: str = ""
    number: str = ""
    revision: str = ""
    date: str = ""
    author: str = ""
    checker: str = ""
    approver: str = ""
    units: Literal["SI", "inch-pound"] = "SI"


@dataclass(frozen=True, kw_only=True)
class Machine:
    """A whole booster: everything the physics needs."""

    ambient: Ambient
    supply: Supply
    valve: Valve
    drive: Drive
    stages: tuple[Stage, ...]
    receiver_pressure: float
    """Receiver pressure, held constant; where a fill is asked for, its end [Pa]."""
    exhaust_1: Exhaust
    """Exhaust of drive chamber 1 (flows on stroke 2)."""
    exhaust_2: Exhaust
    """Exhaust of drive chamber 2 (flows on stroke 1)."""
    models: Models = Models()
    receiver: Receiver | None = None
    """The receiver that a fill fills; None where its volume is not stated."""
    gas: Gas = Gas()
    source: Source | None = None
    """What a stage draws from that draws from `source`; None where none does."""

    def feed(self, stage: Stage) -> Supply | Source:
        """Return what a stage's gas comes from, through the stages before it."""
        named = {one.name: one for one in self.stages}
        while stage.draws_from in named:
            stage = named[stage.draws_from]
        if stage.draws_from == "source" and self.source is not None:
            return self.source
        return self.supply


@dataclass(frozen=True, kw_only=True)
class Case:
    """A machine, the question asked of it, and where every number came from."""

    title: str
    machine: Machine
    judgement: Judgement = Judgement()
    make: Make = Make()
    document: Document = Document()
    given: tuple[Given, ...] = ()
    readings: tuple[Reading, ...] = ()
    """What was read at a bench."""
    sha256: str = ""
    """SHA-256 of the case file's bytes, hexadecimal."""
    text: str = field(default="", repr=False)
    """The case file as read."""
    file: str = ""
    """File name as given; `-` for standard input."""
