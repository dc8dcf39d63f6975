"""The certificate of the shop's own authority, as it lies in the shop's folder."""

from __future__ import annotations

import hashlib

from django.conf import settings

from oilwedge.web.serving.authority import AUTHORITY_FOLDER, AUTHORITY_PUBLIC_FILE


def authority_bytes() -> bytes | None:
    """The certificate for phones, in DER; None where the shop has no authority.

    In the mode for one machine there is no HTTPS, so a certificate would help nobody.
    """
    if settings.MODE == "alone":
        return None
    try:
        return bytes((settings.SHOP_FOLDER / AUTHORITY_FOLDER / AUTHORITY_PUBLIC_FILE).read_bytes())
    except OSError:
        return None


def fingerprint_rows(certificate: bytes) -> tuple[str, ...]:
    """SHA-256 of a certificate in pairs, eight in a row, to be compared with a screen."""
    digest = hashlib.sha256(certificate).hexdigest().upper()
    pairs = [digest[at : at + 2] for at in range(0, len(digest), 2)]
    return tuple(":".join(pairs[at : at + 8]) for at in range(0, len(pairs), 8))
