"""Engine files and the shop file for other programs."""

from __future__ import annotations

from typing import Annotated

from django.http import HttpRequest
from ninja import Path, Router

from oilwedge.usecases.opening import engine_of_text
from oilwedge.web.api.answers import (
    EngineAnswer,
    EnginesAnswer,
    EngineText,
    Sentence,
    ShopAnswer,
)
from oilwedge.web.api.door import ByToken, RefusedError, account_of, job_of
from oilwedge.web.api.jobs import OF_JOB, REFUSALS, Number
from oilwedge.web.api.scopes import Scope
from oilwedge.web.record import models
from oilwedge.web.record.store import keep_engine

LIST_LENGTH = 500
router = Router(tags=["files"])
Digest = Annotated[
    str, Path(description="SHA-256 of the file, in hexadecimal", pattern="^[0-9a-f]{64}$")
]


def _answer(kept: models.EngineText, *, text: str | None) -> EngineAnswer:
    return EngineAnswer(name=kept.name, digest=kept.digest, first_seen=kept.first_seen, text=text)


@router.get(
    "/engines",
    auth=ByToken(Scope.ENGINES),
    response={200: EnginesAnswer, **REFUSALS},
    summary="The engine files that are offered",
    operation_id="list_engines",
)
def list_engines(request: HttpRequest) -> EnginesAnswer:
    """Answer them by name, without their texts."""
    del request
    kept = models.EngineText.objects.filter(on_list=True).order_by("name", "first_seen")
    return EnginesAnswer(engines=[_answer(one, text=None) for one in kept[:LIST_LENGTH]])


@router.get(
    "/engines/{digest}",
    auth=ByToken(Scope.ENGINES),
    response={200: EngineAnswer, 404: Sentence, **REFUSALS},
    summary="One engine file",
    operation_id="show_engine",
)
def show_engine(request: HttpRequest, digest: Digest) -> EngineAnswer:
    """Answer the file with its text."""
    del request
    kept = models.EngineText.objects.filter(digest=digest).first()
    if kept is None:
        raise RefusedError(404, "No engine file with this digest is kept.")
    return _answer(kept, text=kept.text)


@router.post(
    "/engines",
    auth=ByToken(Scope.ENGINES),
    response={200: EngineAnswer, **REFUSALS},
    summary="Keep an engine file",
    operation_id="keep_engine",
)
def add_engine(request: HttpRequest, sent: EngineText) -> EngineAnswer:
    """Check the file and keep it for new jobs; the same text is kept once."""
    del request
    engine = engine_of_text(sent.text, file="text")
    kept = keep_engine(name=engine.name, digest=engine.digest, text=sent.text)
    return _answer(kept, text=None)


@router.get(
    "/jobs/{number}/engine",
    auth=ByToken(Scope.READ),
    response={200: EngineAnswer, **OF_JOB},
    summary="The engine file of a job",
    operation_id="show_engine_of_job",
)
def show_engine_of_job(request: HttpRequest, number: Number) -> EngineAnswer:
    """Answer the file that holds for the job now."""
    job = job_of(account_of(request), number)
    return _answer(job.engine, text=job.engine.text)


@router.get(
    "/shop",
    auth=ByToken(Scope.SHELF),
    response={200: ShopAnswer, **REFUSALS},
    summary="The shop file",
    operation_id="show_shop",
)
def show_shop(request: HttpRequest) -> ShopAnswer:
    """Answer the revision in force: instruments, strips, stock."""
    del request
    newest = models.ShopRevision.objects.order_by("-number").first()
    if newest is None:
        return ShopAnswer(number=0, digest="", text="")
    return ShopAnswer(number=newest.number, digest=newest.digest, text=newest.text)
