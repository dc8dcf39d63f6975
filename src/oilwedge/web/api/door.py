"""Who comes in by a token, and which jobs are there for them."""

from __future__ import annotations

from django.db.models import QuerySet
from django.http import HttpRequest
from ninja.security import HttpBearer

from oilwedge.errors import OilwedgeError
from oilwedge.web.api.scopes import Scope
from oilwedge.web.api.tokens import scopes_of, token_behind
from oilwedge.web.people.access import may, sees_job
from oilwedge.web.people.models import Account, ApiToken, Role
from oilwedge.web.record.models import Job


class RefusedError(OilwedgeError):
    """An answer other than what was asked for: its status and its sentence."""

    def __init__(self, status: int, sentence: str) -> None:
        """Keep both."""
        super().__init__(sentence)
        self.status = status


class ByToken(HttpBearer):
    """``Authorization: Bearer <token>`` with a token that is for this scope."""

    def __init__(self, scope: Scope) -> None:
        """Ask for a scope."""
        super().__init__()
        self.scope = scope

    def __call__(self, request: HttpRequest) -> ApiToken:
        """The token; RefusedError 401 where none holds, 403 where it may not do this."""
        kind, _, text = request.headers.get("Authorization", "").partition(" ")
        token = token_behind(text.strip()) if kind.lower() == "bearer" and text.strip() else None
        if token is None:
            raise RefusedError(
                401,
                "Send the header 'Authorization: Bearer ...' with a key that still holds; make one"
                " on the page of your account.",
            )
        return self.authenticate(request, token)

    def authenticate(self, request: HttpRequest, token: ApiToken) -> ApiToken:  # type: ignore[override]
        """Hold the scope of the token and the right of its account against what is asked."""
        del request
        if self.scope not in scopes_of(token):
            raise RefusedError(403, f"This key is not for this: it cannot {self.scope.words}.")
        if not may(token.account, self.scope.right):
            raise RefusedError(
                403, f"The account of this key may not {self.scope.right.value}. Ask a lead."
            )
        return token


def account_of(request: HttpRequest) -> Account:
    """The account that a request acts for."""
    token = getattr(request, "auth", None)
    if not isinstance(token, ApiToken):  # ByToken lets nobody else through
        raise RefusedError(401, "Send a key.")
    return token.account


def jobs_of(account: Account) -> QuerySet[Job]:
    """The jobs that are there for an account, what changed last first."""
    jobs = Job.objects.order_by("-changed_at", "-pk")
    if account.role == Role.PUPIL:
        return jobs.filter(pupil=account)
    if account.role == Role.VIEWER:
        return jobs.filter(task=None)
    return jobs


def job_of(account: Account, number: str) -> Job:
    """The job of a number; one that the account may not see is as one that is not there."""
    job = Job.objects.select_related("engine", "task").filter(number=_storable(number)).first()
    if job is None or not sees_job(account, job):
        raise RefusedError(404, "There is no such job.")
    return job


def _storable(text: str) -> str:
    """PostgreSQL refuses to look for the character 0, which no number holds."""
    return text.replace("\0", "")
