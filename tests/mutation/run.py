"""Break every term, measure what that does to the verdict, prove that its test notices.

    python -m tests.mutation.run              all terms not proven as all stands now; five
                                              minutes on two idle cores for the whole list
    python -m tests.mutation.run NAME ...     these alone

Writes `jacketcalc/verification/terms.toml` and `tests/mutation/proof.json` after every term, so
that a run that was stopped goes on where it was, and prints the table. Ends with status 1, and
says why, when a term goes unnoticed, when breaking it moves nothing, or when a test fails without
a mutation. Sources must not change while it runs.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor

from . import fresh, prove, store
from .catalogue import MUTATIONS
from .effect import Verdict
from .record import Mutation

LEAST_MOVE = 1e-9
"""Relative change of a machine's unknowns from which breaking a term counts as felt [-]."""


def main(names: Sequence[str]) -> int:
    """Remake the list, or some of its rows."""
    known = {m.name: m for m in MUTATIONS}
    strange = set(names) - set(known)
    if strange:
        sys.stderr.write(f"no such term: {', '.join(sorted(strange))}\n")
        return 2
    proofs = fresh.kept()
    chosen = [known[name] for name in names] or [
        m for m in MUTATIONS if proofs.get(m.name) != fresh.stamp(m)
    ]
    settings = list(dict.fromkeys(m.setting for m in chosen))
    faults = [prove.passing(m.test for m in chosen)] if chosen else []
    kept = store.kept()
    rows = {row["name"]: row for row in kept["term"]}
    machines = {row["name"]: row for row in kept["setting"]}
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        whole = dict(zip(settings, pool.map(prove.whole, settings), strict=True))
        machines |= {name: store.setting_row(name, v) for name, v in whole.items()}
        for m, proof in zip(chosen, pool.map(prove.prove, chosen), strict=True):
            fault = _fault(m, proof, whole[m.setting])
            faults.append(fault)
            rows[m.name] = store.term_row(m, proof.verdict, whole[m.setting])
            proofs[m.name] = "" if fault else fresh.stamp(m)
            _keep(machines, rows, proofs)
            sys.stderr.write(f"{m.name}{': ' + fault.splitlines()[0] if fault else ''}\n")
    _keep(machines, rows, proofs)
    sys.stdout.write(store.table([rows[m.name] for m in MUTATIONS]) + "\n")
    faults = [fault for fault in faults if fault]
    sys.stdout.write("\n".join(faults))
    return 1 if faults else 0


def _keep(
    machines: dict[str, store.Row], rows: dict[str, store.Row], proofs: dict[str, str]
) -> None:
    """Write down what is known, in the catalogue's order."""
    settings = dict.fromkeys(m.setting for m in MUTATIONS)
    store.write(
        [machines[name] for name in settings if name in machines],
        [rows[m.name] for m in MUTATIONS if m.name in rows],
    )
    fresh.keep({m.name: proofs[m.name] for m in MUTATIONS if m.name in proofs})


def _fault(m: Mutation, proof: prove.Proof, whole: Verdict) -> str:
    """Say what is wrong with a mutation, its name first; nothing when it is felt and noticed."""
    moved = any(
        abs(new - old) > LEAST_MOVE * abs(old)
        for new, old in zip(proof.verdict.state, whole.state, strict=True)
    )
    if not (moved or proof.verdict.failure):
        return f"{m.name} moves nothing"
    if not proof.noticed:
        return f"{m.test} does not notice {m.name}\n{proof.said}"
    return ""


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
