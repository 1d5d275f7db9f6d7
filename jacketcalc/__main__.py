"""`python -m jacketcalc` does what `jacketcalc` does."""

from __future__ import annotations

import sys

from jacketcalc.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
