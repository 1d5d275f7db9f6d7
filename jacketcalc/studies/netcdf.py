"""A study as NetCDF-3, the classic form that every reader of maps knows."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Sequence

import numpy as np
from scipy.io import netcdf_file

from jacketcalc import __version__
from jacketcalc.core.output_record import UNITS
from jacketcalc.studies.columns import StudyColumn
from jacketcalc.studies.study_table import StudyTable

FILL = 9.969209968386869e36
"""Standard fill value of the form, where there is no number [-]."""
STATES = ("solved", "stalled", "failed", "impossible", "idle")
"""States by their number in the file."""


def make_netcdf(table: StudyTable) -> bytes:
    """Return a study as a file whose variables have the shape (member, axis, axis, ...).

    The ends of a band have no member: their shape is (axis, axis, ...).
    """
    stream = io.BytesIO()
    file = netcdf_file(stream, "w", version=2)
    _note(file, title=table.case.title, source=f"jacketcalc {__version__}")
    _note(file, case_sha256=table.case.sha256)
    if table.held:
        _note(file, held=", ".join(f"{path} {text}" for path, text in table.held))
    names = _axes(file, table)
    _members(file, table)
    state = file.createVariable("state", "b", names)
    _note(state, flag_values=np.arange(len(STATES), dtype="b"), flag_meanings=" ".join(STATES))
    state[:] = np.reshape([STATES.index(row.state) for row in table.rows], table.shape)
    bands = [row.band(table.columns) for row in table.rows]
    for column in table.columns:
        values = [table.series(column.name, member) for member in range(len(table.members))]
        _put(file, column, ("member", *names), [v for own in values for v in own])
        for end in column.band:
            _put(file, end, names, [band.get(end.name) for band in bands])
    file.flush()
    data = stream.getvalue()
    file.close()
    return data


def _put(
    file: netcdf_file, column: StudyColumn, over: tuple[str, ...], values: Sequence[float | None]
) -> None:
    """Write a column as a variable over some dimensions; `@` is kept, as the form allows."""
    variable = file.createVariable(_spell(column.name), "d", over)
    _note(variable, units=column.unit or "1", long_name=column.head, _FillValue=FILL)
    variable[:] = np.reshape([FILL if v is None else v for v in values], variable.shape)


def _spell(name: str) -> str:
    """Return a name whose bytes are UTF-8, as the form asks, where scipy writes Latin-1."""
    plain = unicodedata.normalize("NFC", name.replace(".", "_"))
    return plain.encode().decode("latin-1")


def _note(thing: object, **attributes: object) -> None:
    """Set attributes of a file or a variable, text as UTF-8."""
    for name, value in attributes.items():
        setattr(thing, name, value.encode() if isinstance(value, str) else value)


def _axes(file: netcdf_file, table: StudyTable) -> tuple[str, ...]:
    names = tuple(_spell(axis.path) for axis in table.axes)
    for name, axis in zip(names, table.axes, strict=True):
        file.createDimension(name, len(axis.values))
        variable = file.createVariable(name, "d", (name,))
        _note(variable, units=UNITS[axis.dimension] or "1", long_name=axis.path)
        variable[:] = axis.values
    return names


def _members(file: netcdf_file, table: StudyTable) -> None:
    length = max(len(name) for name in table.members)
    file.createDimension("member", len(table.members))
    file.createDimension("letter", length)
    variable = file.createVariable("member_name", "c", ("member", "letter"))
    _note(variable, long_name="what of the model was varied")
    for i, name in enumerate(table.members):
        variable[i] = np.array(list(name.ljust(length)), dtype="S1")
