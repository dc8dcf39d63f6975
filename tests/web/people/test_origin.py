"""Only the bench's own pages change anything, and alone only at its own address."""

from __future__ import annotations

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory, override_settings

from oilwedge.web.people.origin import OriginMiddleware

MIDDLEWARE = OriginMiddleware(lambda request: HttpResponse("passed"))
OURS = "http://bench.test:8470"


def send(method: str = "POST", *, host: str = "bench.test:8470", **headers: str) -> HttpResponse:
    request: HttpRequest = RequestFactory(headers={"host": host, **headers}).generic(method, "/x")
    answer = MIDDLEWARE(request)
    assert isinstance(answer, HttpResponse)
    return answer


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "BREW"])
@pytest.mark.parametrize(
    "page",
    ["http://evil.example", "null", "https://bench.test:8470", "http://bench.test:3000",
     "http://bench.test", "http://bench.test:8470.evil.example", "http://[", ""],
)  # fmt: skip
def test_what_a_foreign_page_sends_is_refused(method: str, page: str) -> None:
    if page:
        assert send(method, origin=page).status_code == 403
    assert send(method, referer=page or "x").status_code == 403


@pytest.mark.parametrize("method", ["POST", "DELETE"])
def test_what_an_own_page_sends_passes(method: str) -> None:
    assert send(method, origin=OURS).status_code == 200
    assert send(method, referer=f"{OURS}/jobs/1/").status_code == 200


def test_the_origin_counts_before_the_referer() -> None:
    assert send(origin="null", referer=f"{OURS}/jobs/1/").status_code == 403


def test_what_the_browser_calls_cross_site_is_refused_whatever_else_it_says() -> None:
    assert send(origin=OURS, sec_fetch_site="cross-site").status_code == 403
    assert send(origin=OURS, sec_fetch_site="same-origin").status_code == 200


def test_a_program_that_is_no_browser_names_no_page_and_passes() -> None:
    assert send().status_code == 200


@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS"])
def test_looking_is_allowed_from_everywhere(method: str) -> None:
    answer = send(method, origin="http://evil.example", sec_fetch_site="cross-site")
    assert answer.status_code == 200


def test_a_script_gets_the_sentence_as_json() -> None:
    answer = send(origin="null", accept="application/json")
    assert answer.headers["Content-Type"] == "application/json"
    assert b"not the bench" in answer.content


@override_settings(MODE="alone", PORT="8470", ALLOWED_HOSTS=["*"])
@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("127.0.0.1:8470", 200), ("localhost:8470", 200), ("LOCALHOST:8470", 200),
        ("[::1]:8470", 200), ("127.0.0.1:3000", 403), ("127.0.0.1", 403),
        ("evil.example:8470", 403), ("192.168.7.20:8470", 403),
        ("localhost.evil.example:8470", 403),
    ],
)  # fmt: skip
def test_alone_only_this_machine_at_the_own_port_is_answered(host: str, status: int) -> None:
    assert send("GET", host=host).status_code == status
