"""The engine file of a job: what another one would change is seen before it holds."""

from collections.abc import Callable

import pytest
from django.test import Client

from oilwedge.job.entry import Event, EventKind
from oilwedge.usecases.opening import engine_of_text
from oilwedge.web.record.models import EngineText, Job
from oilwedge.web.record.store import entries_of, keep_engine

pytestmark = pytest.mark.django_db
AsPerson = Callable[[str], Client]


@pytest.fixture
def wider(engine_text: str) -> EngineText:
    text = engine_text.replace('"0.049 mm"', '"0.055 mm"')
    engine = engine_of_text(text, file="e")
    return keep_engine(name=engine.name, digest=engine.digest, text=text)


def test_what_another_file_would_change_is_shown_first(
    as_person: AsPerson, make_job: Callable[..., Job], wider: EngineText
) -> None:
    job = make_job("J1")
    page = as_person("ben").get(f"/jobs/{job.number}/engine/", {"new": wider.pk}).content.decode()
    assert "0.049" in page
    assert "0.055" in page
    assert "No verdict changes" in page
    job.refresh_from_db()
    assert job.engine_id != wider.pk


def test_a_change_is_an_entry_of_the_chain_and_holds_from_then_on(
    as_person: AsPerson, make_job: Callable[..., Job], wider: EngineText
) -> None:
    job = make_job("J1")
    as_person("ben").post(
        f"/jobs/{job.number}/engine/change", {"new": wider.pk, "note": "limit read again"}
    )
    job.refresh_from_db()
    last = entries_of(job)[-1]
    assert isinstance(last, Event)
    assert (last.kind, last.value, last.note) == (
        EventKind.ENGINE,
        wider.pk,
        "limit read again",
    )
    assert job.engine_id == wider.pk
    page = as_person("ben").get(f"/jobs/{job.number}/engine/").content.decode()
    assert "limit read again" in page


@pytest.mark.parametrize("new", ["", "nothing", "0" * 64])
def test_a_file_that_is_not_kept_changes_nothing(
    as_person: AsPerson, make_job: Callable[..., Job], new: str
) -> None:
    job = make_job("J1")
    as_person("ben").post(f"/jobs/{job.number}/engine/change", {"new": new})
    job.refresh_from_db()
    assert job.count == 1


def test_a_closed_job_keeps_its_file(
    as_person: AsPerson, make_job: Callable[..., Job], wider: EngineText
) -> None:
    job = make_job("J1", closed=True)
    answer = as_person("ben").post(f"/jobs/{job.number}/engine/change", {"new": wider.pk})
    assert answer.status_code == 400
    assert "is closed" in answer.content.decode()
    job.refresh_from_db()
    assert job.engine_id != wider.pk


@pytest.mark.parametrize(("name", "status"), [("vera", 403), ("pia", 404)])
def test_who_may_not_change_a_job_is_refused(
    as_person: AsPerson, make_job: Callable[..., Job], name: str, status: int
) -> None:
    job = make_job("J1")
    assert as_person(name).get(f"/jobs/{job.number}/engine/").status_code == status


def test_readings_that_the_new_file_has_no_place_for_stay_and_are_told(
    as_person: AsPerson, make_job: Callable[..., Job], engine_text: str
) -> None:
    from oilwedge.metrology.reading import Reading
    from oilwedge.web.record.store import append_entries, change_engine

    job = make_job("J1")
    reading = Reading(
        id="r1",
        feature="rod_journal",
        number=1,
        place="front",
        direction="across",
        value_m=0.04797,
        text="47.97",
        unit="mm",
    )
    append_entries(job=job, entries=(reading,))
    without = engine_text[: engine_text.index("[features.rod_journal]")] + (
        '[fits.crank_end_float]\nbuild = ["0.1 mm", "0.2 mm"]\n'
    )
    engine = engine_of_text(without, file="e")
    kept = keep_engine(name=engine.name, digest=engine.digest, text=without)
    client = as_person("lena")
    page = client.get(f"/jobs/J1/engine/?new={kept.pk}").content.decode()
    assert "would judge nothing" in page
    change_engine(job=job, engine=kept, person="")
    answer = client.get("/jobs/J1/")
    assert answer.status_code == 200
    assert "1 reading judges nothing" in answer.content.decode()
    for address in ("record/", "sheet/", "measure/follow", "parts/", "readings.csv", "sheet.pdf"):
        assert client.get(f"/jobs/J1/{address}").status_code == 200, address
