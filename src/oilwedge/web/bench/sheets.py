"""Sheets of a job: the build sheet, the same as at the command line, and blank ones."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace

from oilwedge.report.document import Document, Paper
from oilwedge.usecases.blank_sheets import LimitsShown, blank_sheet_document
from oilwedge.usecases.build_sheet import build_sheet
from oilwedge.usecases.judgement import Judgement
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.measuring import Depth
from oilwedge.usecases.trade_words import in_trade_words
from oilwedge.web.bench.job_page import shows_line
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import current_shop, engine_of, judged, planned_sets, summary_of
from oilwedge.web.record.models import Job

PAPERS = {"a4": Paper.A4, "letter": Paper.LETTER}


@dataclass(frozen=True, kw_only=True, slots=True)
class SheetChoice:
    """Which paper and which unit; unknown words stand for the usual ones."""

    paper: str
    unit: str


def choice_of(*, paper: str, unit: str) -> SheetChoice:
    """What somebody chose, A4 unless it is letter."""
    return SheetChoice(paper=paper if paper in PAPERS else "a4", unit=unit)


def judged_for_paper(job: Job, *, account: Account) -> Judgement:
    """The judgement without what is hidden from somebody while it is measured; a note names it."""
    judgement = judged(job)
    hidden = {
        (one["fit"], one["number"]): one["label"]
        for one in summary_of(job)["fits"]
        if not shows_line(job, one, account=account)
    }
    if not hidden:
        return judgement
    begun = {
        (one.feature, one.number) for one in planned_sets(job) if one.taken and not one.complete
    }
    note = f"Left out, because it is being measured: {', '.join(hidden.values())}."
    return replace(
        judgement,
        fits=tuple(one for one in judgement.fits if (one.key, one.number) not in hidden),
        sizes={key: size for key, size in judgement.sizes.items() if key not in begun},
        notes=(*judgement.notes, note),
    )


def sheet_document(
    job: Job, *, account: Account, choice: SheetChoice, today: datetime.date
) -> Document:
    """The build sheet of the record as it stands."""
    document = build_sheet(
        judgement=judged_for_paper(job, account=account),
        face=LengthFace(unit=choice.unit),
        paper=PAPERS[choice.paper],
        date_text=today.isoformat(),
    )
    return in_trade_words(document, words=current_shop().words)


def blank_document(job: Job, *, choice: SheetChoice, limits: LimitsShown) -> Document:
    """Blank measuring sheets for the job's engine and the shop's instruments."""
    document = blank_sheet_document(
        engine=engine_of(job),
        depth=Depth(job.task.depth) if job.task is not None else Depth.QUICK,
        unit=choice.unit,
        shop=current_shop(),
        limits=limits,
        paper=PAPERS[choice.paper],
    )
    return in_trade_words(document, words=current_shop().words)
