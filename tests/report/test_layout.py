"""The layout says which chamber, port, stage and stroke belong together, as the solver has it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from figure_data import CASES, clashes, short_assessment, shown_texts
from places import ROOT

from jacketcalc import read_case
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import solve
from jacketcalc.designs import Design
from jacketcalc.inputs import Case, Gas, Machine, Source
from jacketcalc.report.figures.layout import describe_layout, draw_layout, stroke_rows
from jacketcalc.report.figures.schematic import draw_schematic

SHIPPED = sorted((ROOT / "cases").glob("*.toml"))


def case_of(name: str) -> Case:
    return read_case(str(CASES / f"{name}.toml"))


def odd_machines() -> list[Machine]:
    machine = case_of("hot").machine
    one, two = machine.exhaust_1, machine.exhaust_2
    low, high = machine.stages
    named = replace(low, name="<b>a stage $x$ of a very long name")
    return [
        machine,
        case_of("single").machine,
        replace(machine, exhaust_1=replace(one, to=low.name), exhaust_2=replace(two, to=high.name)),
        replace(machine, stages=(replace(low, compresses_on=1), high)),
        replace(machine, exhaust_1=replace(one, to="atmosphere", tube=None)),
        replace(machine, exhaust_1=replace(one, to=low.name), exhaust_2=replace(two, to=low.name)),
        replace(
            machine,
            stages=(named, replace(high, draws_from=named.name)),
            exhaust_2=replace(two, to=named.name),
        ),
        replace(machine, stages=(low, replace(high, draws_from="supply", line=None))),
        nitrogen(machine),
    ]


def nitrogen(machine: Machine) -> Machine:
    """A machine whose first stage draws nitrogen from a bottle."""
    first = replace(machine.stages[0], draws_from="source")
    return replace(
        machine, stages=(first, *machine.stages[1:]), gas=Gas(name="nitrogen"),
        source=Source(pressure=machine.supply.pressure, temperature=293.15),
    )  # fmt: skip


@pytest.mark.parametrize("machine", odd_machines())
def test_words_of_a_layout_do_not_clash(machine: Machine) -> None:
    case = replace(case_of("hot"), machine=machine)
    for units in ("SI", "inch-pound"):
        assert not clashes(draw_layout(replace(case, document=replace(case.document, units=units))))


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_shipped_cases_are_drawn(file: object) -> None:
    assert not clashes(draw_layout(read_case(str(file))))


@pytest.mark.parametrize("machine", [odd_machines()[i] for i in (0, 1, 2, 4, 8)])
def test_strokes_are_those_of_the_solved_machine(machine: Machine) -> None:
    """Which chamber's pressure rises, which node is flowed through, which stage delivers: read off
    the strokes that the core solved, and held against the words."""
    solution = solve(Design(machine=machine), Resolution().scaled(0.3), np.zeros(1, np.int32))
    told = {row.part: row.does for row in stroke_rows(machine)}
    for place, part in enumerate(solution.parts):
        for chamber in (0, 1):
            filled = part["p"][-1, chamber] > part["p"][0, chamber]
            assert ("filled" in told[f"drive chamber {chamber + 1}"][place]) == filled
        for i, stage in enumerate(machine.stages):
            words = told[f"stage {stage.name}"][place]
            drawn, delivered = (part["flow"][:, 2 + 2 * i + way] @ part["dt"] for way in (0, 1))
            assert ("delivers" in words) == (delivered > drawn)
            if stage.jacket is None:
                continue
            words = told[f"jacket of {stage.name}"][place]
            nodes = [n for n, s in enumerate(solution.numbering.node_stage) if s == i]
            if not nodes:
                assert "no exhaust" in words
                continue
            flows = [float(p["exhaust"][:, nodes[0]] @ p["dt"]) for p in solution.parts]
            assert ("exhaust flows" in words) == (flows[place] > 0.2 * sum(flows))


def test_layout_and_schematic_are_one_picture() -> None:
    """The same machine, the same lines: only words differ, and the table below."""
    found = short_assessment("hot")
    layout, solved = draw_layout(found.case), draw_schematic(found)
    words = " ".join(t.get_text() for t in shown_texts(layout))
    assert "°C" in words and "compression starts at" not in words and "cycles a second" not in words
    assert len(solved.axes[0].patches) < len(layout.axes[0].patches)
    assert layout.get_size_inches()[0] == solved.get_size_inches()[0]
    assert "Stroke 1: drive chamber 1: filled" in describe_layout(found.case)


def test_a_bottle_is_drawn_where_stages_draw_from_one() -> None:
    machine = nitrogen(case_of("hot").machine)
    layout = draw_layout(replace(case_of("hot"), machine=machine))
    words = [t.get_text() for t in shown_texts(layout)]
    assert "nitrogen" in words and "draws from the source" in words
    assert stroke_rows(machine)[2].does[0] == "draws from the source"


def test_drive_cylinders_are_counted() -> None:
    machine = case_of("hot").machine
    two = replace(machine, drive=replace(machine.drive, cylinders=2))
    layout = draw_layout(replace(case_of("hot"), machine=two))
    assert any(t.get_text().startswith("2 cylinders, each") for t in shown_texts(layout))
    assert not clashes(layout)
