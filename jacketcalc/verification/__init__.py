"""Published cases as data, what the program finds for each, and how its numerics converge."""

from __future__ import annotations

from jacketcalc.verification.html_page import verification_html
from jacketcalc.verification.json_page import verification_json
from jacketcalc.verification.run_published import run_verification
from jacketcalc.verification.text_page import verification_text

__all__ = ["run_verification", "verification_html", "verification_json", "verification_text"]
