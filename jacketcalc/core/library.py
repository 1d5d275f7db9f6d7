"""The compiled library: found beside this file, checked against the header, typed once.

For tests of the core itself the environment variable JACKETCALC_CORE names another build of it,
such as a sanitised one or one with a term broken on purpose.
"""

from __future__ import annotations

import ctypes
import os
import sys
from functools import cache
from pathlib import Path

from jacketcalc.core.layout import header_hash
from jacketcalc.errors import InstallationError

_SUFFIX = {"win32": ".dll", "darwin": ".dylib"}.get(sys.platform, ".so")
BUILT = Path(__file__).with_name("_core" + _SUFFIX)
"""Where the build puts it."""
LIBRARY = Path(os.environ.get("JACKETCALC_CORE") or BUILT)
"""The library in use."""

_I, _D, _P = ctypes.c_int64, ctypes.c_double, ctypes.c_void_p
SIGNATURES: dict[str, tuple[type | None, tuple[type, ...]]] = {
    "core_layout": (ctypes.c_char_p, ()),
    "core_workspace": (_I, ()),
    "core_solve": (_I, (_P, _P, _P, _P, _P, _I, _P)),
    "core_step": (_I, (_P, _P, _P, _P, _P, _P, _P, _I, _P)),
    "core_cycle": (_I, (_P, _P, _P, _P, _P, _P, _I, _P)),
    "core_gas": (None, (_P, _D, _D, _P)),
    "core_rest": (_I, (_P, _P, _P, _P, _P, _P, _I, _P)),
    "core_law": (_D, (_P, _D, _D)),
    "core_valve": (None, (_D, _D, _D, _D, _D, _D, _P)),
    "core_march": (None, (_P, _P, _P, _I, _P, _D, _D, _I, _P)),
    "core_curve": (None, (_P, _P, _P, _I, _P, _D, _P, _P)),
    "core_curve_flow": (None, (_P, _D, _D, _P)),
    "core_stroke": (_I, (_P, _P, _P, _I, _P, _P, _P)),
    "core_walls": (None, (_P, _P, _I, _D, _P, _P)),
    "core_pulses": (None, (_I, _P, _P, _P, _I, _D, _P, _P)),
    "core_heat": (None, (_P, _P, _P, _I, _P, _P, _P, _D, _P)),
    "core_sizes": (None, (_P, _P, _P)),
    "core_stage_law": (None, (_P, _P, _I, _P, _D, _P)),
    "core_wetted_wall": (_D, (_P, _P, _I, _P, _D)),
}
"""What the library exports: result and arguments of each function."""


@cache
def library() -> ctypes.CDLL:
    """Load the core in use, once."""
    return load_library(LIBRARY)


def load_library(place: Path) -> ctypes.CDLL:
    """Load a build of the core.

    Raises
    ------
    InstallationError
        When the library is missing, cannot be loaded, or was built from another header.
    """
    cure = "`pip install .` builds it; in a source tree, `python -m jacketcalc.core.build`"
    if not place.exists():
        raise InstallationError(f"the compiled core is missing ({place.name}): {cure}")
    try:
        found = ctypes.CDLL(str(place))
    except OSError as error:
        raise InstallationError(f"the compiled core cannot be loaded: {error}; {cure}") from None
    try:
        for name, (result, arguments) in SIGNATURES.items():
            function = getattr(found, name)
            function.restype, function.argtypes = result, arguments
        same = found.core_layout().decode() == header_hash()
    except AttributeError:
        same = False
    if not same:
        raise InstallationError(f"the compiled core was built from another version; {cure}")
    return found
