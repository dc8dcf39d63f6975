"""Accounts are made here: the first lead's, the lone one's, and those that invitations bring."""

from __future__ import annotations

import re
import unicodedata

from django.contrib.auth.hashers import UNUSABLE_PASSWORD_PREFIX
from django.contrib.auth.password_validation import (
    UserAttributeSimilarityValidator,
    validate_password,
)
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from oilwedge.errors import Fault, InputError, Where
from oilwedge.web.people.models import Account, Role

LONE_USERNAME = "you"
LONE_FULL_NAME = "You"
LONGEST_USERNAME = 60
LONGEST_FULL_NAME = 120
LONGEST_PASSWORD = 256
_USERNAME = re.compile(r"[\w.@+-]+(?: [\w.@+-]+)*")


def has_lead() -> bool:
    """Whether somebody can log in who leads the shop.

    The lone account does not count: it has no password and comes in by the start token only.
    """
    leads = Account.objects.filter(role=Role.LEAD, is_active=True, erased_at=None)
    return leads.exclude(password__startswith=UNUSABLE_PASSWORD_PREFIX).exists()


def ensure_lone_lead() -> Account:
    """The account of whoever sits at the machine in the mode for one, made once."""
    account = Account.objects.filter(username=LONE_USERNAME).first()
    if account is not None:
        return account
    account = Account(username=LONE_USERNAME, full_name=LONE_FULL_NAME, role=Role.LEAD)
    account.set_unusable_password()
    account.save()
    return account


def create_account(*, username: str, full_name: str, role: Role, password: str) -> Account:
    """Make an account. ``full_name`` stands on sheets; left empty it is the login name.

    Raises :class:`InputError` with a fault for each thing that cannot be: a name that is taken
    or holds signs that nobody types again, a password that is too short or too common.
    """
    login = " ".join(unicodedata.normalize("NFKC", username).split())
    full = " ".join(full_name.split()) or login
    account = Account(username=login, full_name=full, role=role)
    faults = [*_name_faults(login, full), *_password_faults(password, account)]
    if faults:
        raise InputError(*faults)
    account.set_password(password)
    try:
        with transaction.atomic():
            account.save()
    except IntegrityError:
        raise InputError(_taken(login)) from None
    return account


def _name_faults(login: str, full: str) -> list[Fault]:
    if not _USERNAME.fullmatch(login) or len(login) > LONGEST_USERNAME:
        return [
            Fault(
                where=Where(column="name to log in with"),
                given=login[:LONGEST_USERNAME],
                allowed=f"letters, digits, blanks and . @ + - _, {LONGEST_USERNAME} at most",
            )
        ]
    if login.casefold() == LONE_USERNAME or Account.objects.filter(username__iexact=login).exists():
        return [_taken(login)]
    if len(full) > LONGEST_FULL_NAME or not full.isprintable():
        allowed = f"at most {LONGEST_FULL_NAME} letters in one line"
        return [Fault(where=Where(column="full name"), given=full[:20], allowed=allowed)]
    return []


def _password_faults(password: str, account: Account) -> list[Fault]:
    where = Where(column="password")
    if len(password) > LONGEST_PASSWORD:
        return [Fault(where=where, given="", allowed=f"at most {LONGEST_PASSWORD} letters")]
    try:
        validate_password(password, user=account)
        UserAttributeSimilarityValidator(("full_name",)).validate(password, user=account)
    except ValidationError as error:
        return [Fault(where=where, given="", allowed=sentence) for sentence in error.messages]
    return []


def _taken(login: str) -> Fault:
    return Fault(
        where=Where(column="name to log in with"),
        given=login,
        allowed="this name is taken",
        action="choose another one",
    )
