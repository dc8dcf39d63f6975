"""Names outside the chain: the record holds a commitment, and what it stands for can be erased.

A record that is never changed must not hold what a person may ask to have deleted. So a name is
kept beside the chain with a salt of its own, and the chain holds

    commitment = "who-" + first 32 hexadecimal digits of SHA-256(salt + UTF-8 of the text)

The salt is 16 random bytes, kept as 32 hexadecimal digits. Without it the digest would be no
secret: there are few names in a shop, and whoever tries all of them finds the one that fits. Once
salt and text are blanked, nothing ties the commitment to a person, the same person has another
one in each job, and the chain still verifies. 128 bits of the digest are kept: to find a second
text for a commitment takes about 2¹²⁸ attempts, to find any two that share one about 2⁶⁴.
"""

from __future__ import annotations

import hashlib
import hmac
import re

__all__ = ["SALT_BYTES", "commit", "is_commitment", "matches"]

SALT_BYTES = 16
_DIGITS = 32
_SALT = re.compile(rf"[0-9a-f]{{{2 * SALT_BYTES}}}")
_COMMITMENT = re.compile(rf"who-[0-9a-f]{{{_DIGITS}}}")


def commit(*, text: str, salt: str) -> str:
    """The commitment to a text; ``salt`` is new and random for each text and each job.

    Raises :class:`ValueError` unless the salt is :data:`SALT_BYTES` bytes in hexadecimal: with a
    fixed length no part of a text can pass for a part of the salt.
    """
    if not _SALT.fullmatch(salt):
        raise ValueError(f"a salt is {SALT_BYTES} bytes as {2 * SALT_BYTES} hexadecimal digits")
    return "who-" + hashlib.sha256(bytes.fromhex(salt) + text.encode()).hexdigest()[:_DIGITS]


def matches(*, commitment: str, text: str, salt: str) -> bool:
    """Whether the commitment stands for this text with this salt; erased ones match nothing."""
    if not _SALT.fullmatch(salt):
        return False
    return hmac.compare_digest(commitment.encode(), commit(text=text, salt=salt).encode())


def is_commitment(text: str) -> bool:
    """Whether a text looks like a commitment; an older record holds names as they were typed."""
    return _COMMITMENT.fullmatch(text) is not None
