"""Compare with numbers as they stand in print: the tolerance is half their last digit."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest


def near(text: str) -> Any:
    """Match the number that `text` prints, to half a unit of its last digit."""
    exponent = Decimal(text).as_tuple().exponent
    return pytest.approx(float(text), rel=0, abs=0.5000001 * 10.0 ** int(exponent))
