"""Write what only the owner of the shop may read: whole, or not at all."""

from __future__ import annotations

import contextlib
import os
import secrets
from pathlib import Path

from oilwedge.errors import Fault, InputError, Where

OWNER_ONLY = 0o600
OWNER_ONLY_FOLDER = 0o700


def unusable(path: Path, *, what: str, error: OSError) -> InputError:
    """The sentence for a file or folder of the shop that the system refuses."""
    return InputError(
        Fault(
            where=Where(file=str(path)),
            given="",
            allowed=f"{what} cannot be made or read ({error.strerror or error})",
            action="name a folder for the shop that you may write in",
        )
    )


def private_folder(path: Path) -> None:
    """Make a folder that nobody else may look into; one that is there stays as it is."""
    try:
        path.mkdir(mode=OWNER_ONLY_FOLDER, parents=True, exist_ok=True)
    except OSError as error:
        raise unusable(path, what="this folder", error=error) from None


def write_private(path: Path, data: bytes) -> None:
    """Write a file that its owner alone may read, beside its place, and move it there.

    The rights are those of the draft from its first byte on, so there is no moment at which
    somebody else could open it. The move is atomic: a crash leaves the old file or the new one.
    """
    draft = path.with_name(f".{path.name}.{secrets.token_hex(4)}.new")
    try:
        handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(draft, path)  # noqa: PTH105  (one atomic move over what is there)
    except OSError as error:
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)
        raise unusable(path, what="this file", error=error) from None
