"""How far the quasi-steady treatment of an exhaust pulse is from one resolved in time.

    python -m tests.gas_dynamics.study

solves the shipped case, runs the pulse of a port as it is, squeezed and stretched, both ways,
and writes results.json: about three minutes of one core. Squeezed and stretched pulses keep
their peak flow: they belong to a smaller or larger drive, stroking faster or slower, behind
the same valve and passage. Keeping the mass instead would change the flow's level, and with it
Reynolds and Mach numbers, so that more than the time would differ.
"""

from __future__ import annotations

import hashlib
import json
import time
from dataclasses import asdict
from pathlib import Path
from typing import Any

from jacketcalc.casefile.reading import read_case

from .euler import Gas
from .pulse import CASE, Pulse, ideal_air, read_pulse
from .quasi_steady import run_quasi_steady
from .resolved import run_resolved
from .steady import compare_steady

STORE = Path(__file__).with_name("results.json")
CELL = 0.02
"""Length of a cell [m]."""
STRETCHES = {"x3": 3.0, "x1": 1.0, "x1/3": 1.0 / 3.0, "x1/10": 0.1}
"""Pulse lengths over the machine's; the last lies beyond what the note calls checked [-]."""
GRIDS = (0.04, 0.02, 0.01)
"""Cells of the grid study, at a third of the pulse [m]."""
OPENINGS = (0.005, 0.01, 0.02)
"""Times the valve takes to open [s]; invented, of a solenoid valve's order."""
COMPARED = ("heat", "back-pressure mean", "back-pressure peak", "peak after surge", "push-out work")


def fingerprint() -> str:
    """Hash of the case's machine."""
    machine = read_case(str(CASE)).machine
    return hashlib.sha256(json.dumps(asdict(machine), sort_keys=True).encode()).hexdigest()


def differ(resolved: dict[str, float], steady: dict[str, float]) -> dict[str, float]:
    """Resolved over quasi-steady less one; parts of the heat over the quasi-steady heat [-]."""
    out = {name: resolved[name] / steady[name] - 1.0 for name in COMPARED}
    rest = (resolved["rest heat"] - steady["rest heat"]) / steady["heat"]
    return out | {"heat at rest": rest, "heat of the pulse": out["heat"] - rest}


def pair(pulse: Pulse, gas: Gas, stretch: float, **valve: float) -> dict[str, Any]:
    """Run a pulse both ways."""
    steady = run_quasi_steady(pulse, gas, stretch, **valve).numbers
    resolved = run_resolved(pulse, gas, stretch, CELL, **valve).numbers
    return {
        "transit share": steady["transit share"],
        "acoustic share": pulse.ringing(gas) / 4.0 / steady["pulse"],
        "quasi-steady": steady,
        "resolved": resolved,
        "difference": differ(resolved, steady),
    }


def shorten(value: Any) -> Any:
    """Round every number of a nest to six digits."""
    if isinstance(value, dict):
        return {k: shorten(v) for k, v in value.items()}
    return float(f"{value:.6g}") if isinstance(value, float) else value


def main() -> None:
    """Run the study and keep what it finds."""
    began = time.process_time()
    gas = ideal_air()
    found: dict[str, Any] = {"inputs": fingerprint(), "gas": asdict(gas), "cell": CELL}

    def keep(name: str, value: Any) -> None:
        found[name] = shorten(value)
        print(f"{time.process_time() - began:5.0f} s  {name}", flush=True)

    pulse = read_pulse(0)
    keep("machine", pulse.machine)
    keep("steady", compare_steady(pulse, gas, CELL))
    pulses = {name: pair(pulse, gas, s) for name, s in STRETCHES.items()}
    keep("pulses", pulses)
    calm = {}
    for name in ("x1", "x1/3"):
        run = run_resolved(pulse, gas, STRETCHES[name], CELL, memory=pulse.ringing(gas))
        calm[name] = differ(run.numbers, pulses[name]["quasi-steady"])
    keep("coefficients that do not follow the ringing", calm)
    third = STRETCHES["x1/3"]
    keep("grids", {f"{dx:g}": run_resolved(pulse, gas, third, dx).numbers for dx in GRIDS})
    keep("openings", {f"{t:g}": pair(pulse, gas, third, opening=t) for t in OPENINGS})
    keep("other port", pair(read_pulse(1), gas, 1.0))
    STORE.write_text(json.dumps(found, indent=1) + "\n")


if __name__ == "__main__":
    main()
