"""What readings say of a model's parameters, and whether they agree with it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import chdtrc, ndtri

from jacketcalc.arrays import Array


@dataclass(frozen=True, kw_only=True)
class Fit:
    """Parameters after readings, each in units of its prior standard uncertainty.

    A parameter's own value is its prior estimate plus the number here times its prior standard
    uncertainty. Priors count as readings of the parameters themselves, so that chi-square has as
    many degrees of freedom as there are readings.
    """

    estimate: Array
    """Likeliest parameters z, of shape (parameters,) [-]."""
    covariance: Array
    """Their covariance (J'J + 1)^-1, of shape (parameters, parameters) [-]."""
    residuals: Array
    """Readings less model, each over its standard uncertainty [-]."""
    jacobian: Array
    """Slopes J of the residuals, of shape (readings, parameters) [-]."""
    chi_square: float
    """Sum of squares of residuals and of parameters [-]."""

    @property
    def degrees_of_freedom(self) -> int:
        """Readings plus priors less parameters, which is the count of readings."""
        return len(self.residuals)

    @property
    def standard_uncertainty(self) -> Array:
        """u(z), 1 where readings say nothing of a parameter [-]."""
        root: Array = np.sqrt(np.diag(self.covariance))
        return root

    @property
    def p_value(self) -> float:
        """Probability of a chi-square as large, if model and uncertainties were right [-]."""
        return float(chdtrc(self.degrees_of_freedom, self.chi_square))

    @property
    def birge_ratio(self) -> float:
        """Root of chi-square over its degrees of freedom; about 1 where all is right [-].

        Birge, Phys. Rev. 40, 1932, 207 (from memory).
        """
        return math.sqrt(self.chi_square / self.degrees_of_freedom)

    def unexplained(self, level: float = 0.05) -> bool:
        """Return whether chi-square is too large for model and uncertainties to be right.

        Parameters
        ----------
        level : probability of saying so of a right model [-]

        References
        ----------
        The consistency check of Cox, Metrologia 39, 2002, 589, at 5 % (from memory).
        """
        return self.p_value < level

    def interval(self, level: float = 0.95) -> tuple[Array, Array]:
        """Return the ends of each parameter's coverage interval, from the covariance [-].

        Parameters
        ----------
        level : coverage probability [-]
        """
        half = float(ndtri(0.5 * (1.0 + level))) * self.standard_uncertainty
        return self.estimate - half, self.estimate + half
