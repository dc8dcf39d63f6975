"""The bytes of photos, in the shop's folder, each under the SHA-256 of what it holds."""

from __future__ import annotations

import hashlib
import os
import re
import secrets
from pathlib import Path

from django.conf import settings

from oilwedge.web.record.store import RecordError

_DIGEST = re.compile(r"[0-9a-f]{64}")


def photo_path(sha256: str) -> Path:
    """Where the bytes of a photo lie, whether they are there or not.

    Raises :class:`ValueError` for what is no SHA-256, so that no name leads elsewhere.
    """
    if not _DIGEST.fullmatch(sha256):
        raise ValueError("a photo is named by its SHA-256")
    return Path(settings.PHOTO_FOLDER) / sha256


def keep_photo(data: bytes) -> str:
    """Write the bytes of a photo and wait until they are on the disk; gives their SHA-256.

    Raises :class:`RecordError` when they cannot be written; then nothing is there by halves.
    """
    sha256 = hashlib.sha256(data).hexdigest()
    path = photo_path(sha256)
    if photo_digest(sha256) == sha256:
        return sha256
    half = path.with_name(f"{sha256}.{secrets.token_hex(4)}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with half.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        half.replace(path)
    except OSError as error:
        half.unlink(missing_ok=True)
        raise RecordError(
            f"The photo cannot be written ({error.strerror or error}). Nothing was stored; make"
            " room or look at the rights of the shop's folder, and send it again."
        ) from error
    return sha256


def photo_digest(sha256: str) -> str:
    """The SHA-256 of the bytes that lie there under this one; empty when there are none."""
    try:
        with photo_path(sha256).open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except (OSError, ValueError):
        return ""
