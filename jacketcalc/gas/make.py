"""Makes the file of samples behind the table of air, from CoolProp.

    python -m jacketcalc.gas.make [FILE]

writes `air.samples` beside this module, or FILE. The same CoolProp on the same platform gives the
same bytes. Remake it after a change of the grid (`gas/cells.py`, or the numbers of cells in
`gas/samples.py`); `tests/air/test_air_samples.py` then holds it to CoolProp.
"""

from __future__ import annotations

import sys
from pathlib import Path

from jacketcalc.gas import coolprop
from jacketcalc.gas.air_table import AirTable
from jacketcalc.gas.cells import Grid
from jacketcalc.gas.samples import FILE, HOT_CELLS, PRESSURE_CELLS, packed_samples


def made() -> bytes:
    """Return the content of the file, from CoolProp as it is installed."""
    grid = Grid.spanning(HOT_CELLS, PRESSURE_CELLS)
    samples = coolprop.sample(grid.temperatures, grid.pressures)
    return packed_samples(grid, samples, str(coolprop.load().__version__))


def sampled_table(hot_cells: int, pressure_cells: int) -> AirTable:
    """Lay cells through samples taken from CoolProp now.

    Parameters
    ----------
    hot_cells
        Cells in temperature above the break of conductivity [-].
    pressure_cells
        Cells in pressure [-].
    """
    grid = Grid.spanning(hot_cells, pressure_cells)
    return AirTable.laid(grid, coolprop.sample(grid.temperatures, grid.pressures))


def main() -> None:
    """Write the file and say so."""
    file = Path(sys.argv[1]) if len(sys.argv) > 1 else FILE
    content = made()
    file.write_bytes(content)
    print(f"{file}: {len(content)} bytes, CoolProp {coolprop.load().__version__}")


if __name__ == "__main__":
    main()
