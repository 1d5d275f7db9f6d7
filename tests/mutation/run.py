"""Break every term, measure what that does to the verdict, prove that its test notices.

    python -m tests.mutation.run              all terms: 9 minutes on one core
    python -m tests.mutation.run NAME ...     these alone; the others are kept

Writes `jacketcalc/verification/terms.toml` and prints it as a table. Ends with status 1, and
says why, when a term goes unnoticed or a test fails without a mutation.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

from . import effect, machines, prove, store
from .catalogue import MUTATIONS
from .record import Mutation, applied


def main(names: Sequence[str]) -> int:
    """Remake the list, or some of its rows."""
    known = {m.name: m for m in MUTATIONS}
    strange = set(names) - set(known)
    if strange:
        sys.stderr.write(f"no such term: {', '.join(sorted(strange))}\n")
        return 2
    chosen = [known[name] for name in names] or list(MUTATIONS)
    faults = [prove.passing(m.test for m in chosen)]
    whole = {s: effect.verdict(machines.trio(s)) for s in dict.fromkeys(m.setting for m in chosen)}
    rows = {row["name"]: row for row in store.kept()["term"]}
    for m in chosen:
        rows[m.name] = measured(m, whole[m.setting])
        faults.append(prove.unnoticed(m))
        sys.stderr.write(f"{m.name}{': UNNOTICED' if faults[-1] else ''}\n")
    settings = {row["name"]: row for row in store.kept()["setting"]}
    settings |= {name: store.setting_row(name, v) for name, v in whole.items()}
    terms = [rows[m.name] for m in MUTATIONS if m.name in rows]
    store.write(list(settings.values()), terms)
    sys.stdout.write(store.table(terms) + "\n")
    faults = [fault for fault in faults if fault]
    sys.stdout.write("\n".join(faults))
    return 1 if faults else 0


def measured(m: Mutation, whole: effect.Verdict) -> store.Row:
    """Solve the broken machines."""
    with applied(m):
        return store.term_row(m, effect.verdict(machines.trio(m.setting)), whole)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
