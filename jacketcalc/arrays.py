"""The one kind of array the package computes with, and a number of any shape."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Number = float | Array
"""One value, or one for each element of an array."""
