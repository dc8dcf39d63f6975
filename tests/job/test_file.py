import datetime
import errno
import os
from pathlib import Path

import pytest

from oilwedge.errors import JobFileError
from oilwedge.job.entry import Entry
from oilwedge.job.file import JobWriter, append_to_job, create_job, read_job
from oilwedge.job.header import JobHeader

HEADER = JobHeader(
    number="J-12",
    engine_name="Bench four",
    engine_digest="ab" * 32,
    created=datetime.datetime(2026, 3, 1, tzinfo=datetime.UTC),
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    file = tmp_path / "bench.job"
    create_job(path=file, header=HEADER)
    return file


def test_a_new_job_holds_its_header_and_nothing_else_lies_about(path: Path) -> None:
    contents = read_job(path)
    assert contents.header == HEADER
    assert contents.entries == ()
    assert [file.name for file in path.parent.iterdir()] == ["bench.job"]


def test_making_a_job_never_overwrites(path: Path) -> None:
    before = path.read_bytes()
    with pytest.raises(JobFileError, match=r"bench\.job: there is a file of this name already"):
        create_job(path=path, header=JobHeader(number="other"))
    assert path.read_bytes() == before
    assert [file.name for file in path.parent.iterdir()] == ["bench.job"]


def test_a_folder_that_is_not_there_gets_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(JobFileError, match="cannot be made"):
        create_job(path=tmp_path / "no" / "bench.job", header=HEADER)


def test_without_links_the_job_is_made_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    file = tmp_path / "bench.job"
    create_job(path=file, header=HEADER)
    assert read_job(file).header == HEADER
    with pytest.raises(JobFileError, match="already"):
        create_job(path=file, header=HEADER)


def test_what_was_appended_is_read_back(path: Path, entries: tuple[Entry, ...]) -> None:
    append_to_job(path=path, entries=entries[:2])
    append_to_job(path=path, entries=entries[1:])
    assert read_job(path).entries == entries
    assert len(path.read_text(encoding="utf-8").splitlines()) == 1 + len(entries)


def test_two_writers_are_refused_in_one_sentence(path: Path) -> None:
    with JobWriter(path), pytest.raises(JobFileError, match="another oilwedge is writing"):
        JobWriter(path)
    JobWriter(path).__exit__(None, None, None)


@pytest.mark.parametrize("keep", range(1, 40, 7))
def test_a_torn_last_line_is_named_and_mended_without_loss(
    path: Path, entries: tuple[Entry, ...], keep: int
) -> None:
    append_to_job(path=path, entries=entries[:2])
    whole = path.read_bytes()
    append_to_job(path=path, entries=entries[2:3])
    path.write_bytes(path.read_bytes()[: len(whole) + keep])
    torn = path.read_bytes()

    contents = read_job(path)
    assert contents.entries == entries[:2]
    assert [line.line for line in contents.torn] == [4]

    append_to_job(path=path, entries=entries[2:])
    assert path.read_bytes().startswith(torn)
    assert read_job(path).entries == entries
    assert [line.line for line in read_job(path).torn] == [4]
    append_to_job(path=path, entries=[])
    assert read_job(path).entries == entries


def test_a_power_cut_at_any_byte_loses_only_what_was_being_written(
    path: Path, entries: tuple[Entry, ...]
) -> None:
    start = len(path.read_bytes())
    append_to_job(path=path, entries=entries)
    whole = path.read_bytes()
    for cut in range(start, len(whole)):
        path.write_bytes(whole[:cut])
        kept = read_job(path).entries
        assert kept == entries[: len(kept)]
        assert len(kept) >= whole[:cut].count(b"\n") - 1
        append_to_job(path=path, entries=entries)
        mended = path.read_bytes()
        assert read_job(path).entries == entries
        for second in range(cut, len(mended), 17):  # and cut again while mending
            path.write_bytes(mended[:second])
            append_to_job(path=path, entries=entries)
            assert read_job(path).entries == entries


def test_a_last_line_that_only_lacks_its_end_is_kept(
    path: Path, entries: tuple[Entry, ...]
) -> None:
    append_to_job(path=path, entries=entries[:1])
    path.write_bytes(path.read_bytes().rstrip(b"\n"))
    assert read_job(path).entries == entries[:1]
    assert read_job(path).torn == ()
    append_to_job(path=path, entries=entries[1:])
    assert read_job(path).entries == entries


def test_a_line_damaged_in_the_middle_is_an_error(path: Path, entries: tuple[Entry, ...]) -> None:
    append_to_job(path=path, entries=entries)
    lines = path.read_bytes().split(b"\n")
    lines[2] = lines[2][:30]
    path.write_bytes(b"\n".join(lines))
    with pytest.raises(JobFileError, match=r"bench\.job, line 3: .* damaged"):
        read_job(path)


def test_a_full_disk_leaves_the_file_as_it_was(
    path: Path, entries: tuple[Entry, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    append_to_job(path=path, entries=entries[:1])
    before = path.read_bytes()

    def refuse(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", refuse)
        with pytest.raises(JobFileError, match=r"nothing was added .*No space left"):
            append_to_job(path=path, entries=entries[1:])
    assert path.read_bytes() == before


def test_every_append_is_synced(
    path: Path, entries: tuple[Entry, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[int] = []
    real = os.fsync

    def watch(handle: int) -> None:
        synced.append(handle)
        real(handle)

    monkeypatch.setattr(os, "fsync", watch)
    with JobWriter(path) as writer:
        for entry in entries:
            writer.append([entry])
    assert len(synced) == len(entries)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "the job file is empty"),
        (b"\n\n", "the job file is empty"),
        (b"feature,number\n", "a job file starts with a line"),
        (b'{"oilwedge_job": 7}\n', "reads job files of format 1"),
        (b'{"oilwedge_job": 1}\n[1]\n', "line 2: given '[1]'"),
    ],
)
def test_what_is_no_job_file_gets_one_sentence(tmp_path: Path, data: bytes, words: str) -> None:
    file = tmp_path / "x.job"
    file.write_bytes(data)
    with pytest.raises(JobFileError) as caught:
        read_job(file)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_job_file_that_is_not_there_gets_one_sentence(tmp_path: Path) -> None:
    for use in (read_job, JobWriter):
        with pytest.raises(JobFileError, match="there is no such job file"):
            use(tmp_path / "none.job")


def test_the_same_id_with_other_content_in_one_file_names_both(
    path: Path, entries: tuple[Entry, ...]
) -> None:
    append_to_job(path=path, entries=entries)
    line = path.read_text(encoding="utf-8").splitlines()[2].replace("0.047972", "0.047973")
    with path.open("a", encoding="utf-8") as file:
        file.write(line + "\n")
    with pytest.raises(JobFileError, match=r"line 6: .*this id stands for"):
        read_job(path)
