"""The pages of a class in a real browser, at three sizes, light and dark."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from class_entries import take
from django.test import Client
from django.utils import timezone

from oilwedge.web.classroom.closing import show_results
from oilwedge.web.classroom.opening import open_repeat
from oilwedge.web.classroom.seating import make_links

pytestmark = pytest.mark.slow
LOOKS = (
    ("phone", "light"),
    ("phone", "dark"),
    ("tablet", "light"),
    ("desktop", "light"),
    ("desktop", "dark"),
)


@pytest.fixture
def looked_at(
    live_server: Any,
    as_person: Callable[[str], Client],
    page_at: Callable[..., Any],
    lend_session: Callable[..., None],
    axe: Callable[..., None],
    fits_the_screen: Callable[..., None],
    picture: Callable[..., Any],
) -> Callable[..., None]:
    """Opens a page as somebody at every size, holds it against the rules and keeps a picture."""

    def look(path: str, *, who: str, name: str, looks: Any = LOOKS) -> None:
        for size, scheme in looks:
            page = page_at(size, scheme=scheme)
            lend_session(page, as_person(who), live_server.url)
            page.goto(f"{live_server.url}{path}")
            axe(page)
            picture(page, f"{name}-{size}-{scheme}")
            fits_the_screen(page)

    return look


def test_the_page_of_a_class_of_twenty(twenty: Any, looked_at: Callable[..., None]) -> None:
    looked_at(f"/classes/{twenty.pk}/", who="lena", name="class")


def test_the_page_of_a_set(
    twenty: Any, people: Any, bench_of: Callable[..., Any], looked_at: Callable[..., None]
) -> None:
    first = bench_of(twenty, "pia")
    again = open_repeat(first, task=twenty, pupil=str(people["pol"].pk), by=people["lena"])
    take(again, off_mm=0.001)
    looked_at(f"/classes/{twenty.pk}/sets/rod_journal/1/", who="lena", name="class-set")


def test_a_new_class_and_who_sits_where(
    begin_class: Callable[..., Any], looked_at: Callable[..., None]
) -> None:
    task = begin_class(["pia"], links=3)
    few = (("phone", "light"), ("desktop", "dark"))
    looked_at("/classes/", who="lena", name="classes", looks=few)
    looked_at("/classes/new", who="lena", name="class-engine", looks=few)
    digest = task.engine_id
    looked_at(f"/classes/new?engine={digest}", who="lena", name="class-new", looks=few)
    looked_at(f"/classes/{task.pk}/seats", who="lena", name="class-seats", looks=few)
    looked_at(f"/classes/{task.pk}/close", who="lena", name="class-close", looks=few)


def test_what_a_pupil_sees(
    task: Any, bench_of: Callable[..., Any], looked_at: Callable[..., None]
) -> None:
    own = bench_of(task, "pia")
    take(bench_of(task, ""))
    take(own, odd=(2,))
    few = (("phone", "light"), ("desktop", "dark"))
    looked_at("/classes/mine", who="pia", name="class-mine", looks=few)
    looked_at(f"/classes/benches/{own.number}/", who="pia", name="class-bench-blind", looks=few)
    show_results(task, shown=True)
    looked_at(f"/classes/benches/{own.number}/", who="pia", name="class-bench", looks=few)
    looked_at(f"/classes/benches/{own.number}/", who="lena", name="class-bench-lead", looks=few)


def test_links_are_made_on_a_sheet(
    begin_class: Callable[..., Any],
    live_server: Any,
    as_person: Callable[[str], Client],
    page_at: Callable[..., Any],
    lend_session: Callable[..., None],
    axe: Callable[..., None],
    fits_the_screen: Callable[..., None],
    picture: Callable[..., Any],
) -> None:
    task = begin_class([], links=4)
    for size in ("phone", "desktop"):
        page = page_at(size)
        lend_session(page, as_person("lena"), live_server.url)
        page.goto(f"{live_server.url}/classes/{task.pk}/seats")
        page.get_by_role("button", name="Make 4 links to print").click()
        page.get_by_text("shown now and never again").wait_for()
        axe(page)
        fits_the_screen(page)
        picture(page, f"class-links-{size}-light")
    page.emulate_media(media="print")
    picture(page, "class-links-print")


def test_the_page_follows_the_class_by_itself(
    task: Any,
    bench_of: Callable[..., Any],
    live_server: Any,
    as_person: Callable[[str], Client],
    page_at: Callable[..., Any],
    lend_session: Callable[..., None],
) -> None:
    page = page_at("desktop")
    lend_session(page, as_person("lena"), live_server.url)
    page.goto(f"{live_server.url}/classes/{task.pk}/")
    page.get_by_text("2 not begun").wait_for()
    with page.expect_response(lambda answer: answer.url.endswith("/now")) as quiet:
        pass
    assert quiet.value.status == 304
    take(bench_of(task, "pia"), count=4)
    page.get_by_text("1 not begun").wait_for()


def test_a_new_pupil_goes_from_the_link_to_the_first_reading(
    begin_class: Callable[..., Any],
    people: dict[str, Any],
    live_server: Any,
    as_person: Callable[[str], Client],
    page_at: Callable[..., Any],
    lend_session: Callable[..., None],
) -> None:
    task = begin_class([], links=1)
    (link,) = make_links(task, by=people["lena"], now=timezone.now())
    teacher, pupil = page_at("desktop"), page_at("phone")
    lend_session(teacher, as_person("lena"), live_server.url)
    teacher.goto(f"{live_server.url}/classes/{task.pk}/")
    teacher.get_by_text("1 bench waits for a pupil").wait_for()

    pupil.goto(f"{live_server.url}/invitation/{link.token}")
    pupil.get_by_label("Your name").fill("Nora Invented")
    pupil.get_by_label("Name to log in with").fill("nora")
    pupil.get_by_label("Password", exact=True).fill("rod journals at eight")
    pupil.get_by_label("The same once more").fill("rod journals at eight")
    pupil.get_by_role("button", name="Make my account").tap()
    pupil.wait_for_url(f"**/jobs/{link.job.number}/")
    pupil.get_by_role("link", name="Measure: rod journal 1").tap()
    pupil.get_by_role("button", name="standard", exact=True).tap()
    for _ in range(4):  # the parts whose condition is not known yet
        if pupil.locator("#typed").is_visible():
            break
        pupil.get_by_role("button", name="Re-used").tap()
    pupil.locator("#typed").fill("47.972")
    pupil.get_by_role("button", name="Take it").tap()

    teacher.get_by_role("link", name="01 Nora Invented").wait_for()
    teacher.get_by_text("0 of 4 sets, at rod journal 1.").wait_for()
