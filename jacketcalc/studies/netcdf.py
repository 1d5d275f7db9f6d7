"""A study as NetCDF-3 that follows the CF conventions where these apply.

CF: https://cfconventions.org, version 1.11. There is no standard name for what a booster does, so
that every variable has its `long_name`; there is no time and no place.
"""

from __future__ import annotations

import io
import re
import unicodedata
from collections.abc import Sequence

import numpy as np
from scipy.io import netcdf_file

from jacketcalc import __version__
from jacketcalc.cautions import CAUTION
from jacketcalc.core.output_record import UNITS
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.columns import ABOUT_COLUMNS, StudyColumn
from jacketcalc.studies.drawn import drawn_entries, say_drawn
from jacketcalc.studies.study_table import StudyTable

CONVENTIONS = "CF-1.11"
"""Name of the conventions, as their attribute has it."""
FILL = 9.969209968386869e36
"""Standard fill value of the form, where there is no number [-]."""
STATES = ("solved", "stalled", "failed", "impossible", "idle")
"""States by their number in the file."""
MEMBER = "member"
"""Dimension of the members of the model range."""
_RANGE = ("range_low", "range_high")
"""Endings of the variables that hold the ends of a range."""
_NAMES = (
    "Here points in names are _, and @low and @high are _range_low and _range_high; the attribute "
    "column of a variable is its name in the other files."
)
_UNIT = re.compile(r"([A-Za-z]+)(\d*)")


def make_netcdf(table: StudyTable) -> bytes:
    """Return a study as a file whose variables have the shape (member, axis, axis, ...).

    The ends of a range have no member: their shape is (axis, axis, ...), and the variable whose
    range it is names them in `ancillary_variables`. What the drawn design has stands in the
    attribute `as_drawn` of each variable, one number for each member.
    """
    stream = io.BytesIO()
    file = netcdf_file(stream, "w", version=2)
    _note(file, **_about(table))
    places = tuple(_place(axis) for axis in table.axes)
    labels = [_axis(file, table, axis, name) for axis, name in zip(table.axes, places, strict=True)]
    beside = " ".join(filter(None, labels))
    _labels(file, f"{MEMBER}_name", MEMBER, table.members, "member of the model range")
    _state(file, table, places, beside)
    bands = [row.band(table.columns) for row in table.rows]
    for column, name in zip(table.columns, _unique(table.columns), strict=True):
        values = [table.series(column.name, member) for member in range(len(table.members))]
        every = [v for own in values for v in own]
        variable = _put(file, column, name, (MEMBER, *places), every)
        _note(variable, coordinates=" ".join(filter(None, (f"{MEMBER}_name", beside))))
        _as_drawn(variable, table, column.name)
        ends = [f"{name}_{end}" for end in _RANGE] if column.band else []
        if ends:
            _note(variable, ancillary_variables=" ".join(ends))
        for end, own in zip(column.band, ends, strict=True):
            found = [band.get(end.name) for band in bands]
            _note(_put(file, end, own, places, found), **_beside(beside))
    file.flush()
    data = stream.getvalue()
    file.close()
    return data


def _about(table: StudyTable) -> dict[str, str]:
    """Return the global attributes, none of which holds a date."""
    case = table.case
    varied = "; ".join(f"{axis.path}: {', '.join(axis.texts)}" for axis in table.axes)
    held = "; ".join(f"{path} {text}" for path, text in table.held)
    within = f"; with {held}" if held else ""
    return {
        "Conventions": CONVENTIONS,
        "title": case.title,
        "institution": case.document.owner or "not stated in the case",
        "source": f"jacketcalc {__version__}, computed, not measured",
        "history": f"jacketcalc {__version__}: solved for {varied}{within}",
        "comment": f"{ABOUT_COLUMNS} {_NAMES}",
        "caution": CAUTION,
        "case_sha256": case.sha256,
        **({"held": held} if held else {}),
    }  # fmt: skip


def spell(name: str) -> str:
    """Return the name of a variable: letters, digits and _, as CF recommends."""
    plain = re.sub(r"\W", "_", unicodedata.normalize("NFC", name))
    return plain if plain[:1].isalpha() else f"n_{plain}"


def _unique(columns: Sequence[StudyColumn]) -> list[str]:
    """Return the names of variables; one that is taken gets a number."""
    found: list[str] = []
    for column in columns:
        name = own = spell(column.name)
        count = 1
        while own in found:
            count += 1
            own = f"{name}_{count}"
        found.append(own)
    return found


