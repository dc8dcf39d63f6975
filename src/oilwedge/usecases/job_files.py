"""Open a job file, and make it where there is none yet."""

from __future__ import annotations

import datetime
from pathlib import Path

from oilwedge.engine.model import Engine
from oilwedge.errors import JobFileError
from oilwedge.job.file import JobWriter, create_job
from oilwedge.job.header import JobHeader, check_engine


def open_job(path: Path, *, engine: Engine, now: datetime.datetime) -> JobWriter:
    """Open a job for writing; a new one gets its number from the name of the file.

    Raises :class:`JobFileError` for a job that was begun for another engine.
    """
    if not path.exists():
        header = JobHeader(
            number=path.stem,
            engine_name=engine.name,
            engine_digest=engine.digest,
            created=now.astimezone(datetime.UTC).replace(microsecond=0),
        )
        create_job(path=path, header=header)
    writer = JobWriter(path)
    try:
        check_engine(writer.contents.header, engine_name=engine.name, file=path.name)
    except JobFileError:
        writer.close()
        raise
    return writer
