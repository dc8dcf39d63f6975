"""One job as a file for others: a zip with all of it, or its readings as a table."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from decimal import Decimal, InvalidOperation
from enum import Enum

from django.utils import timezone

from oilwedge import __version__
from oilwedge.errors import Fault, UnknownNameError
from oilwedge.job.archive import ArchivedPhoto, JobArchive, PersonalText, PhotoFormat, WhoseName
from oilwedge.job.entry import Event, EventKind
from oilwedge.job.exchange import write_archive
from oilwedge.job.header import JobHeader
from oilwedge.report.document import Paper
from oilwedge.report.pdf import render_pdf
from oilwedge.usecases.build_sheet import build_sheet
from oilwedge.usecases.importing.imported import safe_cell
from oilwedge.usecases.judging import judge
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.opening import with_people
from oilwedge.usecases.readings_table import HEADER, table_rows
from oilwedge.usecases.trade_words import in_trade_words
from oilwedge.web.record.judged import current_shop, engine_of
from oilwedge.web.record.known_heads import EXPORTED, remember_head
from oilwedge.web.record.models import EngineText, Job
from oilwedge.web.record.photo_files import photo_path
from oilwedge.web.record.store import entries_of, people_of, says_faults

LEFT_OUT = "(name left out)"


class NamesIn(Enum):
    """Where the names of people stay: they go along, or they stay in the shop."""

    ARCHIVE = "archive"
    SHOP = "shop"


@says_faults
def export_job(job: Job, *, names: NamesIn) -> bytes:
    """The zip of a job, which docs/formats/job-archive.md describes; its head is remembered."""
    entries = entries_of(job)
    archive = JobArchive(
        header=JobHeader(
            number=job.number,
            engine_name=job.engine_name,
            engine_digest=_first_engine(job),
            created=job.opened_at,
        ),
        title=job.title,
        oilwedge_version=__version__,
        entries=entries,
        engine_texts=_engine_texts(job),
        photos=_photos(job),
        personal=_personal(job) if names is NamesIn.ARCHIVE else (),
        sheet_pdf=_sheet(job, people=_people(job, names=names)),
    )
    data = write_archive(archive)
    remember_head(job, reason=EXPORTED)
    return data


def export_by_number(number: str, *, names: NamesIn) -> bytes:
    """The same, of the job with a number; UnknownNameError when there is none."""
    job = Job.objects.select_related("engine").filter(number=number).first()
    if job is None:
        raise UnknownNameError(Fault(given=number, allowed="there is no job of this number"))
    return export_job(job, names=names)


def export_csv(job: Job, *, names: NamesIn) -> bytes:
    """The readings as CSV, which ``oilwedge import`` reads; no cell is taken for a formula."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(HEADER)
    for row in _rows(job, names=names):
        writer.writerow([safe_cell(cell) for cell in row])
    remember_head(job, reason=EXPORTED)
    return text.getvalue().encode("utf-8-sig")  # so that a spreadsheet takes it for UTF-8


def export_xlsx(job: Job, *, names: NamesIn) -> bytes:
    """The same as a spreadsheet: plain values as numbers, all else as text."""
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell

    book = Workbook(write_only=True)
    sheet = book.create_sheet("readings")
    sheet.freeze_panes = "A2"
    sheet.append(list(HEADER))
    value_at = HEADER.index("value")
    for row in _rows(job, names=names):
        cells = []
        for at, text in enumerate(row):
            number = _plain_number(text) if at == value_at and not row[0] else None
            cell = WriteOnlyCell(sheet, value=safe_cell(text) if number is None else number)
            if number is not None:
                cell.number_format = _digits(text)
            else:
                cell.data_type = "s"
            cells.append(cell)
        sheet.append(cells)
    data = io.BytesIO()
    book.save(data)
    remember_head(job, reason=EXPORTED)
    return data.getvalue()


def _rows(job: Job, *, names: NamesIn) -> Sequence[tuple[str, ...]]:
    people = _people(job, names=names)
    return table_rows(entries_of(job), shop=current_shop(), people=people)


def _plain_number(text: str) -> float | None:
    """A number as it stands; "+0.012" is none, for its sign says that it is a deviation."""
    try:
        return float(Decimal(text)) if text[:1].isdigit() else None
    except InvalidOperation:
        return None


def _digits(text: str) -> str:
    """Show as many digits as were typed: a zero at the end was read too."""
    _, point, rest = text.partition(".")
    return "0" + (point + "0" * len(rest) if rest else "")


def _people(job: Job, *, names: NamesIn) -> Mapping[str, str]:
    people = people_of(job)
    return people if names is NamesIn.ARCHIVE else dict.fromkeys(people, LEFT_OUT)


def _first_engine(job: Job) -> str:
    for entry in entries_of(job):
        if isinstance(entry, Event) and entry.kind is EventKind.ENGINE:
            return entry.value
    return job.engine_id


def _engine_texts(job: Job) -> tuple[str, ...]:
    named = {_first_engine(job), job.engine_id}
    named |= {
        entry.value
        for entry in entries_of(job)
        if isinstance(entry, Event) and entry.kind is EventKind.ENGINE
    }
    kept = EngineText.objects.filter(digest__in=named).order_by("digest")
    return tuple(kept.values_list("text", flat=True))


def _photos(job: Job) -> tuple[ArchivedPhoto, ...]:
    """The pictures that are there; one that is lost does not hold back the readings."""
    found = []
    for sha256 in job.photos.order_by("sha256").values_list("sha256", flat=True):
        path = photo_path(sha256)
        data = path.read_bytes() if path.is_file() else b""
        kind = PhotoFormat.of(data)
        if kind is not None:
            found.append(ArchivedPhoto(sha256=sha256, format=kind, data=data))
    return tuple(found)


def _personal(job: Job) -> tuple[PersonalText, ...]:
    return tuple(
        PersonalText(
            commitment=one.commitment, salt=one.salt, text=one.text, kind=WhoseName(one.kind)
        )
        for one in job.personal.order_by("pk")
    )


def _sheet(job: Job, *, people: Mapping[str, str]) -> bytes:
    shop = with_people(current_shop(), people=people)
    engine = engine_of(job)
    judgement = judge(
        engine=engine, shop=shop, entries=entries_of(job), job_number=job.number, head=job.head
    )
    now = timezone.now()
    document = build_sheet(
        judgement=judgement,
        face=LengthFace(unit=engine.unit),
        paper=Paper.A4,
        date_text=f"{now:%Y-%m-%d}",
    )
    return render_pdf(in_trade_words(document, words=shop.words), created=now)
