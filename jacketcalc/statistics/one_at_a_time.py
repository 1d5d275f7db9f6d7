"""What each input does to the outputs when it alone goes to its low and its high end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.statistics.distributions import Distribution


@dataclass(frozen=True, kw_only=True)
class Effects:
    """Changes of one output from its base, one element for each input."""

    base: float
    """Output with every input at its base [unit of the output]."""
    at_low: Array
    """Change with the input at its low end [unit of the output]."""
    at_high: Array
    """Change with the input at its high end [unit of the output]."""

    @property
    def largest(self) -> Array:
        """Larger of the two changes, without sign [unit of the output]."""
        return np.maximum(np.abs(self.at_low), np.abs(self.at_high))

    @property
    def order(self) -> tuple[int, ...]:
        """Inputs by their largest change, first the one that moves the output most."""
        return tuple(int(i) for i in np.argsort(-self.largest, kind="stable"))


def one_at_a_time(
    inputs: Sequence[Distribution], *, base: Sequence[float] | None = None, level: float = 0.95
) -> Array:
    """Return the inputs' values for the base and for both ends of each input in turn.

    Parameters
    ----------
    inputs : distributions
    base : base of each input; None for medians [unit of the input]
    level : coverage probability of the span between an input's ends [-]

    Returns
    -------
    Rows of shape (2 inputs + 1, inputs): the base, then low and high end of each input, each
    column in the unit of its input.

    Raises
    ------
    RangeError
        When the base has not one value for each input, or the level is not between 0 and 1.
    """
    if base is not None and len(base) != len(inputs):
        raise RangeError(f"{len(base)} base values for {len(inputs)} inputs")
    if not 0.0 < level < 1.0:
        raise RangeError(f"a coverage probability of {level:g} is not between 0 and 1")
    tail = 0.5 * (1.0 - level)
    middle = [float(given.ppf(0.5)) for given in inputs] if base is None else base
    rows = np.tile(np.asarray(middle, dtype=float), (2 * len(inputs) + 1, 1))
    for i, given in enumerate(inputs):
        rows[1 + 2 * i : 3 + 2 * i, i] = given.ppf((tail, 1.0 - tail))
    return rows


def effects(outputs: Mapping[str, Array]) -> dict[str, Effects]:
    """Return the effects from each output's values at the rows of `one_at_a_time`.

    Parameters
    ----------
    outputs : values of each output, of shape (2 inputs + 1,) [unit of the output]

    Raises
    ------
    RangeError
        When the count of values is not that of the rows.
    """
    for name, values in outputs.items():
        if np.ndim(values) != 1 or len(values) < 3 or len(values) % 2 == 0:
            raise RangeError(
                f"output {name}: {np.shape(values)} values are not those of one_at_a_time"
            )
    return {
        name: Effects(
            base=float(values[0]),
            at_low=values[1::2] - values[0],
            at_high=values[2::2] - values[0],
        )
        for name, values in outputs.items()
    }
