"""What it takes to repeat the result: versions, grid, the grid check and the case itself."""

from __future__ import annotations

import hashlib
import platform
import re
from collections.abc import Iterator
from dataclasses import fields
from importlib.metadata import PackageNotFoundError, version

from jacketcalc import __version__
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import DIFFERENCES, Place
from jacketcalc.core.resolution import Resolution
from jacketcalc.gas.samples import coolprop_version
from jacketcalc.gases import FLUIDS
from jacketcalc.number_text import fixed
from jacketcalc.report.model import (
    Attachment,
    Block,
    Cell,
    Heading,
    Paragraph,
    Row,
    Verbatim,
    plain,
)
from jacketcalc.report.traced import Pen, left, minus, right, row
from jacketcalc.show.rows import ResultRow
from jacketcalc.show.to_json import FORMAT
from jacketcalc.studies.dossier import GridCheck

_PACKAGES = ("numpy", "scipy", "ht", "fluids")
_PAGES = ("matplotlib", "Jinja2", "typst", "XlsxWriter")
"""Libraries that set figures and pages: same numbers, other bytes, when they change."""
_REPEATED = ("delivered_mass_flow", "cycle_rate", "hottest_discharge")
"""Results that the grid check compares."""
_DECIMALS = re.compile(r"\.(\d+)")
CASE_NAME = "case.toml"
"""Name of the case file attached to the PDF."""


def reproducibility_section(
    pen: Pen, grid: GridCheck | None, seed: int | None = None
) -> Iterator[Block]:
    """Yield versions, grid, grid check and how to repeat the run; the seed of samples if any."""
    drawn = "none: nothing is drawn at random" if seed is None else f"{seed}, of section 11"
    rows = [
        row("jacketcalc", __version__),
        row("Python", platform.python_version()),
        row("system", f"{platform.system()}, {platform.machine()}"),
        *(row(name, _version(name)) for name in _PACKAGES),
        row("CoolProp (made the table of air)", coolprop_version()),
        *_stage_gas(pen),
        *(row(f"{name} (pages and figures)", _version(name)) for name in _PAGES),
        row("seed", drawn),
        row("case file, SHA-256", pen.case.sha256),
        row("result, format", FORMAT),
    ]
    yield pen.table("versions", "Program, libraries and case", (left("Item", 1), left("Value", 3)),
                    rows)  # fmt: skip
    steps = [
        row(name, Cell(text=f"{count}", number=float(count)))
        for name, count in _grid(Resolution())
    ]  # fmt: skip
    yield pen.table("grid", "Grid", (left("Part", 3), right("Number")), steps)
    yield from _grid_check(pen, grid)
    yield Heading("To repeat it")
    yield Paragraph(
        "Save appendix A as a file (the PDF also carries it as an attachment, "
        f"{CASE_NAME}), check its SHA-256, and run jacketcalc assess on it. The same version on "
        "the same platform gives the same bytes; another platform can differ in the last digits."
    )


def _grid(resolution: Resolution) -> list[tuple[str, int]]:
    sizes = [
        ("rings of a barrel", resolution.rings),
        ("cells of a tube", resolution.tube_cells),
        ("cells of a helical channel", resolution.channel_cells),
        ("flow levels of a passage's curve", resolution.levels),
    ]
    named = ((f.name.replace("_", " "), getattr(resolution, f.name)) for f in fields(resolution))
    return sizes + [(f"steps of a stroke: {n}", v) for n, v in named if isinstance(v, int)]


def _stage_gas(pen: Pen) -> list[Row]:
    """Return the version behind the stages' gas, where that is not air."""
    name = pen.case.machine.gas.name
    if name == "air":
        return []
    return [row(f"CoolProp (made the table of {name})", coolprop_version(FLUIDS[name]))]


def _grid_check(pen: Pen, grid: GridCheck | None) -> Iterator[Block]:
    """Yield what half the steps would have given, apart from the model range."""
    yield Heading("Grid check")
    apart = (
        "Numerical error is stated apart from the model range. How energy and mass close is in "
        "section 7; a run whose balance does not settle is refused."
    )
    whole = grid is not None and not grid.failure and grid.bare.delivers and grid.jacketed.delivers
    if grid is None or not pen.delivers or not whole:
        yield Paragraph(f"{apart} Half the steps: {_no_check(pen, grid)}.")
        return
    yield Paragraph(
        f"{apart} Both machines were solved again with half the steps of a stroke. The method is "
        "of second order: where that order holds, the standard steps are wrong by about a third "
        "of the difference. The order was not observed on three grids for this case: python -m "
        "jacketcalc.verification.convergence does that, with a convergence index, for a case file."
    )
    columns = (left("Quantity", 2), left("Unit", 0), right("Standard"), right("Half the steps"),
               right("Difference"))  # fmt: skip
    yield pen.table("grid check", "The same machines with half the steps", columns,
                    list(_compared(pen, grid)))  # fmt: skip


def _no_check(pen: Pen, grid: GridCheck | None) -> str:
    if not pen.delivers:
        return "not run, since a machine delivers nothing"
    if grid is None:
        return "not run for this report"
    return f"no result ({grid.failure or 'a machine delivers nothing'})"


def _compared(pen: Pen, grid: GridCheck) -> Iterator[Row]:
    for machine, name, standard, half in (
        ("bare", "no jackets", pen.found.bare, grid.bare),
        ("jacketed", "with jackets", pen.found.jacketed, grid.jacketed),
    ):
        for output in (o for o in OUTPUTS if o.key in _REPEATED):
            result = ResultRow(output, Place())
            values = [result.read(outcome) for outcome in (standard, half)]
            paths = (result.path(f"detail.{machine}"), "")
            cells = pen.cells(values, output.dimension, output.digits, paths)
            apart = DIFFERENCES.get(output.dimension, output.dimension)
            yield _row(f"{name}: {output.label}", pen.unit(output.dimension), cells,
                       pen.unit(apart))  # fmt: skip
    name = "delivered_mass_flow"
    changes = [getattr(c, name) for c in (pen.found.change, grid.change)]
    cells = [pen.percent(v, p, 2) for v, p in zip(changes, (f"change.{name}", ""), strict=True)]
    yield _row("delivery, change", "", cells, "points")


def _row(label: str, unit: str, cells: list[Cell], difference: str = "") -> Row:
    """Return a row whose difference is that of its printed numbers."""
    one, two = (c.number or 0.0 for c in cells)
    found = _DECIMALS.search(plain(cells[0].text))
    decimals = len(found[1]) if found else 0
    text = minus(fixed(two - one, decimals, sign=True))
    first, second = (c.full or 0.0 for c in cells)
    gap = Cell(text=f"{text}\u00a0{difference or unit}", number=round(two - one, decimals),
               full=second - first)  # fmt: skip
    return row(label, unit, *cells, gap)


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "not installed"


def case_section(pen: Pen) -> Iterator[Block]:
    """Yield the case file, letter by letter."""
    case = pen.case
    data = case.text.encode("utf-8")
    yield Paragraph(f"SHA-256 {case.sha256}")
    own = hashlib.sha256(data).hexdigest()
    if own != case.sha256:
        yield Paragraph(
            "That is the file's as it was read, with a byte order mark or line ends of two "
            f"characters. The text below, whose lines end in a line feed, has SHA-256 {own}."
        )
    yield Verbatim(case.text)
    yield Attachment(name=CASE_NAME, data=case.text, about="The case file of this report")
