"""Files of one result that stand together in a folder: all of them are written, or none."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from jacketcalc.cli.output import CommandError, cannot, check_folder, exists, refuse_case, say


def read_words(known: Sequence[str], option: str, text: str) -> tuple[str, ...]:
    """Return the words of an option, commas between them, each once.

    Raises
    ------
    CommandError
        When one is not known.
    """
    given = tuple(dict.fromkeys(word.strip() for word in text.split(",") if word.strip()))
    strange = [word for word in given if word not in known]
    if strange:
        raise CommandError(f'{option} does not know "{strange[0]}"; it takes {", ".join(known)}')
    return given


def check_goals(folder: str, goals: Iterable[Path], force: bool, case: str) -> None:
    """Refuse a folder that cannot take the files, before anything is computed.

    Raises
    ------
    CommandError
        When one of them is a folder or the case itself, or exists and must not be replaced.
    """
    from jacketcalc.studies.files import sweep_unfinished

    check_folder(folder)
    for goal in goals:
        if goal.is_dir():
            raise CommandError(f'"{goal}" is a folder')
        refuse_case(goal, case)
        if goal.exists() and not force:
            raise exists(str(goal), force)
    sweep_unfinished(folder)


def write_all(folder: Path, made: Mapping[Path, bytes], force: bool) -> None:
    """Write all files, or where one cannot be written none that was not there before.

    Raises
    ------
    CommandError
        When one cannot be written.
    """
    from jacketcalc.studies.files import write_bytes

    new = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for goal, data in made.items():
            there = goal.exists()
            write_bytes(goal, data, force=force)
            new += [] if there else [goal]
    except OSError as fault:
        for goal in new:
            goal.unlink(missing_ok=True)
        raise cannot(str(folder), fault) from None
    for goal in made:
        say(f"wrote {goal}")
