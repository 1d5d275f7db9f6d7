"""The option that says how many pairs of machines are sampled."""

from __future__ import annotations

from typing import Any

import click

LEAST_PAIRS, MOST_PAIRS = 128, 1 << 20
"""Sixteen for each of eight independent scramblings; what takes some hours [-]."""


class PowerOfTwo(click.types.IntParamType):
    """A number of samples that a Sobol sequence draws evenly."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Return the number, or refuse it with the nearest that can be drawn."""
        count = int(super().convert(value, param, ctx))
        if LEAST_PAIRS <= count <= MOST_PAIRS and count & (count - 1) == 0:
            return count
        below = 1 << (min(max(count, LEAST_PAIRS), MOST_PAIRS // 2).bit_length() - 1)
        return self.fail(
            f"{count} pairs cannot be drawn evenly; write a power of two from {LEAST_PAIRS} to "
            f"{MOST_PAIRS}, such as {below} or {2 * below}.", param, ctx,
        )  # fmt: skip


POWER_OF_TWO = PowerOfTwo()
