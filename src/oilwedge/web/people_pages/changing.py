"""What a lead changes in an account. Somebody who leads the shop is always left."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.utils import timezone

from oilwedge.errors import Fault, InputError
from oilwedge.web.people.accounts import LONE_USERNAME, has_lead
from oilwedge.web.people.models import Account, ApiToken, Invitation, Role
from oilwedge.web.people_pages.entering import end_sessions
from oilwedge.web.people_pages.inviting import withdraw_links_to
from oilwedge.web.record.erasing import erase_account
from oilwedge.web.record.store import says_faults, writing


class LastLeadError(InputError):
    """The change would leave nobody who leads the shop."""


class LoneAccountError(InputError):
    """The account of whoever sits at the machine is not anybody's to change."""


@says_faults
def change_role(account: Account, *, role: Role) -> None:
    """Give somebody another role. Invitations of who led the shop end with that."""
    with _a_lead_is_left(account):
        account.role = role
        account.save(update_fields=["role"])
        if role is not Role.LEAD:
            _withdraw_links_by(account)


@says_faults
def switch_off(account: Account) -> None:
    """Let somebody in no more: sessions, tokens and links end; the account can come back."""
    with _a_lead_is_left(account):
        account.is_active = False
        account.save(update_fields=["is_active"])
        _end_all_keys(account)


@says_faults
def switch_on(account: Account) -> None:
    """Let somebody in again, with the password there was. Who was erased stays so."""
    if account.erased_at is None:
        account.is_active = True
        account.save(update_fields=["is_active"])


@says_faults
def erase(account: Account) -> int:
    """Take somebody's name out of the shop for ever; gives how many jobs had it."""
    with _a_lead_is_left(account):
        _end_all_keys(account)
        return erase_account(account)


def _end_all_keys(account: Account) -> None:
    end_sessions(account)
    withdraw_links_to(account)
    _withdraw_links_by(account)
    ApiToken.objects.filter(account=account, revoked_at=None).update(revoked_at=timezone.now())


def _withdraw_links_by(account: Account) -> None:
    Invitation.objects.filter(made_by=account, used_at=None).delete()


@contextmanager
def _a_lead_is_left(account: Account) -> Iterator[None]:
    """One transaction, taken back where it would leave the shop without a lead."""
    if account.username == LONE_USERNAME:
        raise LoneAccountError(
            Fault(
                given="",
                allowed="this is the account of whoever sits at the shop's machine; it stays",
            )
        )
    with writing():
        # Held until the end, so that two leads cannot each remove the other at one moment.
        list(Account.objects.select_for_update().filter(role=Role.LEAD).values_list("pk"))
        led = has_lead()
        yield
        if led and not has_lead():
            raise LastLeadError(
                Fault(
                    given="",
                    allowed=f"{account.get_full_name()} is the only lead of the shop",
                    action="make somebody else a lead first",
                )
            )
