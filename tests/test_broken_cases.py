"""Case files that are wrong: each problem once, where it stands, and never a traceback."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from broken import FULL, Broken, make_corpus
from case_problems import find_problems
from hypothesis import given, settings
from hypothesis import strategies as st

from jacketcalc.casefile.explain import explain_problem, list_names, load_explanations
from jacketcalc.casefile.reading import build_source, read_case, read_case_text
from jacketcalc.casefile.rendering import render_problems
from jacketcalc.casefile.source import LARGEST, read_source
from jacketcalc.errors import CaseError

CORPUS = make_corpus()


def test_the_corpus_is_large_and_begins_with_a_sound_case() -> None:
    assert find_problems(FULL) == []
    assert len(CORPUS) >= 150
    assert len({broken.text for broken in CORPUS}) >= 0.95 * len(CORPUS)


@pytest.mark.parametrize("broken", CORPUS, ids=lambda broken: broken.label)
def test_each_broken_case_is_explained(broken: Broken) -> None:
    problems = find_problems(broken.text)
    assert len(problems) == 1, [problem.message for problem in problems]
    assert problems[0].name in broken.names
    if broken.line:
        assert problems[0].line == broken.line
    assert problems[0].path


FILES = {
    "empty": (b"", "file-empty"),
    "blank": (b" \n\t\r\n", "file-empty"),
    "mark only": (b"\xef\xbb\xbf", "file-empty"),
    "picture": (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "file-binary"),
    "escape": (b'title = "\x1b[31m"\n', "file-binary"),
    "latin": ('title = "Prüfstand"\n'.encode("latin-1"), "file-encoding"),
    "sixteen": ('title = "x"\n'.encode("utf-16"), "file-encoding"),
    "large": (b"#" * (LARGEST + 1), "file-large"),
    "not toml": (b"hello world\n", "toml-syntax"),
    "json": (b'{"title": "x"}\n', "toml-syntax"),
    "deep": (b"x = " + b"[" * 5000, "toml-syntax key-unknown"),
    "digits": (b"x = " + b"9" * 5000, "toml-syntax key-unknown"),
}


@pytest.mark.parametrize("kind", FILES)
def test_files_that_are_no_cases(kind: str, tmp_path: Path) -> None:
    data, name = FILES[kind]
    file = tmp_path / "case.toml"
    file.write_bytes(data)
    with pytest.raises(CaseError) as caught:
        read_case(str(file))
    assert [problem.name for problem in caught.value.problems] == name.split()
    assert render_problems(caught.value).startswith(str(file))


def test_file_names_that_lead_to_no_case(tmp_path: Path) -> None:
    for name, kind in [
        (str(tmp_path), "file-directory"),
        (str(tmp_path / "none.toml"), "file-missing"),
        ("a\0b", "file-unreadable"),
        ("x" * 5000, "file-unreadable"),
    ]:
        with pytest.raises(CaseError) as caught:
            read_case(name)
        assert [problem.name for problem in caught.value.problems] == [kind]


def test_the_place_of_a_byte_that_is_not_utf_8() -> None:
    with pytest.raises(CaseError) as caught:
        read_source('title = "x"\n# 20 °C'.encode("latin-1"), "c.toml")
    assert (caught.value.problems[0].line, caught.value.problems[0].column) == (2, 6)


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=300))
def test_random_bytes_are_refused_quietly(data: bytes) -> None:
    with pytest.raises(CaseError) as caught:
        build_source(read_source(data, "random"))
    assert caught.value.problems
    assert render_problems(caught.value)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=40), st.integers(0, len(FULL)))
def test_random_text_inside_a_case_is_refused_quietly(piece: str, place: int) -> None:
    data = (FULL[:place] + piece + FULL[place:]).encode("utf-8", "surrogatepass")
    try:
        build_source(read_source(data, "random"))
    except CaseError as error:
        assert render_problems(error)


MACHINES = {
    "land-pitch": ("land = .*", 'land = "30 mm"', 2),
    "jacket-length": ("wound_length = .*", 'wound_length = "300 mm"', 2),
    "jacket-turns": ("pitch = .*", 'pitch = "0.14 m"', 2),
    "tip-gap": ("gap = .*", 'gap = "0.1 mm"', 2),
    "tank-below-supply": ('pressure = "300 bar\\(g\\)"', 'pressure = "6 bar(g)"', 1),
    "dew-point": (
        'pressure_dew_point = "3 degC"',
        'pressure_dew_point = "30 degC"',
        1,
    ),
    "rod-bore": ("rod_1 = .*", 'rod_1 = "100 mm"', 1),
    "rod-missing": ("rod_2 = .*", 'rod_2 = "0 mm"', 1),
    "stage-bore": ('bore = "14 mm"', 'bore = "100 mm"', 1),
    "stroke-order": ("compresses_on_stroke = 1", "compresses_on_stroke = 2", 1),
    "stage-unknown": ('to = "high"', 'to = "higher"', 1),
    "name-taken": ('name = "high"', 'name = "medium"', None),
    "stage-order": ('draws_from = "supply"', 'draws_from = "high"', 1),
    "line-unused": ('draws_from = "medium"', 'draws_from = "supply"', 1),
    "value-range": ('pressure = "7 bar\\(g\\)"', 'pressure = "0.3 bar(g)"', 1),
    "barrel-short": ('bore = "14 mm"', 'bore = "14 mm"\nbarrel_length = "110 mm"', None),
    "material-unknown": ('"POM"', '"Delrn"', 2),
}
"""Kind of problem to the pattern and replacement that make it, and how often it is found."""


@pytest.mark.parametrize("name", MACHINES)
def test_machines_that_cannot_be(name: str) -> None:
    pattern, replacement, count = MACHINES[name]
    text = re.sub(f"(?m)(?<![a-z_]){pattern}", replacement, FULL)
    assert text != FULL
    found = [problem.name for problem in find_problems(text)]
    assert name in found
    if count is not None:
        assert found == [name] * count


def test_supply_limits_and_tank_limit() -> None:
    for typed, sound in [
        ("1.4 bar(a)", False),
        ("1.5 bar(a)", True),
        ("16 bar(a)", True),
        ("16.1 bar(a)", False),
    ]:
        text = FULL.replace('"7 bar(g)"', f'"{typed}"')
        assert (find_problems(text) == []) is sound
    assert find_problems(FULL.replace('"300 bar(g)"', '"400 bar(a)"')) == []
    assert find_problems(FULL.replace('"300 bar(g)"', '"400 bar(g)"'))


def test_stage_counts() -> None:
    start, end = FULL.index("[[stage]]"), FULL.index("[tank]")
    none = FULL[:start] + FULL[end:]
    assert "table-missing" in {problem.name for problem in find_problems(none)}
    empty = "stage = []\n" + none
    assert "stage-count" in {problem.name for problem in find_problems(empty)}
    second = FULL.rindex("[[stage]]")
    third = FULL[second:end].replace('"high"', '"third"').replace('"medium"', '"high"')
    found = find_problems(FULL[:end] + third + FULL[end:])
    assert [problem.name for problem in found] == ["stage-count"]


def test_exhaust_to_a_stage_without_a_jacket() -> None:
    start = FULL.rindex("[stage.jacket]")
    text = FULL[:start] + FULL[FULL.index("[tank]") :]
    assert [problem.name for problem in find_problems(text)] == ["jacket-missing"]


def test_all_problems_of_a_file_are_found_at_once_and_in_order() -> None:
    text = (
        FULL.replace('dead_time = "30 ms"', "dead_time = 30 ms")
        .replace('rod_1 = "12 mm"', 'rod_1 = "12 mm"\nrod_1 = "20 mm"')
        .replace('"40 cm3"', '"40 ccm"')
        .replace("[tank]", "[tnak]")
        .replace('material = "stainless 304"', 'material = "stainles 304"')
    )
    problems = find_problems(text)
    assert [problem.name for problem in problems] == [
        "quotes-missing",
        "key-duplicate",
        "unit-unknown",
        "unit-unknown",
        "material-unknown",
        "key-unknown",
    ]
    assert [problem.line for problem in problems] == sorted(problem.line for problem in problems)
    assert problems[-1].fix == 'write "tank" for "tnak"'


def test_a_line_without_quotes_still_has_its_key_checked() -> None:
    text = FULL.replace('dead_time = "30 ms"', "  dead_tme = 30 ms")
    found = [(p.name, p.column) for p in find_problems(text)]
    assert found == [("key-unknown", 3), ("quotes-missing", 14)]
    assert find_problems(text)[0].fix == 'write "dead_time" for "dead_tme"'


@pytest.mark.parametrize("units, unit", [("SI", "mm"), ("inch-pound", "in")])
def test_sizes_speak_the_units_of_the_case_and_mend_it_as_typed(units: str, unit: str) -> None:
    """A size offered as `or less` is rounded so that typing it is enough."""
    sound = FULL.replace('units = "SI"', f'units = "{units}"')
    text = re.sub("(?m)^wound_length = .*", 'wound_length = "301 mm"', sound)
    problems = find_problems(text)
    assert [problem.name for problem in problems] == ["jacket-length"] * 2
    mended = text
    for problem in problems:
        assert problem.label.startswith("barrel ") and f" {unit}" in problem.label
        offered = re.fullmatch(rf"wound_length of ([\d.]+ {unit}) or less", problem.fix)
        assert offered is not None
        mended = mended.replace('wound_length = "301 mm"', f'wound_length = "{offered[1]}"', 1)
    assert find_problems(mended) == []
    text = sound.replace('"300 bar(g)"', '"5 bar(g)"').replace('"7 bar(g)"', '"20 bar(g)"')
    pressures = " ".join(p.label + p.why + p.fix for p in find_problems(text))
    assert ("psi(a)" in pressures, "bar(a)" in pressures) == (unit == "in", unit == "mm")


def test_caret_stands_under_the_smallest_span() -> None:
    text = FULL.replace('stroke = "120 mm"', 'stroke = "120 mmm"')
    with pytest.raises(CaseError) as caught:
        read_case_text(text, "a.toml")
    lines = render_problems(caught.value).split("\n")
    assert lines[0].startswith("a.toml:")
    assert lines[1].endswith('| stroke = "120 mmm"')
    assert lines[2].index("^") == lines[1].index("mmm")
    assert lines[2].count("^") == 3


def test_problems_at_one_place_share_its_line() -> None:
    text = FULL.replace('rod_1 = "12 mm"', "").replace('rod_2 = "12 mm"', "")
    with pytest.raises(CaseError) as caught:
        read_case_text(text)
    shown = render_problems(caught.value)
    assert [problem.name for problem in caught.value.problems] == ["key-missing"] * 2
    assert shown.count("| [drive]") == 1


def test_what_could_confuse_a_terminal_is_not_printed() -> None:
    text = FULL.replace('"supply"', '"sup\u009b31m\u202eply"')
    with pytest.raises(CaseError) as caught:
        read_case_text(text)
    shown = render_problems(caught.value)
    assert "\u009b" not in shown and "\u202e" not in shown


def apply_snippet(text: str, snippet: str, gone: set[str]) -> str:
    """Put a piece of a case into a text; keys in `gone` leave its table first."""
    header, *entries = snippet.strip().split("\n")
    blocks = re.split(r"(?m)^(?=\[)", text)
    picked = [block for block in blocks if block.startswith(header)]
    if "name =" in snippet:
        name = next(entry for entry in entries if entry.startswith("name"))
        picked = [block for block in picked if name in block]
    if not picked:
        return text + "\n" + snippet
    kept = [line for line in picked[0].split("\n")[1:] if line.split(" =")[0] not in gone]
    return text.replace(picked[0], "\n".join([header, *entries, *kept]), 1)


EXAMPLES = [name for name, entry in load_explanations().items() if "wrong" in entry]


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_of_explanations_are_refused_and_mended(name: str) -> None:
    entry = load_explanations()[name]
    both = entry["wrong"] + entry["right"]
    gone = {line.split(" =")[0] for line in both.split("\n") if " =" in line}
    wrong = apply_snippet(FULL, entry["wrong"], gone)
    assert name in {problem.name for problem in find_problems(wrong)}
    assert find_problems(apply_snippet(FULL, entry["right"], gone)) == []


def test_every_problem_of_the_source_has_an_explanation() -> None:
    package = Path(__file__).parents[1] / "jacketcalc"
    files = [*(package / "casefile").glob("*.py"), package / "quantities.py"]
    files.append(package / "studies" / "axes.py")
    used = set()
    for file in files:
        used |= set(re.findall(r'"([a-z]+(?:-[a-z]+)+)"', file.read_text("utf-8")))
    used -= {"inch-pound"}
    assert used == set(list_names())
    for name in list_names():
        text = explain_problem(name)
        assert text is not None and text.startswith(name)
        assert max(map(len, text.split("\n"))) <= 80
    assert explain_problem("no-such-name") is None
    assert tomllib.loads(FULL)["title"]
