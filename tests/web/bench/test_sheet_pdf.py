"""The build sheet as PDF: the same as at the command line."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader


def text_of(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)


def test_the_sheet_says_job_head_and_fits(as_person, four):
    answer = as_person("vera").get(f"/jobs/{four.number}/sheet.pdf")
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'attachment; filename="demo-4-build-sheet.pdf"'
    text = text_of(answer.content)
    assert four.number in text
    assert four.head[:16] in text
    assert "Ada Invented" in text  # by name, and not by what stands for her in the chain
    assert "who-" not in text


def test_it_is_the_sheet_of_the_command_line(as_person, four):
    import datetime

    from oilwedge.report.document import Paper
    from oilwedge.report.pdf import render_pdf
    from oilwedge.usecases.build_sheet import build_sheet
    from oilwedge.usecases.length_face import LengthFace
    from oilwedge.usecases.trade_words import in_trade_words
    from oilwedge.web.record.judged import current_shop, judged

    type(four).objects.filter(pk=four.pk).update(blind=False)  # with what is being measured
    answer = as_person("lena").get(f"/jobs/{four.number}/sheet.pdf?unit=in&paper=letter")
    now = datetime.datetime.now(datetime.UTC)
    document = build_sheet(
        judgement=judged(four),
        face=LengthFace(unit="in"),
        paper=Paper.LETTER,
        date_text=now.astimezone().date().isoformat(),
    )
    document = in_trade_words(document, words=current_shop().words)
    assert text_of(answer.content) == text_of(render_pdf(document, created=now))


@pytest.mark.parametrize(("paper", "width"), [("a4", 595), ("letter", 612)])
def test_the_paper_is_the_chosen_one(as_person, make_job, paper, width):
    make_job("J1")
    answer = as_person("ben").get("/jobs/J1/sheet.pdf", {"paper": paper})
    box = PdfReader(io.BytesIO(answer.content)).pages[0].mediabox
    assert round(float(box.width)) == width


def test_the_head_on_paper_is_remembered_once(as_person, make_job):
    from oilwedge.web.record.models import KnownHead

    job = make_job("J1")
    for _ in range(2):
        as_person("ben").get("/jobs/J1/sheet.pdf")
    known = KnownHead.objects.get(reason="sheet")
    found = (known.job_number, known.count, known.head, known.reason)
    assert found == ("J1", job.count, job.head, "sheet")


def test_without_the_extra_it_says_what_to_install(as_person, make_job, monkeypatch):
    import sys

    make_job("J1")
    monkeypatch.setitem(sys.modules, "typst", None)
    answer = as_person("ben").get("/jobs/J1/sheet.pdf")
    assert answer.status_code == 400
    assert "extra" in answer.content.decode()


def test_who_takes_a_sheet(statuses, make_job):
    make_job("J1")
    assert statuses("/jobs/J1/sheet.pdf") == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}
