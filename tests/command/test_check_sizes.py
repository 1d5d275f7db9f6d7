"""`check` prints the sizes that follow from a case, and gives them and the rest as JSON."""

from __future__ import annotations

import json
import math
import re
import subprocess
import sys
from pathlib import Path

import pytest
from broken import FULL
from command_line import environment, run

from jacketcalc.casefile import describe
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.template import make_template
from jacketcalc.cli.main import main
from jacketcalc.core.machine import pack_machine
from jacketcalc.designs import Design
from jacketcalc.passage_geometry import passage_geometries
from jacketcalc.show.case_json import make_case_object
from jacketcalc.show.case_text import describe_case
from jacketcalc.show.sizes import list_sizes

CASE = read_case_text(make_template())
SIZES = {f"{size.table}.{size.key}": size.value for size in list_sizes(CASE.machine)}

# The template's machine in mm: drive 100 on rods of 12, stroke 120; first stage 32, wall 4, so
# 40 outside; gap 8, so 48 at mid-depth and 56 at the shell; pitch 30, rib 3, 120 long, tip 0.1.
TURN = math.hypot(math.pi * 48, 30)
BY_HAND = {
    "drive.piston_area_1": math.pi / 4 * (100**2 - 12**2),
    "drive.swept_volume_2": math.pi / 4 * (100**2 - 12**2) * 120,
    "stage.first.piston_area": math.pi * 16**2,
    "stage.first.area_ratio": (100**2 - 12**2) / 32**2,
    "stage.first.swept_volume": math.pi * 16**2 * 120,
    "stage.first.clearance_volume": 0.05 * math.pi * 16**2 * 120,
    "stage.first.jacket.axial_width": 30 - 3,
    # The unrolled channel: its width square to the flow is the axial one times the cosine.
    "stage.first.jacket.channel_width": 27 * math.pi * 48 / TURN,
    "stage.first.jacket.channel_area": 8 * 27 * math.pi * 48 / TURN,
    "stage.first.jacket.hydraulic_diameter": 2 / (1 / 8 + TURN / (27 * math.pi * 48)),
    "stage.first.jacket.lead": 30,
    "stage.first.jacket.lead_angle": math.asin(30 / TURN),
    "stage.first.jacket.turns": 120 / 30,
    "stage.first.jacket.path_length": 4 * TURN,
    # The barrel's mantle without the share of the ribs; two sides of 7.9 mm along the channel.
    "stage.first.jacket.barrel_heat_area": math.pi * 40 * 120 * 27 / 30,
    "stage.first.jacket.rib_heat_area": 2 * 7.9 * 4 * TURN,
    "stage.first.jacket.inlet_area": math.pi * 6**2,
    "stage.first.jacket.outlet_area": 1.5 * 8 * 27 * math.pi * 48 / TURN,
    # Pappus: the annulus of 40 and 56 without the share of the ribs.
    "stage.first.jacket.volume": math.pi / 4 * (56**2 - 40**2) * 120 * 27 / 30,
    "exhaust.port_1.tube_area": math.pi * 6**2,
    "exhaust.port_1.tube_volume": math.pi * 6**2 * 400,
    "exhaust.port_2.passage_volume": math.pi * 6**2 * 400
    + math.pi / 4 * (56**2 - 40**2) * 120 * 27 / 30,
}
"""Sizes in mm, mm2 and mm3 from the case's own numbers, by plain geometry."""
FACTOR = {"length": 1e3, "area": 1e6, "volume": 1e9, "number": 1.0, "angle": 1.0}


@pytest.mark.parametrize("path", BY_HAND)
def test_sizes_are_those_by_hand(path: str) -> None:
    """The bore of the outlet hole is filled in with four digits; all else is exact."""
    (size,) = [s for s in list_sizes(CASE.machine) if f"{s.table}.{s.key}" == path]
    digits = 1e-3 if path.endswith("outlet_area") else 1e-9
    assert size.value * FACTOR[size.dimension] == pytest.approx(BY_HAND[path], rel=digits)


