"""The pages of faults say what happened and lead back."""

import re
from pathlib import Path

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.test import RequestFactory

import oilwedge.web.look
from oilwedge.web.look.views import bad_request, not_here, not_yours, our_fault

TEMPLATES = Path(oilwedge.web.look.__file__).parents[1]


def _answer(status: int, accept: str = "text/html") -> HttpResponse:
    request = RequestFactory().get("/nowhere", headers={"accept": accept})
    if status == 400:
        return bad_request(request, ValueError())
    if status == 403:
        return not_yours(request, PermissionDenied())
    return not_here(request, Http404()) if status == 404 else our_fault(request)


@pytest.mark.parametrize("status", [400, 403, 404, 500])
def test_a_fault_has_a_page_with_a_way_back(status: int) -> None:
    answer = _answer(status)
    assert answer.status_code == status
    html = answer.content.decode()
    assert html.count("<h1>") == 1
    assert 'href="/"' in html
    assert "Traceback" not in html


@pytest.mark.parametrize("status", [400, 403, 404])
def test_a_script_gets_one_sentence(status: int) -> None:
    answer = _answer(status, accept="application/json")
    assert answer.status_code == status
    assert answer["Content-Type"] == "application/json"


def test_the_page_of_a_broken_program_needs_nothing_of_it() -> None:
    source = (TEMPLATES / "look" / "templates" / "500.html").read_text(encoding="utf-8")
    assert "{%" not in source
    assert "{{" not in source


def test_no_template_has_anything_inline() -> None:
    for path in TEMPLATES.rglob("*.html"):
        source = path.read_text(encoding="utf-8")
        assert not re.search(r"<style|\sstyle=|\son[a-z]+=|javascript:", source), path.name
        for tag in re.findall(r"<script[^>]*>", source):
            assert "src=" in tag, f"{path.name}: {tag}"
