"""The report's page by itself: readable without eyes, no script, no request, no dead link."""

from __future__ import annotations

import re

from report_reader import ReadPage, main_page


def test_page_is_accessible() -> None:
    """Headings without gaps, table heads with scope, pictures with words, names used once."""
    page = ReadPage(main_page())
    assert page.headings[0] == 1 and page.headings.count(1) == 1
    assert all(b - a <= 1 for a, b in zip(page.headings[:-1], page.headings[1:], strict=True))
    assert all(attrs.get("scope") in ("col", "row", "rowgroup") for attrs in page.named("th"))
    assert all(a.get("role") == "img" and a.get("aria-label") for a in page.named("svg"))
    assert len(page.ids) == len(set(page.ids))
    assert page.named("html")[0]["lang"] == "en"
    assert len(page.named("caption")) == len(page.named("table"))


def test_page_asks_for_nothing() -> None:
    """No script, no request: every link stays inside the page."""
    page = ReadPage(main_page())
    names = {tag for tag, _ in page.tags}
    assert not names & {"script", "link", "iframe", "object", "embed", "form", "base", "img"}
    for tag, attrs in page.tags:
        for key, value in attrs.items():
            assert not key.startswith("on"), (tag, key)
            if key in ("src", "href", "xlink:href"):
                assert str(value).startswith("#"), (tag, key, value)
    assert "@import" not in main_page() and "url(http" not in main_page()
    policy = [a for a in page.named("meta") if a.get("http-equiv") == "Content-Security-Policy"]
    assert "default-src 'none'" in str(policy[0]["content"])


def test_every_reference_inside_a_picture_has_its_target() -> None:
    page = ReadPage(main_page())
    wanted = set(re.findall(r"url\(#([^)]+)\)", main_page()))
    wanted |= {str(a[k])[1:] for _, a in page.tags for k in ("href", "xlink:href") if a.get(k)}
    assert wanted <= set(page.ids)
