"""One server for one shop: the second is told where the first one is.

Two would each hold its own start token and its own lock round the writes; the record would stand
it, the people in front of it would not. Commands beside a running server (verify, backup) take no
guard.
"""

from __future__ import annotations

from pathlib import Path
from typing import BinaryIO

from oilwedge.errors import Fault, InputError, Where
from oilwedge.job.lock import try_to_lock
from oilwedge.web.serving.private_file import private_folder, unusable

GUARD_FILE = "serving"


class ShopGuard:
    """Holds a shop until it is let go, or until the program ends in any way."""

    def __init__(self, file: BinaryIO) -> None:
        """Keep a file that is locked already."""
        self._file = file

    def say_where(self, address: str) -> None:
        """Write down for a second one where this server is."""
        self._file.seek(0)
        self._file.truncate()
        self._file.write(address.encode())
        self._file.flush()

    def let_go(self) -> None:
        """End the guard."""
        self._file.close()


def guard_shop(shop: Path) -> ShopGuard:
    """Take a shop for this server. Raises :class:`InputError` where another one has it."""
    private_folder(shop)
    path = shop / GUARD_FILE
    try:
        file = path.open("a+b")
    except OSError as error:
        raise unusable(path, what="this file", error=error) from None
    if try_to_lock(file):
        return ShopGuard(file)
    file.seek(0)
    where = file.read(200).decode(errors="replace").strip()
    file.close()
    raise InputError(
        Fault(
            where=Where(file=str(shop)),
            given="",
            allowed="this shop is open already" + (f" at {where}" if where else ""),
            action="use it there, or stop that oilwedge first",
        )
    )
