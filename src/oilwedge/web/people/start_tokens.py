"""The token in the address that ``oilwedge serve`` prints: it lets in one browser, once."""

from __future__ import annotations

import datetime
import hashlib
import secrets

from oilwedge.web.people.models import StartToken

TOKEN_BYTES = 32
LIFE = datetime.timedelta(minutes=10)


def new_start_token() -> str:
    """A token that is good for ten minutes and one use; those made before end with it."""
    token = secrets.token_urlsafe(TOKEN_BYTES)
    StartToken.objects.all().delete()
    StartToken.objects.create(token_hash=_hash(token))
    return token


def consume_start_token(token: str, *, now: datetime.datetime) -> bool:
    """Use a token up; whether it was good. Of two at the same moment one gets in."""
    used = StartToken.objects.filter(
        token_hash=_hash(token), used_at=None, made_at__gt=now - LIFE
    ).update(used_at=now)
    return used == 1


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
