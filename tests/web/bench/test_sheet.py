"""The build sheet on the page, before it is saved."""

from __future__ import annotations

import pytest


def test_the_page_shows_what_the_sheet_says(as_person, four):
    page = as_person("vera").get(f"/jobs/{four.number}/sheet/").content.decode()
    assert "Build sheet: Heron four" in page
    assert "What is wrong, where, what to do" in page
    assert f'href="/jobs/{four.number}/sheet.pdf?paper=a4&amp;unit=mm"' in page


@pytest.mark.parametrize(("paper", "kept"), [("letter", "letter"), ("a4", "a4"), ("a0", "a4")])
def test_the_paper_is_chosen(as_person, make_job, paper, kept):
    make_job("J1")
    page = as_person("ben").get("/jobs/J1/sheet/", {"paper": paper}).content.decode()
    assert f"sheet.pdf?paper={kept}&amp;" in page


def test_the_unit_is_chosen(as_person, four):
    page = as_person("ben").get(f"/jobs/{four.number}/sheet/", {"unit": "in"}).content.decode()
    assert "&amp;unit=in" in page
    assert " in</td>" in page or " in<" in page


def test_who_sees_the_sheet(statuses, make_job):
    make_job("J1")
    assert statuses("/jobs/J1/sheet/") == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}


def test_a_pupil_gets_the_sheet_of_the_own_bench_with_the_results(as_person, bench_of):
    from oilwedge.web.record.models import ClassTask

    bench_of("pia", "C1")
    for address in ("/jobs/C1/sheet/", "/jobs/C1/sheet.pdf"):
        answer = as_person("pia").get(address)
        assert answer.status_code == 404
        assert "not shown yet" in answer.content.decode()
    ClassTask.objects.update(shows_results=True)
    assert as_person("pia").get("/jobs/C1/sheet/").status_code == 200
    assert as_person("pia").get("/jobs/C1/sheet.pdf").content.startswith(b"%PDF")


def test_what_is_being_measured_is_left_out_and_named(as_person, four):
    from oilwedge.web.record.models import Job

    address = f"/jobs/{four.number}/sheet/"
    page = as_person("ben").get(address).content.decode()
    assert "Left out, because it is being measured: rod bearing 1" in page
    Job.objects.filter(pk=four.pk).update(blind=False)
    assert "Left out" not in as_person("lena").get(address).content.decode()
    assert "Left out" in as_person("ben").get(address).content.decode()
