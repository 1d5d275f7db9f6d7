"""A shipped case with more stages in series than two; what is added is invented."""

from __future__ import annotations

from command_line import CASE

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.inputs import Case

ADDED = """[[stage]]
name = "{name}"
draws_from = "{before}"
compresses_on_stroke = {stroke}
bore = "{bore} mm"
clearance = "6 %"
wall_thickness = "8 mm"
material = "carbon steel"
seal_material = "PTFE"
inlet = {{ C = "0.1 dm3/(s bar)", b = 0.3, cracking_pressure = "0.3 bar" }}
delivery = {{ C = "0.08 dm3/(s bar)", b = 0.3, cracking_pressure = "0.6 bar" }}
source = "invented"

[stage.line]
volume = "100 cm3"
heat_loss = "8 W/K"
source = "invented"

"""
MORE = (
    {"name": "third", "before": "second", "stroke": 2, "bore": 7},
    {"name": "fourth", "before": "third", "stroke": 1, "bore": 5},
)
PRESSURES = {2: "190 bar(g)", 3: "300 bar(g)", 4: "350 bar(g)"}


def series_text(count: int) -> str:
    """Return the text of a case with two to four stages in series."""
    text = CASE.read_text("utf-8").replace("190 bar(g)", PRESSURES[count])
    added = "".join(ADDED.format(**stage) for stage in MORE[: count - 2])
    return text.replace("[receiver]", f"{added}[receiver]")


def series_case(count: int) -> Case:
    """Return a case with two to four stages in series."""
    return read_case_text(series_text(count))
