"""The job file: JSON lines that are only ever added to, synced to the disk before anything else.

The first line is the header, each other line one entry. A correction is a new entry. A line that
a power cut left half-written stays where it is; the next append marks it and goes on behind it.
"""

from __future__ import annotations

import contextlib
import os
import secrets
from collections.abc import Iterable
from pathlib import Path
from types import TracebackType
from typing import BinaryIO, Self

from oilwedge.errors import Fault, JobFileError, Where
from oilwedge.job.entry import Entry
from oilwedge.job.header import JobHeader, header_to_line
from oilwedge.job.lines import JobContents, contents_from_bytes, entry_to_line, torn_mark
from oilwedge.job.lock import try_to_lock
from oilwedge.job.record import Appended, append


def create_job(*, path: Path, header: JobHeader) -> None:
    """Make a new job file; raises :class:`JobFileError` if there is a file already.

    It is written beside its place under another name and then moved there, so that a file that
    is cut off never has the job's name.
    """
    draft = path.with_name(f".{path.name}.{secrets.token_hex(4)}.new")
    try:
        with draft.open("xb") as file:
            file.write((header_to_line(header) + "\n").encode())
            _sync(file)
        _move_to_free_name(draft, path)
        _sync_folder(path.parent)
    except FileExistsError:
        raise _error(path, "there is a file of this name already", "choose another name") from None
    except OSError as error:
        raise _cannot(path, "the job file cannot be made", error) from None
    finally:
        with contextlib.suppress(OSError):  # a folder without writing refuses this too
            draft.unlink(missing_ok=True)


def _move_to_free_name(draft: Path, path: Path) -> None:
    try:
        os.link(draft, path)  # fails when the name is taken, which a rename would not
    except FileExistsError:
        raise
    except OSError:  # a file system without links: take the name first, then put the file there
        path.open("xb").close()
        draft.replace(path)


def read_job(path: Path) -> JobContents:
    """Header, entries and torn lines of a job file; it may be read while another one writes."""
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        raise _error(path, "there is no such job file", "check the name") from None
    except OSError as error:
        raise _cannot(path, "the job file cannot be read", error) from None
    return contents_from_bytes(data, file=path.name)


class JobWriter:
    """A job file that is open for adding; a context manager that holds the lock.

    ``contents`` is what the file held when it was opened plus what was appended since.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file = _open_locked(path)
        try:
            self._file.seek(0)
            self.contents = contents_from_bytes(self._file.read(), file=path.name)
        except BaseException:
            self._file.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file and its lock."""
        self._file.close()

    def append(self, entries: Iterable[Entry]) -> Appended:
        """Add entries: checked against the record, written whole, flushed and synced.

        Entries that are there already are left out. When the disk refuses, the file is cut back
        to what it was and :class:`JobFileError` is raised.
        """
        outcome = append(self.contents.entries, entries)
        if outcome.added:
            text = "".join(entry_to_line(entry) for entry in outcome.added)
            self._write(self._mend() + text)
            self.contents = JobContents(
                header=self.contents.header, entries=outcome.entries, torn=self.contents.torn
            )
        return outcome

    def _mend(self) -> str:
        """What to write first, so that new lines do not hang on a torn one."""
        mend = "" if self.contents.ends_with_newline else "\n"
        if self.contents.unmarked_torn:
            mend += torn_mark(self.contents.unmarked_torn)
        return mend

    def _write(self, text: str) -> None:
        end = self._file.seek(0, os.SEEK_END)
        try:
            rest = memoryview(text.encode())
            while rest:  # an unbuffered file may take a part only
                rest = rest[self._file.write(rest) :]
            _sync(self._file)
        except OSError as error:
            self._file.truncate(end)
            raise _cannot(self._path, "nothing was added to the job file", error) from None


def append_to_job(*, path: Path, entries: Iterable[Entry]) -> Appended:
    """Open, add and close; see :meth:`JobWriter.append`."""
    with JobWriter(path) as writer:
        return writer.append(entries)


def _open_locked(path: Path) -> BinaryIO:
    try:
        file = path.open("r+b", buffering=0)
    except FileNotFoundError:
        raise _error(path, "there is no such job file", "check the name") from None
    except OSError as error:
        raise _cannot(path, "the job file cannot be opened for writing", error) from None
    if not try_to_lock(file):
        file.close()
        raise _error(
            path,
            "another oilwedge is writing to this job file",
            "finish there first, then start again here",
        )
    return file


def _sync(file: BinaryIO) -> None:
    file.flush()
    os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    """Make the new name itself survive a power cut, where the system can."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)


def _error(path: Path, allowed: str, action: str) -> JobFileError:
    return JobFileError(
        Fault(where=Where(file=path.name), given="", allowed=allowed, action=action)
    )


def _cannot(path: Path, what: str, error: OSError) -> JobFileError:
    return _error(path, f"{what} ({error.strerror or error})", "check the disk and your rights")
