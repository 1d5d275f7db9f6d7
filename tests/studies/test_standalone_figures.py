"""A figure outside the report says of which machine and case it is, and bears the caution."""

from __future__ import annotations

import io
from functools import cache
from xml.etree import ElementTree

import openpyxl
import pytest
from figure_data import clashes, front, pitchmap, shown_texts, tradeoff
from PIL import Image
from study_sample import invented

from jacketcalc.report.figures.front import draw_front
from jacketcalc.report.figures.pitchmap import draw_pitchmap
from jacketcalc.report.figures.standalone import add_footer, label_of
from jacketcalc.report.figures.tradeoff import draw_tradeoff
from jacketcalc.report.study_figures import study_figures
from jacketcalc.report.study_workbook import make_workbook
from jacketcalc.studies.study_table import StudyTable

_SVG = "{http://www.w3.org/2000/svg}"


@cache
def study() -> StudyTable:
    return invented(
        "jacket.pitch=12mm:42mm:4", number=lambda pitch, member: 0.01 + 1e-5 * pitch + 1e-3 * member
    )


def _told(words: str) -> bool:
    case = study().case
    wanted = (case.sha256[:12], "TC-0042", "jacket.pitch 12 mm to 42 mm", "model range of 2 models",
              "air can kill", "oil can ignite", "pitches from")  # fmt: skip
    return all(part in words for part in wanted)


def test_svg_has_title_and_description() -> None:
    """SVG 1.1, 5.4: title and desc are the first children (from memory)."""
    root = ElementTree.fromstring(study_figures(study())["-first.svg"]())
    title, about = list(root)[:2]
    assert (title.tag, about.tag) == (f"{_SVG}title", f"{_SVG}desc")
    assert title.text == study().case.title and _told(about.text or "")
    assert root.get("role") == "img" and root.get("aria-labelledby") == "title about"


def test_png_has_text_fields() -> None:
    """Read by Pillow: keywords Title and Description of the PNG specification (from memory)."""
    with Image.open(io.BytesIO(study_figures(study())["-first.png"]())) as picture:
        assert picture.info["Title"] == study().case.title
        assert _told(picture.info["Description"])


@pytest.mark.parametrize("name", ["tradeoff", "pitchmap", "front"])
def test_the_footer_stands_below_the_drawing_and_inside_the_paper(name: str) -> None:
    fig = {
        "tradeoff": lambda: draw_tradeoff(tradeoff()),
        "pitchmap": lambda: draw_pitchmap(pitchmap()),
        "front": lambda: draw_front(front()),
    }[name]()
    width, height = fig.get_size_inches()
    label = label_of(study().case, "a range", "what it shows")
    add_footer(fig, label)
    wide, tall = fig.get_size_inches()
    assert wide == width and tall > height
    told = [text.get_text() for text in shown_texts(fig)]
    assert all(line in told for line in label.lines)
    assert not clashes(fig)


def test_a_study_s_workbook_has_formats_filters_and_a_page() -> None:
    book = openpyxl.load_workbook(io.BytesIO(make_workbook(study())))
    points = book["points"]
    assert points.auto_filter.ref.startswith("A6:")
    assert points.freeze_panes is not None
    assert "air can kill" in str(points.oddFooter.center.text)
    assert "can ignite" in str(book.properties.description)
    numbers = [cell for row in points.iter_rows(min_row=7) for cell in row
               if isinstance(cell.value, float)]  # fmt: skip
    assert numbers and all(cell.number_format != "General" for cell in numbers)
    assert any("can ignite" in str(c.value) for sheet in book for row in sheet for c in row)
