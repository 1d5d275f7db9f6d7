"""Open the finished report in a headless browser: no complaint, nothing asked for, all drawn.

Run by hand or by `.ci/run` as `python tests/browser_check.py FOLDER`; the folder, outside the
repository, keeps the screenshots. Without a browser it says so and leaves with status 0.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

REPORT = Path(__file__).parent.parent / "reports" / "impact_laboratory.html"
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
SIZES = {"wide": "1200,2400", "narrow": "400,2400"}
COMPLAINTS = re.compile(r"CONSOLE|Refused to|Content Security Policy|net::ERR", re.I)
_TIMEOUT = 120
"""Longest time a browser may take [s]."""


def find_browser() -> str:
    """Return the first browser on the path, empty when there is none."""
    return next((name for name in BROWSERS if shutil.which(name)), "")


def call(browser: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run a browser on the report with a profile of its own."""
    with tempfile.TemporaryDirectory() as profile:
        return subprocess.run(
            [browser, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
             "--enable-logging=stderr", f"--user-data-dir={profile}", *arguments,
             REPORT.resolve().as_uri()],
            capture_output=True, text=True, timeout=_TIMEOUT, check=False,
        )  # fmt: skip


def check(browser: str, folder: Path) -> list[str]:
    """Return what is wrong with the page as the browser sees it."""
    wrong = []
    dom = call(browser, "--dump-dom")
    wrong += [line for line in dom.stderr.splitlines() if COMPLAINTS.search(line)]
    text = REPORT.read_text("utf-8")
    for tag in ("<table", "<figure", "<h2", "<svg"):
        if dom.stdout.count(tag) != text.count(tag):
            wrong.append(f"{tag}: {dom.stdout.count(tag)} in the browser, {text.count(tag)} sent")
    for name, size in SIZES.items():
        picture = folder / f"report_{name}.png"
        call(browser, f"--window-size={size}", f"--screenshot={picture}")
        if not picture.exists() or picture.stat().st_size < 20_000:
            wrong.append(f"the {name} screenshot is missing or empty")
    printed = folder / "report_printed.pdf"
    call(browser, "--no-pdf-header-footer", f"--print-to-pdf={printed}")
    if not printed.exists() or not printed.read_bytes().startswith(b"%PDF"):
        wrong.append("the page cannot be printed")
    return wrong


def main(arguments: list[str]) -> int:
    """Check the report; keep the pictures in a folder."""
    browser = find_browser()
    if not browser:
        print("no browser on the path: the page was not opened")
        return 0
    folder = Path(arguments[0]) if arguments else Path(tempfile.mkdtemp())
    folder.mkdir(parents=True, exist_ok=True)
    wrong = check(browser, folder)
    print("\n".join(wrong) or f"the report opens and prints; pictures in {folder}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
