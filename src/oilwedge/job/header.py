"""The first line of a job file: which job this is and which engine it belongs to."""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass

from oilwedge.errors import Fault, JobFileError, Where

FORMAT = 1
KEY = "oilwedge_job"


@dataclass(frozen=True, kw_only=True, slots=True)
class JobHeader:
    """Number of the job, the engine's name and the digest of the engine file it began with."""

    number: str
    engine_name: str = ""
    engine_digest: str = ""
    created: datetime.datetime | None = None


def header_to_line(header: JobHeader) -> str:
    """The header as one line of JSON, without the line end."""
    document: dict[str, object] = {KEY: FORMAT, "number": header.number}
    if header.engine_name:
        document["engine"] = header.engine_name
    if header.engine_digest:
        document["engine_digest"] = header.engine_digest
    if header.created is not None:
        document["created"] = header.created.isoformat()
    return json.dumps(document, ensure_ascii=False)


def header_from_line(line: bytes) -> JobHeader:
    """The header that a line stands for; raises :class:`JobFileError` if it is none."""
    try:
        document = json.loads(line.decode("utf-8-sig"))
    except (UnicodeDecodeError, ValueError, RecursionError):
        document = None
    if not isinstance(document, dict) or KEY not in document:
        raise JobFileError(
            Fault(
                given=line[:40].decode("utf-8", "replace").strip(),
                allowed=f'a job file starts with a line {{"{KEY}": {FORMAT}, ...}}',
                action="name another file; oilwedge makes a new job file by itself",
            )
        )
    version = document[KEY]
    if version != FORMAT:
        raise JobFileError(
            Fault(
                given=f"{KEY} {version}",
                allowed=f"this oilwedge reads job files of format {FORMAT}",
                action="take a newer oilwedge",
            )
        )
    return JobHeader(
        number=str(document.get("number", "")),
        engine_name=str(document.get("engine", "")),
        engine_digest=str(document.get("engine_digest", "")),
        created=_time(document.get("created")),
    )


def check_engine(header: JobHeader, *, engine_name: str, file: str) -> None:
    """Raise :class:`JobFileError` when the job was begun for an engine of another name."""
    if header.engine_name and header.engine_name != engine_name:
        raise JobFileError(
            Fault(
                where=Where(file=file),
                given=engine_name,
                allowed=f"this job was begun for the engine '{header.engine_name}'",
                action="give that engine file, or another job file",
            )
        )


def is_job(start: bytes) -> bool:
    """Whether a file that starts like this is meant to be a job file."""
    return start.lstrip(b"\xef\xbb\xbf \t")[:64].replace(b" ", b"").startswith(b'{"oilwedge_job"')


def _time(text: object) -> datetime.datetime | None:
    try:
        return datetime.datetime.fromisoformat(str(text)) if text else None
    except ValueError:
        return None
