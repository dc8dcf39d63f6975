"""Engine files in the browser: the list, one file, a new one, edit with faults at the line."""

from collections.abc import Callable

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from oilwedge.web.record.models import EngineText

pytestmark = pytest.mark.django_db
AsPerson = Callable[[str], Client]


def keep(client: Client, text: str) -> EngineText:
    answer = client.post("/engines/edit", {"text": text})
    assert answer.status_code == 302, answer.content.decode()
    return EngineText.objects.get(digest=answer.url.rstrip("/").rsplit("/", 1)[-1])


def test_a_kept_file_stands_on_the_list_and_is_shown_line_by_line(
    as_person: AsPerson, engine_text: str
) -> None:
    client = as_person("ben")
    kept = keep(client, engine_text)
    assert kept.text == engine_text
    assert kept.name in client.get("/engines/").content.decode()
    shown = client.get(f"/engines/{kept.digest}/").content.decode()
    assert 'id="line-1"' in shown


def test_a_browsers_line_ends_do_not_make_another_file(
    as_person: AsPerson, engine_text: str
) -> None:
    client = as_person("ben")
    first = keep(client, engine_text)
    assert keep(client, engine_text.replace("\n", "\r\n")).pk == first.pk


def test_a_fault_stands_at_its_line_and_nothing_is_kept(
    as_person: AsPerson, engine_text: str
) -> None:
    lines = engine_text.splitlines()
    lines.insert(3, "cilinders = 4")
    answer = as_person("ben").post("/engines/edit", {"text": "\n".join(lines)})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "line 4" in page
    assert '<li class="line-fault"><span class="line-number">4</span>' in page
    assert "cilinders = 4" in page
    assert not EngineText.objects.exists()


def test_checking_alone_keeps_nothing(as_person: AsPerson, engine_text: str) -> None:
    answer = as_person("ben").post("/engines/edit", {"text": engine_text, "check": "1"})
    assert "No fault was found" in answer.content.decode()
    assert not EngineText.objects.exists()


@pytest.mark.parametrize("data", [b"\xff\xfe\x00", b"\x89PNG\r\n\x1a\n" + bytes(200)])
def test_a_file_of_another_type_gets_one_sentence(as_person: AsPerson, data: bytes) -> None:
    sent = SimpleUploadedFile("photo.png", data)
    answer = as_person("ben").post("/engines/edit", {"text": "", "file": sent})
    assert answer.status_code == 422
    assert "photo.png" in answer.content.decode()


def test_a_new_file_from_layout_goes_on_to_be_filled_in(as_person: AsPerson) -> None:
    client = as_person("ben")
    typed = {"name": "Invented twin", "kind": "V", "cylinders": "2", "v_angle": "60 deg"}
    page = client.post("/engines/new", typed).content.decode()
    assert "Invented twin" in page
    assert "60 deg" in page
    assert "fill in what the manual says" in page


def test_an_answer_that_cannot_be_is_said_at_its_field(as_person: AsPerson) -> None:
    answer = as_person("ben").post("/engines/new", {"cylinders": "99", "firing_order": "1-2"})
    assert answer.status_code == 422
    assert 'id="cylinders-fault"' in answer.content.decode()


def test_two_files_are_compared_line_by_line(as_person: AsPerson, engine_text: str) -> None:
    client = as_person("ben")
    old = keep(client, engine_text)
    new = keep(client, engine_text.replace("format = 1", "format = 1  # looked through"))
    page = client.get("/engines/compare", {"old": old.digest, "new": new.digest}).content.decode()
    assert "looked through" in page
    assert 'class="added"' in page
    assert 'class="removed"' in page


def test_a_file_can_be_taken_off_the_offer_and_stays(as_person: AsPerson, engine_text: str) -> None:
    client = as_person("ben")
    kept = keep(client, engine_text)
    client.post(f"/engines/{kept.digest}/offer", {"offer": "no"})
    kept.refresh_from_db()
    assert not kept.on_list
    assert kept.text == engine_text


def test_a_file_is_saved_as_it_was_written(as_person: AsPerson, engine_text: str) -> None:
    client = as_person("ben")
    kept = keep(client, engine_text)
    answer = client.get(f"/engines/{kept.digest}.toml")
    assert answer.content.decode() == engine_text
    assert "attachment" in answer["Content-Disposition"]


@pytest.mark.parametrize("name", ["vera", "pia"])
@pytest.mark.parametrize("address", ["/engines/", "/engines/new", "/engines/edit"])
def test_viewers_and_pupils_do_not_come_in(as_person: AsPerson, name: str, address: str) -> None:
    assert as_person(name).get(address).status_code in (403, 404)