def test_every_stage_jacket_and_port_has_its_sizes() -> None:
    for one, other in (("stage.first.", "stage.second."), ("exhaust.port_1.", "exhaust.port_2.")):
        keys = [{path.removeprefix(head) for path in SIZES if path.startswith(head)}
                for head in (one, other)]  # fmt: skip
        assert keys[0] == keys[1] and keys[0]


def test_the_core_is_given_the_same_sizes() -> None:
    """What `check` shows is what is solved, to the last digit."""
    record = pack_machine(Design(machine=CASE.machine))
    areas = [float(area) for area in record["drive_area"]]
    assert areas == [SIZES["drive.piston_area_1"], SIZES["drive.piston_area_2"]]
    fixed = {float(volume) for volume in record["fixed_volume"]}
    assert {SIZES[f"stage.{name}.clearance_volume"] for name in ("first", "second")} <= fixed
    passages = passage_geometries(CASE.machine)
    for passage, port, stage in zip(passages, (1, 2), ("second", "first"), strict=True):
        assert passage.volume == SIZES[f"exhaust.port_{port}.passage_volume"]
        assert passage.length == SIZES[f"stage.{stage}.jacket.path_length"]
        assert passage.area == SIZES[f"stage.{stage}.jacket.channel_area"]
        walls = passage.barrel_perimeter * passage.length, passage.fin_perimeter * passage.length
        assert walls[0] == SIZES[f"stage.{stage}.jacket.barrel_heat_area"]
        assert walls[1] == SIZES[f"stage.{stage}.jacket.rib_heat_area"]


def test_what_is_not_there_has_no_size() -> None:
    """Ribs that are not one piece with the barrel are no fins; an open port has no passage."""
    text = make_template().replace('rib_joint = "barrel"', 'rib_joint = "shell"', 1)
    text = text.replace('to = "first"', 'to = "atmosphere"')
    text = re.sub(r"(?m)^tube = .*fitting_loss.*$", "", text)
    paths = {f"{size.table}.{size.key}" for size in list_sizes(read_case_text(text).machine)}
    assert "stage.first.jacket.rib_heat_area" not in paths
    assert "stage.second.jacket.rib_heat_area" in paths
    assert not any(path.startswith("exhaust.port_2") for path in paths)


def test_several_starts_share_lead_and_galleries() -> None:
    case = set_value(read_case_text(FULL), "stage.first.jacket.starts", "2")
    sizes = {f"{s.table}.{s.key}": s for s in list_sizes(case.machine)}
    assert sizes["stage.first.jacket.lead"].value == pytest.approx(0.060)
    assert sizes["stage.first.jacket.turns"].value == pytest.approx(
        SIZES["stage.first.jacket.turns"] / 2
    )
    assert sizes["stage.first.jacket.turns"].label == "turns, each start"
    assert "galleries" in sizes["stage.first.jacket.volume"].label


@pytest.mark.parametrize("system", ["SI", "inch-pound"])
@pytest.mark.parametrize("text", [make_template(), FULL])
def test_the_block_stands_in_eighty_columns_with_a_unit_at_every_number(
    text: str, system: str
) -> None:
    case = set_value(read_case_text(text), "document.units", system)
    shown = describe_case(case)
    assert shown.isascii() and max(map(len, shown.split("\n"))) <= 80
    block = shown.split("\nSIZES ")[1].split("\n\n")[0].split("\n")[1:]
    numbers = [line for line in block if not line.startswith("  [")]
    assert len(numbers) == len(list_sizes(case.machine))
    length, area, volume = ("mm", "mm2", "cm3") if system == "SI" else ("in", "in2", "in3")
    for line, size in zip(numbers, list_sizes(case.machine), strict=True):
        unit = {"length": length, "area": area, "volume": volume, "angle": "deg", "number": ""}
        found = re.fullmatch(r"    (\S.*?)  +([\d.]+) ?(\S*)", line)
        assert found and found[1] == size.label and found[3] == unit[size.dimension]
        mine = {"mm": 1e-3, "mm2": 1e-6, "cm3": 1e-6, "in": 0.0254, "in2": 0.0254**2,
                "in3": 0.0254**3, "deg": math.pi / 180, "": 1.0}[found[3]]  # fmt: skip
        assert float(found[2]) * mine == pytest.approx(size.value, rel=6e-4)


