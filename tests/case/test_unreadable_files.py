"""Files that hold no case: folders, other encodings, random bytes; refused, never a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest
from broken import FULL
from hypothesis import given, settings
from hypothesis import strategies as st

from jacketcalc.casefile.reading import build_source, read_case
from jacketcalc.casefile.rendering import render_problems
from jacketcalc.casefile.source import LARGEST, read_source
from jacketcalc.errors import CaseError

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
