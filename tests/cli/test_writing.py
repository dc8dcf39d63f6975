"""Files that are written whole or not at all."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from oilwedge.cli.writing import write_file
from oilwedge.errors import InputError
from oilwedge.job.file import create_job
from oilwedge.job.header import JobHeader


def refuse(*_: object, **__: object) -> None:
    raise OSError(errno.EROFS, os.strerror(errno.EROFS))


@pytest.fixture
def read_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk that refuses to write and to delete, what is not there included."""
    for name in ("open", "write_bytes", "unlink"):
        monkeypatch.setattr(Path, name, refuse)


@pytest.mark.usefixtures("read_only")
def test_a_read_only_folder_is_told_by_the_name_that_was_asked_for(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"sheet\.pdf: this file cannot be written"):
        write_file(tmp_path / "sheet.pdf", b"x")
    with pytest.raises(InputError, match=r"bench\.job: the job file cannot be made"):
        create_job(path=tmp_path / "bench.job", header=JobHeader(number="1"))
