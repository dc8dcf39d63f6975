"""Opening a job, and making one."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from oilwedge.engine.model import Engine
from oilwedge.errors import JobFileError
from oilwedge.job.file import JobWriter, create_job, read_job
from oilwedge.job.header import JobHeader
from oilwedge.usecases.job_files import open_job

NOW = datetime.datetime(2026, 1, 2, 9, tzinfo=datetime.UTC)


def test_a_job_that_is_not_there_is_made_with_the_name_of_its_file(
    tmp_path: Path, engine: Engine
) -> None:
    with open_job(tmp_path / "kite 7.job", engine=engine, now=NOW):
        pass
    header = read_job(tmp_path / "kite 7.job").header
    assert (header.number, header.engine_name, header.created) == ("kite 7", engine.name, NOW)


def test_a_job_of_another_engine_is_refused_and_let_go_of(tmp_path: Path, engine: Engine) -> None:
    path = tmp_path / "other.job"
    create_job(path=path, header=JobHeader(number="1", engine_name="Another (invented)"))
    with pytest.raises(JobFileError, match="begun for the engine 'Another"):
        open_job(path, engine=engine, now=NOW)
    with JobWriter(path):  # nobody holds it any more
        pass
