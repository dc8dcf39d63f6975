"""What the interface answers, as it stands in its description."""

from __future__ import annotations

import datetime
from typing import Any

from ninja import Field, Schema


class Sentence(Schema):
    """Why something was not done."""

    sentence: str = Field(description="what was given, what is allowed, what to do")


class JobAnswer(Schema):
    """A job in short."""

    number: str
    title: str
    engine: str = Field(description="name of the engine")
    engine_digest: str = Field(description="SHA-256 of the engine file that holds")
    opened_at: datetime.datetime
    changed_at: datetime.datetime
    closed: bool
    classwork: bool = Field(description="whether it is a bench of a class")
    count: int = Field(description="how many entries the record has")
    head: str = Field(description="head of the record's chain")


class JobsAnswer(Schema):
    """One page of jobs, what changed last first."""

    jobs: list[JobAnswer]
    page: int
    pages: int
    total: int


class EntryAnswer(Schema):
    """An entry with its place in the chain."""

    sequence: int
    received_at: datetime.datetime
    head: str = Field(description="head of the chain after this entry")
    entry: dict[str, Any] = Field(description="the entry, as docs/formats/job-file.md says")


class EntriesAnswer(Schema):
    """Entries of a job in order; ``people`` says who is behind a commitment."""

    entries: list[EntryAnswer]
    count: int
    head: str
    people: dict[str, str]


class Sent(Schema):
    """Entries as the measuring page sends them."""

    device_now: datetime.datetime = Field(description="time on the sender's clock, with its zone")
    entries: list[dict[str, Any]] = Field(description="docs/formats/api.md has the fields")


class OutcomeAnswer(Schema):
    """What became of one entry."""

    id: str
    outcome: str = Field(
        description="stored, already there, ask back (send it confirmed), parked, refused"
    )
    sentence: str


class SettledAnswer(Schema):
    """What became of each entry, and the record after it."""

    outcomes: list[OutcomeAnswer]
    count: int
    head: str


class EngineAnswer(Schema):
    """An engine file that is kept."""

    name: str
    digest: str
    first_seen: datetime.datetime
    text: str | None = Field(default=None, description="the file itself; left out in lists")


class EnginesAnswer(Schema):
    """The engine files that are offered for new jobs."""

    engines: list[EngineAnswer]


class EngineText(Schema):
    """An engine file to keep."""

    text: str = Field(max_length=1_000_000)


class ShopAnswer(Schema):
    """The shop file in force; number 0 and no text before there is one."""

    number: int
    digest: str
    text: str
