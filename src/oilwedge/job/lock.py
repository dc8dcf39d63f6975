"""One writer at a time: a lock on an open file that the system drops when the program ends."""

from __future__ import annotations

import sys
from typing import BinaryIO

if sys.platform == "win32":
    import msvcrt

    _FAR_BEHIND_THE_END = 1 << 40  # Windows locks bytes, and readers must not meet the locked one

    def try_to_lock(file: BinaryIO) -> bool:
        """Take the lock if nobody has it; whether it was taken."""
        file.seek(_FAR_BEHIND_THE_END)
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
else:
    import fcntl

    def try_to_lock(file: BinaryIO) -> bool:
        """Take the lock if nobody has it; whether it was taken."""
        try:
            fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
