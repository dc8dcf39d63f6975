"""Who sits at which bench: links for those without a pupil, pupils who used one, repeats."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.db.models import QuerySet

from oilwedge.errors import Fault, InputError
from oilwedge.web.classroom.models import Seat
from oilwedge.web.people.models import Account, Invitation, Role
from oilwedge.web.people_pages.inviting import make_invitation, token_hash
from oilwedge.web.record.models import ClassTask, Job
from oilwedge.web.record.store import says_faults, writing


@dataclass(frozen=True, kw_only=True, slots=True)
class SeatLink:
    """A link that works once and brings whoever uses it to one bench."""

    job: Job
    token: str


def waiting_benches(task: ClassTask) -> list[Job]:
    """Open benches without a pupil, in order."""
    jobs = Job.objects.filter(task=task, pupil=None, is_reference=False, closed=False)
    return list(jobs.order_by("serial"))


@says_faults
def make_links(task: ClassTask, *, by: Account, now: datetime.datetime) -> tuple[SeatLink, ...]:
    """A link for each bench without a pupil; links that were made for it before end with this."""
    links = []
    with writing():
        for job in waiting_benches(task):
            seat, _ = Seat.objects.get_or_create(job=job)
            _withdraw(seat)
            token = make_invitation(role=Role.PUPIL, full_name="", by=by, now=now)
            seat.invitation_hash = token_hash(token)
            seat.save(update_fields=["invitation_hash"])
            links.append(SeatLink(job=job, token=token))
    return tuple(links)


def _withdraw(seat: Seat) -> None:
    if seat.invitation_hash:
        Invitation.objects.filter(token_hash=seat.invitation_hash, used_at=None).delete()


def withdraw_links(task: ClassTask) -> None:
    """Take back every link of a class that nobody used."""
    hashes = Seat.objects.filter(job__task=task).exclude(invitation_hash="")
    waiting = list(hashes.values_list("invitation_hash", flat=True))
    Invitation.objects.filter(token_hash__in=waiting, used_at=None).delete()


def linked(task: ClassTask, *, now: datetime.datetime) -> frozenset[int]:
    """The benches (keys of their jobs) for which a link is under way."""
    seats = Seat.objects.filter(job__task=task, job__pupil=None).exclude(invitation_hash="")
    by_hash = dict(seats.values_list("invitation_hash", "job_id"))
    works = Invitation.objects.filter(token_hash__in=by_hash, used_at=None, expires_at__gt=now)
    return frozenset(by_hash[one] for one in works.values_list("token_hash", flat=True))


@says_faults
def take_seats(account: Account) -> None:
    """Give a pupil who came by a link the bench that the link was for."""
    if account.role != Role.PUPIL:
        return
    used = Invitation.objects.filter(used_by=account).values_list("token_hash", flat=True)
    seats = Seat.objects.filter(invitation_hash__in=list(used), job__pupil=None)
    keys = list(seats.values_list("job_id", flat=True))
    if keys:
        with writing():
            Job.objects.filter(pk__in=keys, pupil=None).update(pupil=account)


@says_faults
def assign(job: Job, *, pupil: int) -> Account:
    """Give a bench without a pupil to one; the link for it ends."""
    account = pupil_account(pupil)
    with writing():
        given = Job.objects.filter(pk=job.pk, pupil=None, is_reference=False).update(pupil=account)
        if not given:
            allowed = "this bench has a pupil already"
            raise InputError(Fault(given="", allowed=allowed, action="look at the class again"))
        for seat in Seat.objects.filter(job=job):
            _withdraw(seat)
    return account


def pupil_account(key: int) -> Account:
    """A pupil by key; InputError where there is none who can log in."""
    account = pupils().filter(pk=key).first()
    if account is None:
        allowed = "there is no such pupil in the shop"
        raise InputError(Fault(given="", allowed=allowed, action="choose one of the list"))
    return account


def pupils() -> QuerySet[Account]:
    """Everybody who can be given a bench."""
    return Account.objects.filter(role=Role.PUPIL, is_active=True, erased_at=None)
