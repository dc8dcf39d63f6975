"""The shelf in the browser: what is seen, what is edited, what is refused."""

from collections.abc import Callable

import pytest
from django.test import Client

from oilwedge.job.entry import EventKind
from oilwedge.web.record.models import Job, ShopRevision
from oilwedge.web.record.store import entries_of

pytestmark = pytest.mark.django_db
AsPerson = Callable[[str], Client]
MIC = {
    "key": "mic_a",
    "title": "micrometer A",
    "kind": "micrometer",
    "unit": "mm",
    "range": "25 to 50 mm",
    "resolution": "0.001 mm",
    "permissible_error": "0.002 mm",
    "calibration_due": "2020-01-31",
}


def add(client: Client, **fields: str) -> None:
    answer = client.post("/shelf/instruments/new", {**MIC, **fields})
    assert answer.status_code == 302, answer.content.decode()


def newest() -> ShopRevision:
    found = ShopRevision.objects.order_by("-number").first()
    assert found is not None
    return found


def test_an_instrument_that_was_added_stands_on_the_shelf_with_its_figures(
    as_person: AsPerson,
) -> None:
    client = as_person("lena")
    add(client)
    page = client.get("/shelf/").content.decode()
    for words in ("micrometer A", "25.000 to 50.000", "0.0010", "2020-01-31", "overdue"):
        assert words in page.replace("\N{NO-BREAK SPACE}", " "), words


def test_each_edit_makes_a_revision_and_the_old_one_stays(as_person: AsPerson) -> None:
    client = as_person("lena")
    add(client)
    first = newest()
    typed = {**MIC, "resolution": "0.002 mm", "seen": first.digest}
    client.post("/shelf/instruments/mic_a/", typed)
    assert newest().number == first.number + 1
    assert 'resolution = "0.002 mm"' in newest().text
    first.refresh_from_db()
    assert 'resolution = "0.001 mm"' in first.text
    assert "0.002 mm" in client.get(f"/shelf/revisions?number={newest().number}").content.decode()


def test_a_wrong_figure_is_said_at_its_field_and_nothing_is_kept(as_person: AsPerson) -> None:
    answer = as_person("lena").post(
        "/shelf/instruments/new", {**MIC, "resolution": "0.001 furlong", "calibration_due": "soon"}
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'id="fault-resolution"' in page or 'id="fault-calibration_due"' in page
    assert not ShopRevision.objects.exists()


@pytest.mark.parametrize("key", ["Mic 25", "../x", "a" * 60])
def test_a_key_that_readings_could_not_name_is_refused(as_person: AsPerson, key: str) -> None:
    answer = as_person("lena").post("/shelf/instruments/new", {**MIC, "key": key})
    assert answer.status_code == 422
    assert not ShopRevision.objects.exists()


def test_a_key_is_given_once(as_person: AsPerson) -> None:
    client = as_person("lena")
    add(client)
    again = {**MIC, "title": "another", "seen": newest().digest}
    answer = client.post("/shelf/instruments/new", again)
    assert answer.status_code == 422
    assert "another" not in newest().text


def test_two_people_editing_at_once_do_not_overwrite_each_other(as_person: AsPerson) -> None:
    client = as_person("lena")
    add(client)
    seen = newest().digest
    client.post("/shelf/instruments/mic_a/", {**MIC, "title": "first", "seen": seen})
    answer = client.post("/shelf/instruments/mic_a/", {**MIC, "title": "second", "seen": seen})
    assert answer.status_code == 422
    assert "Somebody else changed the shelf" in answer.content.decode()
    assert 'title = "first"' in newest().text


def test_what_another_gauge_is_set_in_is_not_taken_off(
    as_person: AsPerson, shop_revision: ShopRevision
) -> None:
    text = shop_revision.text
    holder = next(
        line.split('"')[1] for line in text.splitlines() if line.strip().startswith("set_in")
    )
    client = as_person("lena")
    answer = client.post(
        f"/shelf/instruments/{holder}/remove", {"seen": shop_revision.digest}, follow=True
    )
    assert "no such instrument here" in answer.content.decode()
    assert newest().number == 1


def test_a_failed_zero_check_is_written_into_the_open_jobs_that_it_read_in(
    as_person: AsPerson, make_job: Callable[..., Job]
) -> None:
    from oilwedge.metrology.reading import Reading
    from oilwedge.web.record.store import append_entries

    client = as_person("lena")
    add(client)
    job, other = make_job("J1"), make_job("J2")
    reading = Reading(
        id="r1",
        feature="rod_journal_diameter",
        number=1,
        value_m=0.03,
        text="30",
        unit="mm",
        instrument="mic_a",
    )
    append_entries(job=job, entries=(reading,))
    client.post("/shelf/check/mic_a", {"value": "failed", "note": "3 off"})
    job.refresh_from_db()
    last = entries_of(job)[-1]
    assert getattr(last, "kind", None) is EventKind.ZERO_CHECK
    assert getattr(last, "value", "") == "failed"
    other.refresh_from_db()
    assert other.count == 1


def test_a_builder_sees_the_shelf_and_does_not_change_it(as_person: AsPerson) -> None:
    client = as_person("ben")
    assert client.get("/shelf/").status_code == 200
    assert client.get("/shelf/instruments/new").status_code == 403
    assert client.post("/shelf/instruments/new", MIC).status_code == 403


def test_a_pupil_does_not_come_in(as_person: AsPerson) -> None:
    assert as_person("pia").get("/shelf/").status_code in (403, 404)


def test_the_whole_file_is_checked_before_it_holds(as_person: AsPerson) -> None:
    client = as_person("lena")
    answer = client.post("/shelf/file", {"text": "format = 1\n[instruments.x]\nkind = 3\n"})
    assert answer.status_code == 422
    assert "line 3" in answer.content.decode()
    assert not ShopRevision.objects.exists()


def test_a_graded_part_in_stock_stands_with_its_size_pieces_and_place(as_person: AsPerson) -> None:
    client = as_person("lena")
    typed = {
        "key": "rod_brown",
        "title": "rod shells, brown",
        "part": "rod_shells",
        "grade": "brown",
        "undersize": "0.25 mm",
        "size": "1.505 mm",
        "tolerance": "0.003 mm",
        "count": "8",
        "place": "drawer 3",
    }
    answer = client.post("/shelf/stock/new", typed)
    assert answer.status_code == 302, answer.content.decode()
    page = client.get("/shelf/").content.decode().replace("\N{NO-BREAK SPACE}", " ")
    for words in ("rod shells, brown", "brown, 0.25 mm under", "1.505 mm ± 0.0030", "drawer 3"):
        assert words in page, words
    assert client.post("/shelf/stock/rod_brown/", {**typed, "count": "eight"}).status_code == 422


def test_a_short_name_is_made_from_the_name_where_none_is_typed(as_person: AsPerson) -> None:
    client = as_person("lena")
    add(client, key="", title="Mikrometer Größe 25–50")
    assert "[instruments.mikrometer_grosse_25_50]" in newest().text
    again = {**MIC, "key": "", "title": "Mikrometer Größe 25–50", "seen": newest().digest}
    client.post("/shelf/instruments/new", again)
    assert "[instruments.mikrometer_grosse_25_50_2]" in newest().text


def test_what_has_neither_name_nor_short_name_is_not_kept(as_person: AsPerson) -> None:
    answer = as_person("lena").post("/shelf/instruments/new", {**MIC, "key": "", "title": ""})
    assert answer.status_code == 422
    assert not ShopRevision.objects.exists()
