"""A search from the command line: its limits, its processes, its files."""

from __future__ import annotations

from collections.abc import Sequence

from jacketcalc.cli.studies import (
    TABLE_ENDINGS,
    Folder,
    Make,
    Remaining,
    check_folder,
    pool,
    table_forms,
)
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case
from jacketcalc.quantities import QuantityError, read_quantity
from jacketcalc.show.optimum_text import make_optimum_text
from jacketcalc.show.study_json import make_optimum_json
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.choice import Aim
from jacketcalc.studies.optimise import Limits, Optimum, optimise


def read_limits(
    case: Case,
    land: str | None,
    discharge: str | None,
    back_pressure: str | None,
    frost: str | None,
) -> Limits:
    """Read the limits of a search; what is not given comes from the case, or is not asked."""
    problems: list[Problem] = []

    def read(option: str, text: str | None, dimension: str) -> float | None:
        if text is None:
            return None
        try:
            return read_quantity(text, dimension, case.machine.room.pressure).value
        except QuantityError as error:
            spoken = f"{option} {text}"
            problems.append(
                Problem(
                    name=error.name, message=error.message, file=spoken, why=error.why,
                    fix=error.fix,
                )
            )  # fmt: skip
        return None

    thinnest = read("--least-land", land, "length")
    limits = Limits(
        land=case.judgement.tip_limit if thinnest is None else thinnest,
        discharge=read("--discharge-limit", discharge, "temperature"),
        back_pressure=read("--back-pressure-limit", back_pressure, "pressure difference"),
        frost=read("--frost-margin", frost, "temperature difference"),
    )
    if problems:
        raise CaseError(problems)
    return limits


def find_optimum(
    case: Case,
    axes: Sequence[Axis],
    aim: Aim,
    limits: Limits,
    *,
    population: int,
    generations: int,
    output: str | None,
    force: bool,
    processes: int | None,
) -> tuple[Optimum, Folder, dict[str, Make]]:
    """Search, and return what was found with the files it makes."""
    scan_endings = [f"-scan{ending}" for ending in TABLE_ENDINGS]
    folder = check_folder(output, "optimise", [".txt", ".json", *scan_endings], force)
    with folder.keeping(), Remaining() as progress, pool(population, processes) as executor:
        optimum = optimise(
            case, axes, aim, limits, population=population, generations=generations,
            executor=executor, folder=folder.checkpoint, progress=progress,
        )  # fmt: skip
    if not folder.path:
        return optimum, folder, {}
    from jacketcalc.report.study_figures import optimum_figures

    forms: dict[str, Make] = {
        ".txt": lambda: make_optimum_text(optimum).encode(),
        ".json": lambda: make_optimum_json(optimum).encode(),
    }
    forms.update({f"-scan{end}": make for end, make in table_forms(optimum.scan).items()})
    forms.update(optimum_figures(optimum))
    return optimum, folder, forms
