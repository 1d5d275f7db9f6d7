"""One run at a time writes a set of files; the lock goes with the process that holds it."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path


class Lock:
    """A lock on a file that stands while it is held."""

    def __init__(self, file: Path, handle: int) -> None:
        self._file, self._handle = file, handle

    def release(self) -> None:
        """Take the file away and let go."""
        with contextlib.suppress(OSError):
            os.unlink(self._file)
        with contextlib.suppress(OSError):
            os.close(self._handle)


def take_lock(file: Path) -> Lock | None:
    """Take a lock, None where another run holds it; where locks are not known, none is held."""
    try:
        import fcntl
    except ImportError:
        return Lock(file, os.open(file, os.O_CREAT | os.O_RDWR, 0o666))
    while True:
        handle = os.open(file, os.O_CREAT | os.O_RDWR, 0o666)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            os.close(handle)
            return None
        except OSError:
            return Lock(file, handle)
        # The run that held it may have taken the file away after it was opened here.
        with contextlib.suppress(OSError):
            if os.path.samestat(os.fstat(handle), os.stat(file)):
                return Lock(file, handle)
        os.close(handle)
