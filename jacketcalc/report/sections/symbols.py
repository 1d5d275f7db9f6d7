"""The symbols of the report's equations."""

from __future__ import annotations

from jacketcalc.report.model import Symbol

SYMBOLS: tuple[tuple[Symbol, str, str], ...] = (
    (Symbol("A"), "area of a surface, or of a piston", "m²"),
    (Symbol("a"), "cylinder outside over shell inside diameter; in Pe, thermal diffusivity",
     "–; m²/s"),
    (Symbol("b"), "critical back-pressure ratio of a valve or line", "–"),
    (Symbol("C"), "sonic conductance of a valve or line", "m³/(s Pa)"),
    (Symbol("D", "c"), "diameter of curvature of the helix; of a chamber, 4 V / area", "m"),
    (Symbol("D", "h"), "hydraulic diameter of a channel", "m"),
    (Symbol("De"), "Dean number", "–"),
    (Symbol("F", "e"), "factor of a passage's entrance on turbulent heat transfer", "–"),
    (Symbol("F", "f"), "friction of all seals", "N"),
    (Symbol("F", "i"), "factor of an annulus heated on its inner wall alone", "–"),
    (Symbol("f"), "Darcy friction factor", "–"),
    (Symbol("G"), "mass flow over flow area", "kg/(m² s)"),
    (Symbol("h"), "specific enthalpy; index 0: stagnation", "J/kg"),
    (Symbol("K", "ij"), "conductance between neighbouring parts of a wall", "W/K"),
    (Symbol("k"), "thermal conductivity of air", "W/(m K)"),
    (Symbol("k", "1"), "1.07 + 900/Re − 0.63/(1 + 10 Pr)", "–"),
    (Symbol("L"), "developed length of a passage", "m"),
    (Symbol("m"), "mass; index p: pistons and rod", "kg"),
    (Symbol("Nu"), "Nusselt number; index i: its part in phase with compression", "–"),
    (Symbol("P"), "heated perimeter; index b: barrel and its ribs, s: shell", "m"),
    (Symbol("p"), "absolute pressure; index 1: upstream, 2: downstream", "Pa"),
    (Symbol("Pe"), "Peclet number of a chamber", "–"),
    (Symbol("Pr"), "Prandtl number", "–"),
    (Symbol("Q̇"), "heat flow; index g: from gas to walls, f: seal friction", "W"),
    (Symbol("q", "m"), "mass flow; index d: of the drive", "kg/s"),
    (Symbol("Re"), "Reynolds number on the hydraulic diameter", "–"),
    (Symbol("s"), "in-cylinder mixing while a stage draws, 0 none to 1 full", "–"),
    (Symbol("T"), "temperature; index a: air, b: barrel, s: shell, w: wall, ad: what an unheated "
     "wall would take on", "K"),
    (Symbol("t"), "time", "s"),
    (Symbol("U"), "internal energy of a chamber", "J"),
    (Symbol("u"), "piston speed", "m/s"),
    (Symbol("V"), "volume of a chamber", "m³"),
    (Symbol("v"), "specific volume", "m³/kg"),
    (Symbol("x"), "length along the passage", "m"),
    (Symbol("α"), "heat transfer coefficient; index g: gas side, a: outside", "W/(m² K)"),
    (Symbol("δ", "q"), "relative change of delivery", "–"),
    (Symbol("ρ"), "density; index 0: at 293.15 K and 100 kPa", "kg/m³"),
    (Symbol("ω"), "angular frequency, 2 π times the cycle rate", "1/s"),
)  # fmt: skip
"""Symbol, meaning and SI unit."""
