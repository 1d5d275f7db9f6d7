"""Gnielinski's turbulent annulus of 2009 with its own constants, which no library here has.

Read in the code of Lamarche, Fundamentals of Geothermal Heat Pump Systems (Heat Atlas G2, 2010):

    Nu = (f/8) Re Pr / (k1 + 12.7 (f/8)^0.5 (Pr^(2/3) - 1)),   k1 = 1.07 + 900/Re - 0.63/(1 + 10 Pr)

The package puts the same friction into `ht`'s form of 1976 and lies within 3 % of it; answers and
tables that were made with this form ask for it as a law of a user's own.
"""

from __future__ import annotations

import math

from jacketcalc.designs import OwnLaws

LOWEST_RE = 1000.0
"""Held below it, as those answers were."""
FLAT = 0.999
"""Radius ratio at which the annulus was taken for a flat gap."""


def annulus(Re: float, Pr: float, ratio: float) -> float:
    """Nusselt number before its wall factor; `ratio` is inner over outer diameter."""
    Re, a = max(Re, LOWEST_RE), min(ratio, FLAT)
    shift = ((1 + a * a) * math.log(a) + 1 - a * a) / ((1 - a) ** 2 * math.log(a))
    eighth = (1.8 * math.log10(Re * shift) - 1.5) ** -2 / 8
    k1 = 1.07 + 900 / Re - 0.63 / (1 + 10 * Pr)
    return eighth * Re * Pr / (k1 + 12.7 * math.sqrt(eighth) * (Pr ** (2 / 3) - 1))


OF_2009 = OwnLaws(name="annulus, Gnielinski 2009", turbulent=annulus)
