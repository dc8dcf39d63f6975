"""Every address of the bench for everybody: who gets in, who does not, and what else holds.

The addresses are read from the bench itself, so a new one is tested without being listed here. The
table of rights stands here a second time, written from what the roles are for and not from the
program's own.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import Client
from django.urls import URLResolver, get_resolver, path
from django.urls.converters import IntConverter

from oilwedge.web.people.access import Right, may, open_to_all, sees_job
from oilwedge.web.people.models import Account, Role
from oilwedge.web.record.models import Job

LEADS_ONLY = {"PEOPLE", "CLASSES", "SHELF_CHANGE", "LEAD_JOB"}
VIEWERS = {"OPEN", "SEE_WORK", "SEE_JOB", "SHELF_SEE", "EXPORT", "OWN_ACCOUNT"}
PUPILS = {"OPEN", "OWN_ACCOUNT"}
PUPILS_AT_OWN_BENCH = {"SEE_JOB", "MEASURE", "RECORD_STEP"}
OTHERS = {"CHANGE_JOB", "ENGINE_FILES", "IMPORT"}
KNOWN = LEADS_ONLY | VIEWERS | PUPILS | PUPILS_AT_OWN_BENCH | OTHERS

PUPILS_JOB, OTHER_PUPILS_JOB, SHOPS_JOB, NO_JOB = "C-1", "C-2", "J-1", "J-404"
EXAMPLES = {"fit": "rod_bearing", "feature": "rod_journal", "section": "instruments"}
OPEN_INTERFACE = {"openapi-json", "openapi-view", "api-root"}


@dataclass(frozen=True, kw_only=True)
class Address:
    """One address of the bench, with examples in the places of its variables."""

    name: str
    pattern: str
    callback: Any
    converters: dict[str, Any]

    @property
    def of_interface(self) -> bool:
        """Whether it is for other programs, which come in by tokens."""
        return self.pattern.startswith("api/")

    @property
    def right(self) -> Right | None:
        return getattr(self.callback, "right", None)

    @property
    def of_job(self) -> bool:
        return bool(getattr(self.callback, "of_job", False))

    def at(self, job: str) -> str:
        """The address with examples in it."""

        def example(match: re.Match[str]) -> str:
            name = match[1]
            if name == "number":
                return job
            if isinstance(self.converters[name], IntConverter):
                return "1"
            return EXAMPLES.get(name, "x")

        return "/" + re.sub(r"<(?:\w+:)?(\w+)>", example, self.pattern)


def addresses(resolver: Any, *, before: str = "", space: str = "") -> Iterator[Address]:
    for one in resolver.url_patterns:
        pattern = before + str(one.pattern)
        if isinstance(one, URLResolver):
            inner = f"{space}{one.namespace}:" if one.namespace else space
            yield from addresses(one, before=pattern, space=inner)
        else:
            yield Address(
                name=f"{space}{one.name}",
                pattern=pattern,
                callback=one.callback,
                converters=dict(one.pattern.converters),
            )


ALL = tuple(addresses(get_resolver("oilwedge.web.urls")))
PAGES = tuple(one for one in ALL if not one.of_interface)
JOB_PAGES = tuple(one for one in PAGES if one.of_job)
INTERFACE = tuple(
    one for one in ALL if one.of_interface and one.name.rpartition(":")[2] not in OPEN_INTERFACE
)
each_page = pytest.mark.parametrize("address", PAGES, ids=lambda one: one.pattern or "/")
each_job_page = pytest.mark.parametrize("address", JOB_PAGES, ids=lambda one: one.pattern)
each_address = pytest.mark.parametrize("address", ALL, ids=lambda one: one.pattern or "/")


@pytest.fixture
def benches(people: dict[str, Any], make_job: Callable[..., Any]) -> None:
    """Two benches of a class, one a pupil, and a job of the shop."""
    from oilwedge.web.record.models import ClassTask

    job = make_job(SHOPS_JOB)
    task = ClassTask.objects.create(title="Task", engine=job.engine, made_by=people["lena"])
    make_job(PUPILS_JOB, task=task, pupil=people["pia"])
    make_job(OTHER_PUPILS_JOB, task=task, pupil=people["pol"])


def without_chance(page: bytes, *, number: str) -> str:
    """A page without what differs each time: the token of its forms, and the number asked for."""
    return re.sub(r"[A-Za-z0-9]{64}", "", page.decode()).replace(number, "NUMBER")


def refused(answers: list[Any], status: int) -> bool:
    """Whether every method was refused; 405 tells nobody anything, but not by itself."""
    codes = [one.status_code for one in answers]
    return status in codes and set(codes) <= {status, 405}


def asked(client: Client, url: str) -> list[Any]:
    return [client.get(url), client.post(url)]


def test_the_bench_has_addresses() -> None:
    assert len(PAGES) > 40
    assert {"people:login", "bench:work", "bench:job"} <= {one.name for one in ALL}


def test_every_right_is_in_the_table_above() -> None:
    assert {one.name for one in Right} == KNOWN


@each_page
def test_a_view_says_which_right_it_needs(address: Address) -> None:
    assert isinstance(address.right, Right), f"{address.name} wears no mark of a right"
    assert address.of_job == ("<number>" in re.sub(r"<\w+:", "<", address.pattern))


@each_address
def test_no_page_does_without_the_token_of_forms(address: Address) -> None:
    if not address.of_interface:
        assert not getattr(address.callback, "csrf_exempt", False)


@each_page
def test_who_is_not_in_is_led_to_the_login(address: Address, client: Client, benches: None) -> None:
    url = address.at(SHOPS_JOB)
    if address.right is Right.OPEN:
        assert "/login?next=" not in client.get(url).headers.get("Location", "")
        return
    answers = asked(client, url)
    assert refused(answers, 302)
    for answer in answers:
        assert answer.status_code == 405 or answer.headers["Location"].startswith("/login?next=/")


@each_page
def test_a_script_of_who_is_not_in_gets_one_sentence(
    address: Address, client: Client, benches: None
) -> None:
    if address.right is Right.OPEN:
        return
    url, json = address.at(SHOPS_JOB), {"Accept": "application/json"}
    answers = [client.get(url, headers=json), client.post(url, headers=json)]
    assert refused(answers, 401)
    said = [one.json()["sentence"] for one in answers if one.status_code == 401]
    assert all("session is over" in sentence for sentence in said)


@each_page
def test_who_was_switched_off_is_as_one_who_is_not_in(
    address: Address, as_person: Callable[[str], Client], people: dict[str, Any], benches: None
) -> None:
    if address.right is Right.OPEN:
        return
    client = as_person("lena")
    people["lena"].is_active = False
    people["lena"].save()
    assert refused(asked(client, address.at(SHOPS_JOB)), 302)


@pytest.mark.parametrize("role", list(Role))
def test_an_account_that_was_switched_off_has_no_right_and_no_job(role: Role) -> None:
    account = Account(pk=1, role=role, is_active=False)
    assert [right for right in Right if may(account, right)] == [Right.OPEN]
    assert not sees_job(account, Job(task=None, pupil_id=1))


@each_page
@pytest.mark.parametrize("who", ["lena", "ben", "vera"])
def test_the_people_of_the_shop_get_in_by_their_role(
    address: Address, who: str, as_person: Callable[[str], Client], benches: None
) -> None:
    allowed = {
        "lena": KNOWN,
        "ben": KNOWN - LEADS_ONLY,
        "vera": VIEWERS,
    }[who]
    assert address.right is not None
    client, url = as_person(who), address.at(SHOPS_JOB)
    if address.right.name not in allowed:
        answers = asked(client, url)
        assert refused(answers, 403)
        assert any(b"Your account may not" in one.content for one in answers)
        return
    answer = client.get(url)
    assert answer.status_code in {200, 204, 302, 304, 400, 404, 405, 410}
    assert "/login" not in answer.headers.get("Location", "") or address.right is Right.OPEN


@each_page
def test_a_pupil_gets_in_at_the_own_bench_and_nowhere_else(
    address: Address, as_person: Callable[[str], Client], benches: None
) -> None:
    assert address.right is not None
    client, url, right = as_person("pia"), address.at(PUPILS_JOB), address.right.name
    if right in (PUPILS | PUPILS_AT_OWN_BENCH if address.of_job else PUPILS):
        assert client.get(url).status_code in {200, 204, 302, 304, 400, 404, 405, 410}
    elif right == "SEE_WORK":  # what is in hand for a pupil is the own bench
        assert client.get(url).headers["Location"] == f"/jobs/{PUPILS_JOB}/"
        assert client.post(url).status_code in {403, 405}
    else:
        assert refused(asked(client, url), 403)


@each_job_page
@pytest.mark.parametrize(
    ("who", "hidden"),
    [("pia", OTHER_PUPILS_JOB), ("pia", SHOPS_JOB), ("vera", PUPILS_JOB)],
)
def test_a_job_of_others_looks_like_one_that_is_not_there(
    address: Address, who: str, hidden: str, as_person: Callable[[str], Client], benches: None
) -> None:
    client = as_person(who)
    there, not_there = asked(client, address.at(hidden)), asked(client, address.at(NO_JOB))
    assert refused(there, 404)
    for one, other in zip(there, not_there, strict=True):
        assert one.status_code == other.status_code
        assert set(one.headers) == set(other.headers)
        pages = {
            without_chance(one.content, number=hidden),
            without_chance(other.content, number=NO_JOB),
        }
        assert len(pages) == 1


@each_page
def test_nothing_is_sent_without_the_token_of_the_form(
    address: Address, people: dict[str, Any], benches: None
) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(people["lena"], backend="django.contrib.auth.backends.ModelBackend")
    answer = client.post(address.at(SHOPS_JOB))
    assert answer.status_code == 403
    assert b"This form was open for too long" in answer.content


@each_address
def test_a_page_of_somebody_else_sends_nothing(
    address: Address, as_person: Callable[[str], Client], benches: None
) -> None:
    client, url = as_person("lena"), address.at(SHOPS_JOB)
    for headers in (
        {"Origin": "https://elsewhere.test"},
        {"Origin": "null"},
        {"Origin": "https://testserver"},  # the same name by another scheme
        {"Referer": "https://elsewhere.test/testserver/"},
        {"Sec-Fetch-Site": "cross-site"},
    ):
        assert client.post(url, headers=headers).status_code == 403, headers


@each_address
def test_a_host_that_is_not_the_bench_gets_nothing(
    address: Address, as_person: Callable[[str], Client], benches: None
) -> None:
    answer = as_person("lena").get(address.at(SHOPS_JOB), headers={"Host": "elsewhere.test"})
    assert answer.status_code == 400
    assert b"elsewhere.test" not in answer.content


def safe_headers(answer: Any) -> None:
    """Asserts what every answer carries: HTML, files, faults."""
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert "http:" not in policy
    assert "*" not in policy
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert answer.headers["Cross-Origin-Opener-Policy"] == "same-origin"


@each_address
def test_every_answer_tells_the_browser_to_be_careful(
    address: Address, as_person: Callable[[str], Client], client: Client, benches: None
) -> None:
    url, lead = address.at(SHOPS_JOB), as_person("lena")
    for answer in (lead.get(url), client.get(url), as_person("pia").get(url)):
        safe_headers(answer)
        assert answer.headers["X-Frame-Options"] == "DENY"
    safe_headers(lead.get(url, headers={"Host": "elsewhere.test"}))
    safe_headers(lead.post(url, headers={"Origin": "https://elsewhere.test"}))


@each_page
def test_no_page_needs_what_the_policy_forbids(
    address: Address, as_person: Callable[[str], Client], benches: None
) -> None:
    answer = as_person("lena").get(address.at(SHOPS_JOB))
    if not answer.headers.get("Content-Type", "").startswith("text/html"):
        return
    page = answer.content.decode()
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=", page)
    for tag in re.findall(r"<script[^>]*>", page):
        assert "src=" in tag or 'type="application/json"' in tag
    assert not re.search(r'(?:src|href|action)="(?:https?:)?//(?!testserver)', page)


@each_page
def test_no_cache_keeps_what_an_account_is_shown(
    address: Address, as_person: Callable[[str], Client], benches: None
) -> None:
    if address.right is Right.OPEN:
        return
    answer = as_person("lena").get(address.at(SHOPS_JOB))
    if answer.status_code == 200:
        said = answer.headers["Cache-Control"]
        assert "private" in said or "no-store" in said
        assert "public" not in said


@pytest.mark.parametrize("address", INTERFACE, ids=lambda one: one.pattern)
def test_other_programs_need_a_token(address: Address, client: Client, benches: None) -> None:
    answers = [
        getattr(client, method)(address.at(SHOPS_JOB))
        for method in ("get", "post", "put", "delete")
    ]
    assert {one.status_code for one in answers} <= {401, 403, 405}


@pytest.mark.parametrize(
    "url", ["/static/", "/static/oilwedge/", "/static/oilwedge/css/", "/photos/"]
)
def test_no_folder_is_listed(url: str, client: Client, db: None) -> None:
    assert client.get(url).status_code == 404


@pytest.mark.parametrize(
    "url",
    [
        "/static/../secret", "/static/%2e%2e/secret", "/static/..%2fsecret", "/static//etc/passwd",
        "/static/..\\secret", "/secret", "/oilwedge.sqlite3", "/authority/authority.pem",
    ],
)  # fmt: skip
def test_no_file_of_the_shop_is_given_out(url: str, client: Client, db: None) -> None:
    assert client.get(url).status_code == 404


@open_to_all
def broken(request: HttpRequest) -> HttpResponse:
    raise RuntimeError("words that nobody sees")


class Broken:
    """Addresses of a bench with a broken page among them."""

    urlpatterns: ClassVar[list[Any]] = [
        *get_resolver("oilwedge.web.urls").url_patterns,
        path("x", broken),
    ]
    handler500 = "oilwedge.web.look.views.our_fault"


@pytest.mark.parametrize("accept", ["text/html", "application/json"])
def test_a_fault_of_the_program_shows_nothing_of_its_inside(
    accept: str, settings: Any, people: dict[str, Any], caplog: pytest.LogCaptureFixture
) -> None:
    settings.ROOT_URLCONF = Broken
    client = Client(raise_request_exception=False)
    client.force_login(people["lena"], backend="django.contrib.auth.backends.ModelBackend")
    answer = client.get("/x", headers={"Accept": accept})
    page = answer.content.decode()
    assert answer.status_code == 500
    for word in ("words that nobody sees", "Traceback", "RuntimeError", "settings", ".py"):
        assert word not in page
    safe_headers(answer)


def test_there_is_no_debug_page_whatever_the_environment_says() -> None:
    said = in_another_process({"DEBUG": "1", "DJANGO_DEBUG": "1", "OILWEDGE_DEBUG": "1"}, "s.DEBUG")
    assert said == "False"


def test_cookies_go_over_https_only_where_there_is_https(tmp_path: Any) -> None:
    wanted = (
        "s.SESSION_COOKIE_SECURE, s.CSRF_COOKIE_SECURE, s.SESSION_COOKIE_HTTPONLY,"
        " s.SESSION_COOKIE_SAMESITE, s.CSRF_COOKIE_SAMESITE"
    )
    assert in_another_process({"OILWEDGE_SECURE": "1"}, wanted) == "True True True Lax Strict"
    assert in_another_process({"OILWEDGE_SECURE": ""}, wanted) == "False False True Lax Strict"


def in_another_process(environment: dict[str, str], what: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", f"from oilwedge.web import settings as s; print({what})"],
        env=os.environ | environment,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


def test_the_cookie_of_a_session_is_out_of_reach_for_scripts(
    client: Client, people: dict[str, Any], settings: Any
) -> None:
    from bench_fixtures import PASSWORD

    settings.SESSION_COOKIE_SECURE = True
    answer = client.post("/login", {"username": "ben", "password": PASSWORD})
    cookie = answer.cookies["oilwedge_session"]
    assert cookie["httponly"]
    assert cookie["secure"]
    assert cookie["samesite"] == "Lax"
    assert 0 < int(cookie["max-age"]) <= 12 * 3600
