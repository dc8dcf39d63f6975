"""The pages of data in and out in a real browser: within the rules, and on no other host."""

from __future__ import annotations

import pytest

from oilwedge.web.record.exporting import NamesIn, export_job

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize(("size", "scheme"), [("phone", "light"), ("desktop", "dark")])
def test_pages_in_and_out(
    live_server, make_job, as_person, page_at, lend_session, picture, axe, fits_the_screen,
    tmp_path, size, scheme,
):  # fmt: skip
    job = make_job("J1")
    archive = tmp_path / "job.zip"
    archive.write_bytes(export_job(job, names=NamesIn.ARCHIVE))
    page = page_at(size, scheme=scheme, expected=["422"])
    lend_session(page, as_person("ben"), live_server.url)

    def look(name):
        page.wait_for_load_state("networkidle")
        picture(page, f"record-{name}-{size}-{scheme}")
        axe(page)
        fits_the_screen(page)

    page.goto(f"{live_server.url}/jobs/import")
    look("import")
    broken = tmp_path / "broken.zip"
    broken.write_bytes(b"no zip")
    page.get_by_label("Zip of the job").set_input_files(broken)
    page.get_by_role("button", name="Bring it in").click()
    page.get_by_text("This is no zip").wait_for()
    look("refused")
    page.get_by_label("Zip of the job").set_input_files(archive)
    page.get_by_role("button", name="Bring it in").click()
    page.get_by_text("is here already").wait_for()
    look("brought")
    page.goto(f"{live_server.url}/api/docs")
    look("interface")
