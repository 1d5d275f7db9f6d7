"""Break every term, measure what that does to the verdict, prove that its test notices.

    python -m tests.mutation.run              all terms: some two minutes on two cores
    python -m tests.mutation.run NAME ...     these alone; the others are kept

Writes `jacketcalc/verification/terms.toml` and `tests/mutation/proof.json` and prints the table.
Ends with status 1, and says why, when a term goes unnoticed, when breaking it moves nothing, or
when a test fails without a mutation.
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
    chosen = [known[name] for name in names] or list(MUTATIONS)
    settings = list(dict.fromkeys(m.setting for m in chosen))
    faults = [prove.passing(m.test for m in chosen)]
    rows = {row["name"]: row for row in store.kept()["term"]}
    proofs = fresh.kept()
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        whole = dict(zip(settings, pool.map(prove.whole, settings), strict=True))
        for m, proof in zip(chosen, pool.map(prove.prove, chosen), strict=True):
            rows[m.name] = store.term_row(m, proof.verdict, whole[m.setting])
            fault = _fault(m, proof, whole[m.setting])
            faults.append(fault)
            proofs[m.name] = "" if fault else fresh.stamp(m)
            sys.stderr.write(f"{m.name}{': ' + fault.splitlines()[0] if fault else ''}\n")
    kept_settings = {row["name"]: row for row in store.kept()["setting"]}
    kept_settings |= {name: store.setting_row(name, v) for name, v in whole.items()}
    wanted = dict.fromkeys(m.setting for m in MUTATIONS)
    terms = [rows[m.name] for m in MUTATIONS if m.name in rows]
    store.write([kept_settings[name] for name in wanted if name in kept_settings], terms)
    fresh.keep({m.name: proofs[m.name] for m in MUTATIONS if m.name in proofs})
    sys.stdout.write(store.table(terms) + "\n")
    faults = [fault for fault in faults if fault]
    sys.stdout.write("\n".join(faults))
    return 1 if faults else 0


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
