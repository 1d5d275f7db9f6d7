"""Makes the picture in the README: the shipped machine as it runs.

python tests/readme_picture.py
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent
sys.path[:0] = [str(ROOT)]

from jacketcalc.assessment.assess import assess  # noqa: E402
from jacketcalc.casefile.reading import read_case  # noqa: E402
from jacketcalc.report.figures.schematic import describe_schematic, draw_schematic  # noqa: E402
from jacketcalc.report.figures.standalone import label_of, standalone_png  # noqa: E402

if __name__ == "__main__":
    found = assess(read_case(str(ROOT / "cases" / "impact_laboratory.toml")))
    label = label_of(found.case, "nominal model", describe_schematic(found))
    picture = standalone_png(draw_schematic(found), label)
    (ROOT / "reports" / "impact_laboratory.png").write_bytes(picture)