def test_a_long_key_does_not_run_into_its_value(monkeypatch: pytest.MonkeyPatch) -> None:
    plain = describe_case(read_case_text(FULL))
    monkeypatch.setattr(describe, "_KEY", 10)
    narrow = describe_case(read_case_text(FULL))
    for shown in (plain, narrow):
        entries = shown.split("UNDERSTOOD\n")[1].split("\n\n")[0].split("\n")
        lines = [line for line in entries if re.match(r"    \w", line) and "from: " not in line]
        assert len(lines) > 50
    assert re.search(r"\n    wall thickness\n {14}4 mm", narrow)
    assert re.search(r"\n    bore {6}100 mm", narrow)


def test_check_says_what_it_did_not_do() -> None:
    shown = " ".join(describe_case(CASE).split())
    assert (
        "The case is complete and consistent. Nothing was computed; the design was not checked. "
        "High-pressure air can kill, and hot compressed air and oil can ignite: follow local codes"
    ) in shown
    assert shown.endswith("built and tested by licensed people.")


def test_json_holds_every_entry_and_size(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "c.toml"
    file.write_text(FULL)
    case = read_case_text(FULL)
    assert main(["check", "--json", str(file)]) == 0
    shown = capsys.readouterr()
    found = json.loads(shown.out)
    assert not shown.err and shown.out.isascii()
    assert found == make_case_object(case)
    assert (found["format"], found["title"]) == ("jacketcalc-check-1", case.title)
    assert found["sha256"] == case.sha256
    entries = {entry["path"]: entry for entry in found["entries"]}
    assert len(entries) == len(case.given) == len(found["entries"])
    # As typed in the case: 100 mm +- 0.1 mm, invented.
    bore = entries["drive.bore"]
    assert (bore["value"], bore["unit"], bore["tolerance"]) == (0.1, "m", pytest.approx(1e-4))
    assert (bore["source"], bore["assumed"]) == ("invented", False)
    assert entries["drive.material"]["unit"] is None
    assert entries["stage.first.clearance"]["unit"] == "-"
    assert {size["path"]: size["value"] for size in found["sizes"]} == {
        f"{size.table}.{size.key}": size.value for size in list_sizes(case.machine)
    }
    assert {size["unit"] for size in found["sizes"]} == {"m", "m2", "m3", "rad", "-"}
    assert "Nothing was computed" in found["sentence"] and "can kill" in found["caution"]


def test_json_names_what_was_filled_in_and_why() -> None:
    found = {entry["path"]: entry for entry in make_case_object(CASE)["entries"]}
    assert found["drive.friction"]["assumed"] and "practice" in found["drive.friction"]["why"]
    assert not found["drive.bore"]["assumed"] and found["drive.bore"]["why"] == ""


def test_json_of_several_or_wrong_cases_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a.toml").write_text(make_template())
    Path("b.toml").write_text("x = 1\n")
    assert main(["check", "--json", "a.toml", "a.toml"]) == 2
    assert "--json takes one case" in capsys.readouterr().err
    assert main(["check", "--json", "b.toml"]) == 2
    shown = capsys.readouterr()
    assert not shown.out and "b.toml:1:1: error: " in shown.err


def test_nothing_heavy_is_imported_for_the_sizes(tmp_path: Path) -> None:
    code = (
        "import sys; from jacketcalc.cli.main import main; main(['check', '--json', '-']);"
        "print(sorted({'numpy', 'scipy', 'ht', 'fluids'} & set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        input=make_template().encode(),
        capture_output=True,
        cwd=tmp_path,
        env=environment(),
        check=True,
    )
    assert done.stderr == b"[]\n"


def test_a_wide_title_and_file_name_in_an_empty_folder(tmp_path: Path) -> None:
    text = re.sub(r"(?m)^title = .*$", f'title = "{"雷" * 90}"', make_template())
    (tmp_path / "c.toml").write_text(text, encoding="utf-8")
    lines = run("check", "c.toml", cwd=tmp_path).stdout.decode().split("\n")
    assert [line.count("雷") for line in lines[:3]] == [40, 40, 10]
