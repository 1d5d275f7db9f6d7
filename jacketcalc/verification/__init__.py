"""Published cases as data, what the program finds for each, and how its numerics converge."""

from __future__ import annotations

from jacketcalc.verification.html import verification_html
from jacketcalc.verification.run import run_verification
from jacketcalc.verification.text import verification_text

__all__ = ["run_verification", "verification_html", "verification_text"]
