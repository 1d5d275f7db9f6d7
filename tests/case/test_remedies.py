"""Every problem has a text that mends it, whose one example is refused and the other accepted."""

from __future__ import annotations

import re
import tomllib

import pytest
from broken import FULL
from case_problems import find_problems
from places import ROOT

from jacketcalc.casefile.remedy import list_names, load_remedies, tell_remedy
from jacketcalc.casefile.unsayable import NAME as CANNOT_SAY


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


EXAMPLES = [name for name, entry in load_remedies().items() if "refused" in entry]


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_are_refused_and_accepted_as_they_say(name: str) -> None:
    entry = load_remedies()[name]
    both = entry["refused"] + entry["accepted"]
    gone = {line.split(" =")[0] for line in both.split("\n") if " =" in line}
    wrong = apply_snippet(FULL, entry["refused"], gone)
    assert name in {problem.name for problem in find_problems(wrong)}
    assert find_problems(apply_snippet(FULL, entry["accepted"], gone)) == []


def test_every_problem_of_the_source_has_a_remedy() -> None:
    package = ROOT / "jacketcalc"
    files = [*(package / "casefile").glob("*.py"), package / "quantity_problems.py"]
    files += [package / "quantities.py", package / "studies" / "axes.py"]
    used = set()
    for file in files:
        used |= set(re.findall(r'"([a-z]+(?:-[a-z]+)+)"', file.read_text("utf-8")))
    used -= {"inch-pound", CANNOT_SAY}
    assert used == set(list_names())
    for name in list_names():
        text = tell_remedy(name)
        assert text is not None and text.startswith(name)
        assert max(map(len, text.split("\n"))) <= 80
    assert tell_remedy("no-such-name") is None
    assert tomllib.loads(FULL)["title"]
