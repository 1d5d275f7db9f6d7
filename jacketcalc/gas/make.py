"""Makes the files of samples behind the tables of gases, from CoolProp.

    python -m jacketcalc.gas.make [GAS ...]

writes `air.samples`, `nitrogen.samples` and so on beside this module, or those of the gases named.
The same CoolProp on the same platform gives the same bytes. Remake a file after a change of its
grid (`gas/cells.py`, or the gas's span in `gases.py`); `tests/air/test_air_samples.py` and
`tests/gases` then hold it to CoolProp.
"""

from __future__ import annotations

import sys
from dataclasses import replace

from jacketcalc.gas import coolprop
from jacketcalc.gas.cells import Grid
from jacketcalc.gas.samples import packed_samples, samples_file
from jacketcalc.gas.table import GasTable
from jacketcalc.gases import AIR, FLUIDS, Fluid


def made(fluid: Fluid = AIR) -> bytes:
    """Return the content of a gas's file, from CoolProp as it is installed."""
    grid = Grid.spanning(fluid.span)
    samples = coolprop.sample(fluid, grid.temperatures, grid.pressures)
    return packed_samples(fluid, grid, samples, str(coolprop.load().__version__))


def sampled_table(hot_cells: int, pressure_cells: int, fluid: Fluid = AIR) -> GasTable:
    """Lay cells through samples taken from CoolProp now.

    Parameters
    ----------
    hot_cells
        Cells in temperature above the break of conductivity [-].
    pressure_cells
        Cells in pressure [-].
    fluid
        The gas.
    """
    grid = Grid.spanning(replace(fluid.span, hot_cells=hot_cells, pressure_cells=pressure_cells))
    return GasTable.laid(fluid, grid, coolprop.sample(fluid, grid.temperatures, grid.pressures))


def main() -> None:
    """Write the files and say so."""
    for name in sys.argv[1:] or FLUIDS:
        fluid = next(one for one in FLUIDS.values() if one.name == name)
        file, content = samples_file(fluid), made(fluid)
        file.write_bytes(content)
        print(f"{file}: {len(content)} bytes, CoolProp {coolprop.load().__version__}")


if __name__ == "__main__":
    main()
