"""What a job is when it travels: its record, engine files, photos and, if wanted, its names."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from oilwedge.job.entry import Entry, EventKind
from oilwedge.job.header import JobHeader
from oilwedge.job.record import digest_text, events, head

__all__ = [
    "ArchiveLimits",
    "ArchivedPhoto",
    "JobArchive",
    "PersonalText",
    "PhotoFormat",
    "WhoseName",
]

_MB = 1_000_000


class PhotoFormat(Enum):
    """How a picture is written; the value is the end of its file's name."""

    JPEG = "jpg"
    PNG = "png"
    WEBP = "webp"

    @property
    def media_type(self) -> str:
        """The name that web and mail have for it."""
        return f"image/{self.name.lower()}"

    @classmethod
    def of(cls, data: bytes) -> PhotoFormat | None:
        """The format that the first bytes tell (the formats' own signatures); None: no picture."""
        if data.startswith(b"\xff\xd8\xff"):
            return cls.JPEG
        if data.startswith(b"\x89PNG\r\n\x1a\n"):
            return cls.PNG
        if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
            return cls.WEBP
        return None


@dataclass(frozen=True, kw_only=True, slots=True)
class ArchivedPhoto:
    """A picture of the job: its bytes, and their SHA-256 by which a PHOTO event names it."""

    sha256: str
    format: PhotoFormat
    data: bytes


class WhoseName(Enum):
    """Whose name a commitment stands for."""

    PERSON = "person"
    OWNER = "owner"


@dataclass(frozen=True, kw_only=True, slots=True)
class PersonalText:
    """What a commitment stands for; salt and text are empty once they were erased."""

    commitment: str
    salt: str
    text: str
    kind: WhoseName


@dataclass(frozen=True, kw_only=True, slots=True)
class JobArchive:
    """One job, whole. ``header.engine_digest`` is the engine file that it began with.

    ``engine_texts`` are all revisions of the engine file that header and ENGINE events name.
    ``personal`` is empty when names stay at home. ``oilwedge_version`` is what wrote the archive.
    """

    header: JobHeader
    entries: tuple[Entry, ...]
    engine_texts: tuple[str, ...]
    title: str = ""
    photos: tuple[ArchivedPhoto, ...] = ()
    personal: tuple[PersonalText, ...] = ()
    sheet_pdf: bytes | None = None
    oilwedge_version: str = ""

    @property
    def count(self) -> int:
        """How many entries the record has."""
        return len(self.entries)

    @property
    def head(self) -> str:
        """The head of the record."""
        return head(self.entries)

    @property
    def engine_text(self) -> str:
        """The engine file in force: that of the last ENGINE event, else the first one."""
        digests = [self.header.engine_digest, *_values(self.entries, EventKind.ENGINE)]
        texts = {digest_text(text): text for text in self.engine_texts}
        return texts[digests[-1]]

    @property
    def named_engines(self) -> frozenset[str]:
        """Digests of the engine files that header and entries name."""
        named = {self.header.engine_digest, *_values(self.entries, EventKind.ENGINE)}
        return frozenset(named - {""})

    @property
    def named_photos(self) -> frozenset[str]:
        """SHA-256 of the pictures that entries name; some may be lost and so not in the archive."""
        return frozenset(_values(self.entries, EventKind.PHOTO))


def _values(entries: Iterable[Entry], kind: EventKind) -> list[str]:
    return [event.value for event in events(entries) if event.kind is kind]


@dataclass(frozen=True, kw_only=True, slots=True)
class ArchiveLimits:
    """How much an archive may hold before it is refused; sizes in bytes, texts in characters.

    ``ratio`` bounds how far a file over a megabyte may shrink when zipped: entries shrink to a
    tenth, bombs to a thousandth.
    """

    packed: int = 300 * _MB
    unpacked: int = 400 * _MB
    one_file: int = 60 * _MB
    files: int = 2_000
    ratio: int = 100
    entries: int = 100_000
    id_length: int = 80
    number_length: int = 40
    title_length: int = 120
    name_length: int = 300
