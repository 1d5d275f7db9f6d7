"""The page on a screen: a dark style one can read, figures of their own size, State first."""

from __future__ import annotations

import re
from importlib import resources

from report_reader import main_page, main_report

from jacketcalc.report.model import plain

CSS = (resources.files("jacketcalc.report") / "pages" / "page.css").read_text("utf-8")
_COLOUR = re.compile(r"--(\w+): #([0-9a-f]{3,6})\b")


def _block(head: str) -> str:
    """Return a rule's content with the rules inside it."""
    start = CSS.index(head) + len(head)
    depth, place = 1, CSS.index("{", start) + 1
    first = place
    while depth:
        depth += {"{": 1, "}": -1}.get(CSS[place], 0)
        place += 1
    return CSS[first : place - 1]


def _luminance(code: str) -> float:
    """Relative luminance of WCAG 2.1 (from memory)."""
    code = "".join(2 * c for c in code) if len(code) == 3 else code
    parts = [int(code[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [v / 12.92 if v <= 0.03928 else ((v + 0.055) / 1.055) ** 2.4 for v in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    bright, dim = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def test_both_styles_have_readable_contrast() -> None:
    """WCAG 2.1, 1.4.3: 4.5 for words; 1.4.11: 3 for lines that carry meaning (from memory)."""
    light = dict(_COLOUR.findall(_block(":root")))
    dark = {**light, **dict(_COLOUR.findall(_block("(prefers-color-scheme: dark)")))}
    assert dark["ground"] != light["ground"]
    for colours in (light, dark):
        for words in ("ink", "soft", "blue"):
            for ground in ("ground", "pale"):
                assert _contrast(colours[words], colours[ground]) >= 4.5, (words, ground)
        for line in ("good", "bad", "open", "line"):
            assert _contrast(colours[line], colours["ground"]) >= 3.0, line


def test_figures_keep_their_paper_in_the_dark_and_their_size_on_a_phone() -> None:
    """A drawing of 180 mm scaled to 400 px would have letters of 5 px."""
    assert re.search(r"\.picture \{[^}]*background: #fff", _block("(prefers-color-scheme: dark)"))
    narrow = _block("(max-width: 760px)")
    assert re.search(r"figure svg \{[^}]*max-width: none", narrow)
    assert re.search(r"\.picture \{[^}]*overflow-x: auto", CSS)
    figures = main_page().count("<figure>")
    assert figures and main_page().count('<figure><div class="picture" tabindex="0"') == figures


def test_the_state_is_the_first_column() -> None:
    """What stands first is on the screen without moving a table, however narrow it is."""
    with_state = 0
    for table in main_report().tables():
        heads = [plain(column.head) for column in table.columns]
        if "State" in heads:
            assert heads[0] == "State", table.name
            with_state += 1
    assert with_state >= 3


def test_the_printed_page_bears_the_caution() -> None:
    """CSS Paged Media: margin boxes repeat on every page (from memory)."""
    rule = re.search(r"@bottom-center \{ content: \"([^\"]*)\"", main_page())
    assert rule is not None and "air can kill" in rule[1] and "can ignite" in rule[1]
