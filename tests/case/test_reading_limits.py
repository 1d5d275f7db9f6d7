"""Reading a case takes time in proportion to its size, and finds all its faults in one round."""

from __future__ import annotations

import random
import re
import time
from collections.abc import Callable

import pytest
from broken import FULL, make_corpus
from case_problems import find_problems

from jacketcalc.casefile.reading import MOST_SHOWN, read_case_text
from jacketcalc.casefile.rendering import render_problems
from jacketcalc.casefile.source import LARGEST
from jacketcalc.errors import CaseError

SECOND = 1.0
"""Time within which the largest file is read or refused [s]."""


def pad(piece: Callable[[int], str]) -> str:
    """Add numbered pieces to a sound case until it is as large as a case may be."""
    pieces, length, number = [FULL, "\n"], len(FULL) + 1, 0
    while length + len(piece(number)) <= LARGEST - 100:
        pieces.append(piece(number))
        length += len(pieces[-1])
        number += 1
    return "".join(pieces)


DEEP = "a." * 490 + "a"
HOSTILE = {
    "a line of blanks": FULL + '\na = "x"' + " " * 8000 + "y\n",
    "many lines of blanks": pad(lambda n: 'a = "x"' + " " * 980 + "y\n"),
    "an unclosed brace": FULL + "\na = {" + "a=1 " * 8000 + "\n",
    "many unclosed braces": pad(lambda n: f"a{n} = {{" + "a=1 " * 230 + "\n"),
    "unknown keys": pad(lambda n: f"k{n} = 1\n"),
    "keys like known ones": pad(lambda n: f"bore_{n} = 1\n"),
    "stages": pad(lambda n: f'[[stage]]\nname = "a{n}"\n'),
    "materials": pad(lambda n: f"[materials.a{n}]\n"),
    "broken table heads": pad(lambda n: f"[mat#{n}\n"),
    "a table many times": pad(lambda n: "[receiver]\n"),
    "a key many times": pad(lambda n: "source = 1\n"),
    "deep table heads": pad(lambda n: f"[b{n}.{DEEP}]\n"),
    "deep keys": pad(lambda n: f"b{n}.{DEEP[:21]} = 1\n"),
    "deep lists": pad(lambda n: f"b{n} = " + "[" * 12 + "]" * 12 + "\n"),
    "a long list": FULL + "\na = [\n" + "1,\n" * 25000 + "]\n",
    "unclosed texts": pad(lambda n: f'a{n} = """x\n" """\n= \n'),
    "unclosed lists": pad(lambda n: f"a{n} = [\n"),
    "quotes": pad(lambda n: '"' * 900 + "\n"),
    "long numbers": pad(lambda n: f"a{n} = " + "9" * 900 + "\n"),
    "comments": pad(lambda n: "#\n"),
    "no lines": pad(lambda n: "a\n"),
    "a megabyte": "".join(f"a{n} = 1\n" for n in range(92000)),
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_large_file_is_read_or_refused_within_a_second(kind: str) -> None:
    start = time.process_time()
    try:
        read_case_text(HOSTILE[kind])
    except CaseError as error:
        assert kind != "comments"
        assert len(error.problems) <= MOST_SHOWN
        assert render_problems(error)
    else:
        assert kind == "comments"
    assert time.process_time() - start < SECOND


def test_more_problems_than_can_be_read_are_counted() -> None:
    with pytest.raises(CaseError) as caught:
        read_case_text(FULL + "".join(f"k{n} = 1\n" for n in range(8000)))
    assert len(caught.value.problems) == MOST_SHOWN
    assert "8000 problems, the first 100 shown; nothing was computed." in render_problems(
        caught.value
    )


@pytest.mark.parametrize("key", ["_unread_", "_unread_1", "unread-", "_unread_tube"])
@pytest.mark.parametrize("head", ["[drive]", "[exhaust.port_1]", "[[stage]]", "[receiver]"])
def test_no_key_of_the_users_meets_a_mark_of_the_reader(key: str, head: str) -> None:
    text = FULL.replace(f"\n{head}", f"\n{head} # here\n{key} = 0\n#", 1)
    found = find_problems(text)
    assert [(p.name, p.path.split(".")[-1]) for p in found] == [("key-unknown", key)]
    # The same beside a line that cannot be read.
    found = find_problems(text.replace('rod_1 = "12 mm"', "rod_1 = 12 mm"))
    assert sorted(p.name for p in found) == ["key-unknown", "quotes-missing"]


def test_a_tube_whose_name_begins_with_a_mark_is_not_lost() -> None:
    text = FULL.replace("tube = { bore", "_unread_tube = { bore", 1)
    assert [problem.name for problem in find_problems(text)] == ["key-unknown"]


NUMBERS = {
    "9" * 400 + " mm": "number-unreadable",
    "9" * 90 + "/3 mm": "number-huge",
    "1/" + "9" * 90 + " mm": "unit-unknown",
    "1/" + "9" * 5000 + " mm": "toml-syntax",
    "1/0 mm": "unit-unknown",
    "3/4 in": "number-fraction",
    "1e" + "9" * 90 + " mm": "number-huge",
    "1" + ",1" * 40 + " mm": "unit-comma",
}


@pytest.mark.parametrize("typed", NUMBERS, ids=lambda typed: typed[:12])
def test_numbers_of_many_digits_are_refused(typed: str) -> None:
    found = find_problems(FULL.replace('stroke = "120 mm"', f'stroke = "{typed}"'))
    assert [problem.name for problem in found] == [NUMBERS[typed]]
    assert max(len(found[0].message), len(found[0].label)) < 200


def draw_lines(chance: random.Random) -> list[tuple[int, str]]:
    """Return lines that break the case each: from the corpus, and by one wrong character."""
    base = FULL.split("\n")
    lines = []
    for broken in make_corpus():
        other = broken.text.split("\n")
        changed = [n for n, line in enumerate(other) if n < len(base) and line != base[n]]
        if len(other) == len(base) and len(changed) == 1:
            lines.append((changed[0], other[changed[0]]))
    typed = [n for n, line in enumerate(base) if line.strip() and not line.startswith("#")]
    for _ in range(400):
        number = chance.choice(typed)
        at, letter = chance.randrange(len(base[number])), chance.choice("[]{}=\".,#\\'09aé- _\t")
        line = base[number]
        kept = chance.choice([line[at:], line[at + 1 :]])
        lines.append((number, line[:at] + letter + kept))
    return lines


def tables() -> list[str]:
    """Return for each line of the sound case the table at the top that it stands in."""
    found, name = [], ""
    for line in FULL.split("\n"):
        head = re.match(r"\[+(\w+)", line)
        name = head[1] if head else name
        found.append(name)
    return found


TABLE_OF = tables()
WANTING = {"key-missing", "source-missing"}
"""Problems that are the want of a key."""


def with_lines(lines: list[tuple[int, str]]) -> str:
    text = FULL.split("\n")
    for number, line in lines:
        text[number] = line
    return "\n".join(text)


LINES = draw_lines(random.Random(20))
ALONE: dict[tuple[int, str], set[tuple[str, int]]] = {}
"""What each of the lines leads to when it alone is wrong."""


def waits(line: tuple[int, str], picked: list[tuple[int, str]]) -> bool:
    """Whether what a line leads to may be said only when the other lines are mended."""
    base = FULL.split("\n")
    beside = {number for number, _ in picked if TABLE_OF[number] == TABLE_OF[line[0]]} - {line[0]}
    wanting = {name for name, _ in ALONE[line]} <= WANTING
    if any(text.lstrip().startswith("[") and base[n][:1] != "[" for n, text in picked):
        return True
    return any(base[number].startswith("[") or wanting for number in beside)


@pytest.mark.parametrize("seed", range(8))
def test_two_to_five_faults_are_found_in_one_round(seed: int) -> None:
    """What each fault alone leads to is said where several stand together, and nothing more.

    Where a head of its table is lost, or a line has become one that nobody can read, a fault may
    wait for the next round, and so may the want of a key where another line of its table is torn,
    which may have held it.
    """
    chance = random.Random(seed)
    turns = 0
    while turns < 30:
        picked = chance.sample(LINES, chance.randint(2, 5))
        if len({number for number, _ in picked}) < len(picked):
            continue
        for line in picked:
            if line not in ALONE:
                ALONE[line] = {(p.name, p.line) for p in find_problems(with_lines([line]))}
        if not all(ALONE[line] for line in picked):
            continue
        turns += 1
        together = {(p.name, p.line) for p in find_problems(with_lines(picked))}
        for line in picked:
            assert waits(line, picked) or ALONE[line] & together, (picked, line)
        assert together <= set().union(*(ALONE[line] for line in picked)), picked
