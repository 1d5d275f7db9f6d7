"""The implicit rule of third order that a fill is stepped by, with an error estimate.

    stage i    y_i = base_i + g dt f_i,      base_i = y + dt sum over j < i of a_ij f_j
    end        y_3;      error    dt sum of (b_i - e_i) f_i

Each stage is one implicit step of Euler's rule of length g dt from its base, which is what core and
receiver solve. The rule is stiffly accurate and damps whatever settles faster than a step; sums
that stay, mass and energy, stay to the last digit.
"""

from __future__ import annotations

GAMMA = 0.43586652150845967
"""Root of 6 g^3 - 18 g^2 + 9 g - 1 between 1/6 and 1/2: Alexander, SIAM J. Numer. Anal. 14, 1977,
1006; from memory, its order is checked by a test [-]."""
NODES = (GAMMA, 0.5 * (1.0 + GAMMA), 1.0)
"""Places of the stages within a step [-]."""
_B1 = -1.5 * GAMMA**2 + 4.0 * GAMMA - 0.25
_B2 = 1.5 * GAMMA**2 - 5.0 * GAMMA + 1.25
BEFORE = ((), (0.5 * (1.0 - GAMMA),), (_B1, _B2))
"""Weights of the stages before each [-]."""
_E2 = (0.5 - GAMMA) / (NODES[1] - GAMMA)
ERROR = (_B1 - (1.0 - _E2), _B2 - _E2, GAMMA)
"""Weights of the stages in the error: the result less that of the second order in the first two
stages [-]."""
ORDER = 3
"""Power of the step that the error goes with [-]."""
