"""Links that work once: to make an account, or to set a new password for one."""

from __future__ import annotations

import datetime
import hashlib
import secrets
from enum import Enum

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from oilwedge.errors import Fault, InputError, OilwedgeError, Where
from oilwedge.web.people.accounts import create_account
from oilwedge.web.people.models import Account, Invitation, Role
from oilwedge.web.people_pages.entering import end_sessions
from oilwedge.web.record.store import says_faults, writing

INVITATION_LIFE = datetime.timedelta(days=7)
TOKEN_BYTES = 32


class Standing(Enum):
    """Whether a link still works; the value says it to whoever opened it."""

    OPEN = ""
    USED = "This link was used already. It works once."
    OVER = "This link is over: it works for seven days, or until it is taken back."


class LinkOverError(OilwedgeError):
    """Somebody else was quicker, or the link ran out while its form was open."""


def token_hash(token: str) -> str:
    """What is kept of a token. It is long and random, so its plain hash tells nothing of it."""
    return hashlib.sha256(token.encode()).hexdigest()


def _new_link(
    *, role: str, full_name: str, by: Account, now: datetime.datetime, account: Account | None
) -> str:
    token = secrets.token_urlsafe(TOKEN_BYTES)
    Invitation.objects.create(
        token_hash=token_hash(token),
        role=role,
        full_name=full_name,
        made_by=by,
        expires_at=now + INVITATION_LIFE,
        used_by=account,
    )
    return token


@says_faults
def make_invitation(*, role: Role, full_name: str, by: Account, now: datetime.datetime) -> str:
    """The token of a new invitation; it is told once and kept as its hash only."""
    with writing():
        return _new_link(role=role, full_name=full_name, by=by, now=now, account=None)


@says_faults
def make_password_link(account: Account, *, by: Account, now: datetime.datetime) -> str:
    """The token of a link that sets a new password; links made before for it end with this."""
    with writing():
        withdraw_links_to(account)
        return _new_link(role=account.role, full_name="", by=by, now=now, account=account)


def open_links(*, now: datetime.datetime) -> QuerySet[Invitation]:
    """The links that still work, the newest first."""
    links = Invitation.objects.filter(used_at=None, expires_at__gt=now)
    return links.select_related("made_by", "used_by").order_by("-made_at")


def withdraw_links_to(account: Account) -> None:
    """Let no link set a password for an account any more."""
    Invitation.objects.filter(used_by=account, used_at=None).delete()


def find_link(token: str, *, now: datetime.datetime) -> tuple[Invitation | None, Standing]:
    """What a token stands for, and whether it still works. Looking does not use it up."""
    link = Invitation.objects.select_related("used_by").filter(token_hash=token_hash(token)).first()
    if link is None or link.expires_at <= now:
        used = link is not None and link.used_at is not None
        return None, Standing.USED if used else Standing.OVER
    return (link, Standing.OPEN) if link.used_at is None else (None, Standing.USED)


@says_faults
def accept_invitation(
    token: str, *, username: str, full_name: str, password: str, now: datetime.datetime
) -> Account:
    """Make the account of an invitation and use its link up, both or neither.

    Raises :class:`LinkOverError`, or :class:`InputError` for a name or password that cannot be.
    """
    with writing():
        link = _use_up(token, now=now)
        if link.used_by_id is not None:
            raise LinkOverError
        account = create_account(
            username=username, full_name=full_name, role=Role(link.role), password=password
        )
        Invitation.objects.filter(pk=link.pk).update(used_by=account)
    return account


@says_faults
def accept_new_password(token: str, *, password: str, now: datetime.datetime) -> Account:
    """Set the password that a link was made for; every session of the account ends.

    Raises :class:`LinkOverError`, or :class:`InputError` for a password that cannot be.
    """
    with writing():
        account = _use_up(token, now=now).used_by
        if account is None or not account.is_active:
            raise LinkOverError
        try:
            validate_password(password, user=account)
        except ValidationError as error:
            where = Where(column="password")
            raise InputError(
                *(Fault(where=where, given="", allowed=words) for words in error.messages)
            ) from None
        account.set_password(password)
        account.save(update_fields=["password"])
        end_sessions(account)
    return account


def _use_up(token: str, *, now: datetime.datetime) -> Invitation:
    """Mark a link as used; of two at the same moment the second finds nothing."""
    found = Invitation.objects.filter(
        token_hash=token_hash(token), used_at=None, expires_at__gt=now
    )
    if found.update(used_at=now) != 1:
        raise LinkOverError
    return Invitation.objects.select_related("used_by").get(token_hash=token_hash(token))
