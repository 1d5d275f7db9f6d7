"""Effects of one input at a time, against hand calculation."""

from __future__ import annotations

import numpy as np
import pytest

from jacketcalc.errors import RangeError
from jacketcalc.statistics.limited import Rectangular
from jacketcalc.statistics.normals import Normal
from jacketcalc.statistics.one_at_a_time import effects, one_at_a_time

INPUTS = (Rectangular(low=0.0, high=4.0), Normal(mean=10.0, standard_uncertainty=2.0))


def test_rows_and_effects_worked_by_hand() -> None:
    """Ends at 50 %: quartiles of the rectangle 1 and 3, of the normal 10 +- 0.67449 x 2."""
    rows = one_at_a_time(INPUTS, level=0.5)
    q = 2.0 * 0.674490
    assert rows == pytest.approx(
        np.array([[2, 10], [1, 10], [3, 10], [2, 10 - q], [2, 10 + q]]), abs=1e-5
    )
    found = effects({"sum": rows @ [1.0, 3.0], "square": (rows[:, 0] - 2.0) ** 2})
    assert found["sum"].base == 32.0
    assert found["sum"].at_low == pytest.approx([-1.0, -3.0 * q], abs=1e-4)
    assert found["sum"].at_high == pytest.approx([1.0, 3.0 * q], abs=1e-4)
    assert found["sum"].order == (1, 0)
    # A curved output moves the same way at both ends.
    assert found["square"].at_low == pytest.approx([1.0, 0.0])
    assert found["square"].at_high == pytest.approx([1.0, 0.0])
    assert found["square"].order == (0, 1)


def test_a_stated_base_stands_in_the_rows() -> None:
    rows = one_at_a_time(INPUTS, base=(1.5, 9.0))
    assert rows[0].tolist() == [1.5, 9.0]
    assert rows[1:, 0] == pytest.approx([0.1, 3.9, 1.5, 1.5])


def test_refusals() -> None:
    with pytest.raises(RangeError, match="1 base values"):
        one_at_a_time(INPUTS, base=(1.0,))
    with pytest.raises(RangeError, match="between 0 and 1"):
        one_at_a_time(INPUTS, level=1.0)
    with pytest.raises(RangeError, match="are not those"):
        effects({"y": np.zeros(4)})
