"""A newcomer with a phone: from the first page to a finished build sheet by what is offered."""

from __future__ import annotations

import re

import pytest

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]

READ = {"rod_journal": "37.980", "rod_shell_bore": "38.018", "rod_strip": "0.038", "side": "0.20"}


def measure_all(page) -> None:
    """Type what the instrument shows; answer what is asked by the first button; go on."""
    for _ in range(60):
        page.wait_for_timeout(400)
        if "/measure/" not in page.url:
            return
        field = page.locator("#typed")
        if field.count() and field.is_visible():
            value = next(value for key, value in READ.items() if key in page.url)
            field.fill(value)
            field.press("Enter")
        else:
            page.locator("main button.button:visible, main a.button:visible").first.click()
    pytest.fail("measuring came to no end")


def test_a_newcomer_comes_to_a_build_sheet_by_the_large_button(
    live_server, demo_shop, as_person, page_at, lend_session, picture
):
    page = page_at("phone")
    lend_session(page, as_person("lena"), live_server.url)
    page.goto(live_server.url)
    page.get_by_role("link", name=re.compile("Dabchick")).first.click()
    pressed = []
    for number in range(12):
        button = page.locator("a.button-large").first
        pressed.append(button.inner_text().partition(":")[0])
        if pressed[-1].startswith("Save the sheet"):
            break
        button.click()
        page.wait_for_load_state("networkidle")
        measure_all(page)
        picture(page, f"journey-{number}")
        if page.locator("main form button.button-large").count():
            page.locator("main form button.button-large").click()
            page.wait_for_load_state("networkidle")
    assert pressed[0] == "Measure"
    assert pressed[-3:] == ["Close the job", "Build sheet", "Save the sheet (PDF)"]
    with page.expect_download() as saved:
        page.locator("a.button-large").click()
    assert saved.value.suggested_filename == "demo-1-build-sheet.pdf"
