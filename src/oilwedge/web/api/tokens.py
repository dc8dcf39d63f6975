"""Keys for other programs: shown once when they are made, kept as a hash, ended at any time."""

from __future__ import annotations

import datetime
import hashlib
import secrets
from collections.abc import Collection

from django.db.models import Q, QuerySet
from django.utils import timezone

from oilwedge.errors import Fault, InputError
from oilwedge.web.api.scopes import Scope
from oilwedge.web.people.models import Account, ApiToken
from oilwedge.web.record.store import says_faults, writing

LONGEST_DAYS = 366
TITLE_LENGTH = 80
_START = "oilwedge_"  # so that a key is known for one where it should not be
_BYTES = 32
_NOTED_AGAIN_AFTER = datetime.timedelta(minutes=1)


@says_faults
def make_token(*, account: Account, title: str, scopes: Collection[Scope], days: int) -> str:
    """A new key that acts for an account; nobody can show it a second time.

    Raises :class:`InputError` without a title or a scope, or for other than 1 to 366 days.
    """
    title = " ".join(title.split())
    if not 0 < len(title) <= TITLE_LENGTH or not title.isprintable():
        raise _error(f"say in up to {TITLE_LENGTH} characters what the key is for")
    if not scopes:
        raise _error("a key is for one thing at least")
    if not 1 <= days <= LONGEST_DAYS:
        raise _error(f"a key holds for 1 to {LONGEST_DAYS} days")
    token = _START + secrets.token_urlsafe(_BYTES)
    words = [scope.value for scope in Scope if scope in scopes]
    with writing():
        ApiToken.objects.create(
            token_hash=_hashed(token),
            title=title,
            account=account,
            scopes=" ".join(words),
            expires_at=timezone.now() + datetime.timedelta(days=days),
        )
    return token


@says_faults
def revoke_token(*, account: Account, pk: int) -> bool:
    """End a key of an account; False when it has none of this number that still holds."""
    with writing():
        mine = ApiToken.objects.filter(account=account, pk=pk, revoked_at=None)
        return mine.update(revoked_at=timezone.now()) > 0


def tokens_of(account: Account) -> QuerySet[ApiToken]:
    """The keys of an account that hold, newest first."""
    holds = Q(expires_at=None) | Q(expires_at__gt=timezone.now())
    return ApiToken.objects.filter(holds, account=account, revoked_at=None).order_by("-made_at")


@says_faults
def token_behind(text: str) -> ApiToken | None:
    """The key that a program sent, if it holds; notes that it was used."""
    now = timezone.now()
    found = (
        ApiToken.objects.select_related("account")
        .filter(token_hash=_hashed(text), revoked_at=None, account__is_active=True)
        .first()
    )
    if found is None or (found.expires_at is not None and found.expires_at <= now):
        return None
    if found.last_used_at is None or now - found.last_used_at > _NOTED_AGAIN_AFTER:
        with writing():
            ApiToken.objects.filter(pk=found.pk).update(last_used_at=now)
    return found


def scopes_of(token: ApiToken) -> frozenset[Scope]:
    """What a key is for."""
    words = set(token.scopes.split())
    return frozenset(scope for scope in Scope if scope.value in words)


def _hashed(token: str) -> str:
    """A key is as random as its hash is long, so that no slow hash is needed."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()


def _error(allowed: str) -> InputError:
    return InputError(Fault(given="", allowed=allowed))