def udunits(unit: str) -> str:
    """Return a unit as UDUNITS reads it, such as `W m-2 K-1` for `W/(m2 K)`; 1 for none."""
    above, _, below = unit.partition("/")
    parts = [] if above.strip() in ("", "1") else above.split()
    for name, power in _UNIT.findall(below):
        parts.append(f"{name}-{power or 1}")
    return " ".join(parts) or "1"


def _put(
    file: netcdf_file,
    column: StudyColumn,
    name: str,
    over: tuple[str, ...],
    values: Sequence[float | None],
) -> object:
    """Write a column as a variable over some dimensions."""
    variable = file.createVariable(_latin(name), "d", tuple(map(_latin, over)))
    _note(variable, long_name=column.head, **_units(column.dimension), column=column.name,
          _FillValue=FILL)  # fmt: skip
    variable[:] = np.reshape([FILL if v is None else v for v in values], variable.shape)
    return variable


def _units(dimension: str) -> dict[str, str]:
    """Return the unit; of kelvin whether a difference is meant, as CF asks."""
    found = {"units": udunits(UNITS[dimension])}
    if dimension in ("temperature", "temperature difference"):
        kind = "on_scale" if dimension == "temperature" else "difference"
        found["units_metadata"] = f"temperature: {kind}"
    return found


def _as_drawn(variable: object, table: StudyTable, column: str) -> None:
    """Note what the drawn design has, member by member."""
    members = () if table.drawn is None else table.drawn.members
    values = [numbers.get(column, FILL) for numbers in members]
    if any(value != FILL for value in values):
        _note(variable, as_drawn=np.array(values))


def _place(axis: Axis) -> str:
    """Return the dimension of an axis: its own name where it can be a coordinate variable."""
    return spell(axis.path) if axis.rises else f"{spell(axis.path)}_place"


def _axis(file: netcdf_file, table: StudyTable, axis: Axis, place: str) -> str:
    """Write the values of an axis; return its name where it is an auxiliary coordinate.

    A coordinate variable holds numbers that only rise or only fall.
    """
    name, words = spell(axis.path), {"as_drawn_text": say_drawn(table.drawn_case, axis)}
    if axis.words:
        variable = _labels(file, name, place, axis.texts, axis.path)
        _note(variable, **words)
        return name
    file.createDimension(_latin(place), len(axis.values))
    variable = file.createVariable(_latin(name), "d", (_latin(place),))
    _note(variable, long_name=axis.path, **_units(axis.dimension), **words)
    drawn = drawn_entries(table.drawn_case, axis)
    if len(drawn) == 1 and drawn[0].value is not None:
        _note(variable, as_drawn=drawn[0].value)
    variable[:] = axis.values
    return "" if axis.rises else name


def _labels(file: netcdf_file, name: str, over: str, texts: Sequence[str], words: str) -> object:
    """Write words as an auxiliary coordinate of letters, with a dimension for them."""
    coded = [text.encode() for text in texts]
    letters = f"{name}_letters"
    file.createDimension(_latin(over), len(coded))
    file.createDimension(_latin(letters), max(map(len, coded)))
    variable = file.createVariable(_latin(name), "c", (_latin(over), _latin(letters)))
    _note(variable, long_name=words)
    for i, text in enumerate(coded):
        padded = text.ljust(max(map(len, coded)))
        variable[i] = np.frombuffer(padded, dtype="S1")
    return variable


def _state(file: netcdf_file, table: StudyTable, places: tuple[str, ...], beside: str) -> None:
    variable = file.createVariable("state", "b", tuple(map(_latin, places)))
    _note(variable, long_name="what became of the point",
          flag_values=np.arange(len(STATES), dtype="b"), flag_meanings=" ".join(STATES),
          **_beside(beside))  # fmt: skip
    variable[:] = np.reshape([STATES.index(row.state) for row in table.rows], table.shape)


def _beside(labels: str) -> dict[str, str]:
    return {"coordinates": labels} if labels else {}


def _latin(name: str) -> str:
    """Return a name whose bytes are UTF-8, as the form asks, where scipy writes Latin-1."""
    return name.encode().decode("latin-1")


def _note(thing: object, **attributes: object) -> None:
    """Set attributes of a file or a variable, text as UTF-8."""
    for name, value in attributes.items():
        if isinstance(value, str):
            value = value.encode()
        # scipy writes a plain float in half its width.
        setattr(thing, name, np.float64(value) if isinstance(value, float) else value)
