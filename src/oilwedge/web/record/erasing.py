"""Take a person out of the record: the name goes everywhere, the chains stay whole.

The chain of a job holds a commitment to a name only (:mod:`oilwedge.job.personal`). Here the salt
and the text behind it go, and all that was made from the name: kept verdicts, parked entries,
sessions, invitations, tokens, login attempts. Each job's chain says that a name was erased.

What a person wrote into a free text (a note, a shop file) is not found here.
"""

from __future__ import annotations

from django.contrib.sessions.models import Session
from django.db.models import Q
from django.utils import timezone

from oilwedge.job.entry import Event, EventKind
from oilwedge.web.people.models import Account, ApiToken, Invitation
from oilwedge.web.record.models import Job, Parked, PersonalDatum, ShopRevision, StoredVerdict
from oilwedge.web.record.store import append_entries, new_id, says_faults, writing


@says_faults
def erase_account(account: Account) -> int:
    """Erase who an account belongs to, in one transaction; gives how many jobs had the name."""
    names = {account.full_name, account.username} - {""}
    with writing():
        data = list(PersonalDatum.objects.filter(account=account, erased_at=None))
        for datum in data:
            _erase(datum)
        Parked.objects.filter(author=account).update(author_name="")
        ShopRevision.objects.filter(person_name__in=names).update(person_name="")
        Invitation.objects.filter(Q(used_by=account) | Q(full_name__in=names)).update(full_name="")
        ApiToken.objects.filter(account=account).delete()
        _end_sessions(account)
        _forget_attempts(account)
        account.username, account.full_name = f"erased-{account.pk}", ""
        account.is_active, account.erased_at = False, timezone.now()
        account.set_unusable_password()
        account.save()
    return len({datum.job_id for datum in data})


@says_faults
def erase_owner(*, job: Job, person: str) -> None:
    """Erase the owner's name of one job; ``person`` is the commitment of who did it."""
    with writing():
        owners = job.personal.filter(kind=PersonalDatum.Kind.OWNER, erased_at=None)
        for datum in list(owners):
            _erase(datum, person=person)
    job.refresh_from_db()


def _erase(datum: PersonalDatum, *, person: str = "") -> None:
    now = timezone.now()
    event = Event(
        id=new_id(), kind=EventKind.ERASED, value=datum.commitment, person=person, time=now
    )
    append_entries(job=datum.job, entries=(event,))
    PersonalDatum.objects.filter(pk=datum.pk).update(salt="", text="", account=None, erased_at=now)
    StoredVerdict.objects.filter(job=datum.job_id).delete()  # computed again without the name


def _end_sessions(account: Account) -> None:
    for session in Session.objects.all().iterator():
        if session.get_decoded().get("_auth_user_id") == str(account.pk):
            session.delete()


def _forget_attempts(account: Account) -> None:
    from axes.models import AccessAttempt, AccessFailureLog, AccessLog

    for model in (AccessAttempt, AccessFailureLog, AccessLog):
        model.objects.filter(username__iexact=account.username).delete()
