"""Surface temperatures are what a thermometer meets: the barrel, or the shell that covers it.

Each shell is balanced again by hand: conduction through it against natural convection and radiation
outside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest
from command_line import CASE
from outside_film import SIGMA, film
from scipy.optimize import brentq

from jacketcalc import read_case
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design, without_jackets
from jacketcalc.inputs import Ambient, Exhaust, Jacket, Machine, Stage

SHARES = {"head": 0.1, "middle": 0.5, "flange": 0.9}


def machine() -> Machine:
    return read_case(str(CASE)).machine


@cache
def solved(kind: str) -> Result:
    own, away = machine(), Exhaust(to="atmosphere")
    made = {
        "fed": own,
        "bare": without_jackets(own, tubes=False),
        "idle": replace(own, exhaust_1=away, exhaust_2=away),
    }
    result = run([Design(machine=made[kind])], details=True)[0]
    assert not result.failure
    return result


@dataclass(frozen=True)
class Shell:
    """A stage's shell over its barrel, in a room."""

    stage: Stage
    room: Ambient

    @property
    def jacket(self) -> Jacket:
        assert self.stage.jacket is not None
        return self.stage.jacket

    @property
    def radii(self) -> tuple[float, float, float]:
        """Barrel outside, shell inside, shell outside [m]."""
        barrel = self.stage.bore / 2 + self.stage.wall_thickness
        inner = barrel + self.jacket.gap
        return barrel, inner, inner + self.jacket.shell_thickness

    def covers(self, z: float) -> bool:
        return self.jacket.offset <= z <= self.jacket.offset + self.jacket.length

    @property
    def wall(self) -> float:
        """Resistance of a metre of it [m K/W]."""
        _, inner, outer = self.radii
        return math.log(outer / inner) / (2 * math.pi * self.jacket.shell.conductivity)

    def to_room(self, T: float) -> float:
        """Heat that a metre of it gives off with its outside at T [W/m]."""
        room, outer = self.room, self.radii[2]
        h = film(T, room.temperature, room.pressure, 2 * outer, self.jacket.shell.emissivity)
        return h * 2 * math.pi * outer * (T - room.temperature)

    def over_flow(self, inside: float) -> float:
        """Temperature of its outside where its inside is known [K]."""
        return float(brentq(lambda T: (inside - T) / self.wall - self.to_room(T), 150.0, 400.0))

    def over_still_air(self, hot: float) -> float:
        """Temperature of its outside over air at rest round a barrel [K].

        Two long grey cylinders, one in the other: Incropera's table 13.3, from memory.
        """
        barrel, inner, _ = self.radii
        spread = (1 / self.jacket.shell.emissivity - 1) * barrel / inner
        grey = 1 / (1 / self.stage.material.emissivity + spread)

        def balance(T: float) -> float:
            shell = T + self.wall * self.to_room(T)
            still = 2 * math.pi * 0.025 / math.log(inner / barrel) * (hot - shell)
            shone = grey * SIGMA * (hot**4 - shell**4) * 2 * math.pi * barrel
            return still + shone - self.to_room(T)

        return float(brentq(balance, self.room.temperature + 0.01, hot))


def test_without_jackets_it_is_the_barrel() -> None:
    found = solved("bare")
    assert found.detail is not None
    for stage, outcome, detail in zip(
        machine().stages, found.outcome.stages, found.detail.stages, strict=True
    ):
        for place, share in SHARES.items():
            at = np.interp(share * stage.barrel_length, detail.wall_position, detail.wall_outside)
            assert getattr(outcome.surface, place) == pytest.approx(at)


def test_under_a_fed_jacket_it_is_the_shell() -> None:
    own, found, seen = machine(), solved("fed"), 0
    assert found.detail is not None
    for stage, outcome in zip(own.stages, found.outcome.stages, strict=True):
        shell = Shell(stage, own.ambient)
        passage = next(p for p in found.detail.passages if p.stage == stage.name)
        middles = (passage.position[1:] + passage.position[:-1]) / 2
        for place, share in SHARES.items():
            z = share * stage.barrel_length
            if not shell.covers(z):
                continue
            inside = float(np.interp(z, middles, passage.shell_temperature))
            by_hand = shell.over_flow(inside)
            assert getattr(outcome.surface, place) == pytest.approx(by_hand, abs=0.1)
            assert by_hand - inside > 0.3
            seen += 1
    assert seen == 4


def test_under_a_jacket_without_exhaust_it_is_the_shell_too() -> None:
    own, found, seen = machine(), solved("idle"), 0
    assert found.detail is not None
    for stage, outcome, detail in zip(
        own.stages, found.outcome.stages, found.detail.stages, strict=True
    ):
        shell = Shell(stage, own.ambient)
        for place, share in SHARES.items():
            z = share * stage.barrel_length
            if not shell.covers(z):
                continue
            hot = float(np.interp(z, detail.wall_position, detail.wall_outside))
            by_hand = shell.over_still_air(hot)
            assert getattr(outcome.surface, place) == pytest.approx(by_hand, abs=0.4)
            assert hot - by_hand > 1.0
            seen += 1
    assert seen == 4


def test_a_machine_that_stalls_is_as_warm_as_the_room() -> None:
    own = replace(machine(), receiver_pressure=600e5)
    stalled = run([Design(machine=own)])[0].outcome
    assert stalled.stalled
    for stage in stalled.stages:
        assert {getattr(stage.surface, place) for place in SHARES} == {own.ambient.temperature}
