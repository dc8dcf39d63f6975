"""The page of a set without script: plain forms, one answer at a time."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from oilwedge.web.record.models import ClassTask, Job, ShopRevision

URL = "/jobs/J1/measure/rod_journal/1/"


@pytest.fixture
def job(make_job: Callable[..., Job], shop_revision: ShopRevision) -> Job:
    return make_job()


def hidden(page: str) -> dict[str, str]:
    """What the form of the field carries along."""
    form = page[page.index('id="take"') :]
    return dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', form))


def send(client: Client, url: str, **fields: str) -> Any:
    """Fill in the field's form as it stands and press a button."""
    page = client.get(url).content.decode()
    form = {"unit": "mm", "instrument": "mic", **hidden(page), **fields}
    return client.post(url, form)


def test_who_measures_sees_it_and_others_do_not(
    job: Job, as_person: Callable[[str], Client]
) -> None:
    assert Client().get(URL).status_code == 302
    seen = {name: as_person(name).get(URL).status_code for name in ("lena", "ben", "vera", "pia")}
    assert seen == {"lena": 200, "ben": 200, "vera": 403, "pia": 404}


@pytest.mark.parametrize(
    "path", ["nothing/1/", "rod_journal/9/", "rod_journal/0/", "%00/1/", "rod_journal/99999999/"]
)
def test_a_set_that_is_not_there_is_a_page_that_is_not_there(
    job: Job, as_person: Callable[[str], Client], path: str
) -> None:
    assert as_person("ben").get(f"/jobs/J1/measure/{path}").status_code == 404


def test_questions_come_before_the_first_value(
    job: Job, as_person: Callable[[str], Client], events_in: Callable[[str], list[Any]]
) -> None:
    client = as_person("ben")
    assert "Which size is it at now?" in client.get(URL).content.decode()
    client.post(URL, {"action": "size:0.25 mm under"})
    page = client.get(URL).content.decode()
    assert "Rod journals: new, machined or re-used?" in page
    assert "47.730" in page
    client.post(URL, {"action": "condition:rod_journals:machined"})
    found = [(one.kind.value, one.subject, one.value) for one in events_in("J1")]
    assert found == [
        ("size", "rod_journal", "0.25 mm under"),
        ("condition", "rod_journals", "machined"),
    ]
    assert 'class="question"' not in client.get(URL).content.decode()


def test_questions_can_be_left_for_later(job: Job, as_person: Callable[[str], Client]) -> None:
    client = as_person("ben")
    client.post(URL, {"action": "later"})
    assert 'class="question"' not in client.get(URL).content.decode()


def test_a_whole_set_is_measured_without_script(
    job: Job, as_person: Callable[[str], Client], readings_in: Callable[[str], list[Any]]
) -> None:
    client = as_person("ben")
    typed = ("47.972", "47.970", "47,971", "1.8886 in")
    for index, text in enumerate(typed):
        page = client.get(URL).content.decode()
        assert f"{index} of 4" in page
        assert "What it shows" not in page
        answer = send(client, URL, typed=text)
        assert (answer.status_code, answer["Location"]) == (302, URL)
    page = client.get(URL).content.decode()
    assert "4 of 4" in page
    assert "What it shows" in page
    assert "Next: rod bearing bore 1" in page
    found = readings_in("J1")
    assert [one.text for one in found] == list(typed)
    assert [(one.place, one.direction) for one in found] == [
        ("front", "along"),
        ("front", "across"),
        ("rear", "along"),
        ("rear", "across"),
    ]
    assert {one.instrument for one in found} == {"mic"}


def test_last_digits_are_shown_before_they_are_taken(
    job: Job, as_person: Callable[[str], Client], readings_in: Callable[[str], list[Any]]
) -> None:
    client = as_person("ben")
    page = send(client, URL, typed="972").content.decode()
    assert "47.972" in page
    assert not readings_in("J1")
    client.post(URL, {**hidden(page), "typed": "972", "unit": "mm", "action": "sure"})
    assert [(one.text, one.value_m) for one in readings_in("J1")] == [
        ("972", pytest.approx(0.047972))
    ]


def test_a_value_that_cannot_be_asks_back_and_is_kept_on_a_yes(
    job: Job,
    as_person: Callable[[str], Client],
    readings_in: Callable[[str], list[Any]],
    events_in: Callable[[str], list[Any]],
) -> None:
    client = as_person("ben")
    page = send(client, URL, typed="1.889").content.decode()
    assert "did you mean inches" in page.casefold()
    assert not readings_in("J1")
    client.post(URL, {**hidden(page), "typed": "1.889", "unit": "mm", "action": "keep"})
    assert [one.text for one in readings_in("J1")] == ["1.889"]
    assert [one.kind.value for one in events_in("J1")] == ["confirmed"]


def test_a_number_in_the_other_unit_is_taken_by_one_button(
    job: Job, as_person: Callable[[str], Client], readings_in: Callable[[str], list[Any]]
) -> None:
    client = as_person("ben")
    page = send(client, URL, typed="1.889").content.decode()
    assert 'value="bar:1.889 in"' in page
    client.post(URL, {**hidden(page), "typed": "1.889", "unit": "mm", "action": "bar:1.889 in"})
    assert [(one.text, one.unit) for one in readings_in("J1")] == [("1.889 in", "in")]


@pytest.mark.parametrize(
    ("text", "words"),
    [("", "no value"), ("abc", "a number is needed"), ("5", "47.975 mm or 47.985 mm")],
)
def test_what_is_no_value_is_said_at_the_field(
    job: Job, as_person: Callable[[str], Client], text: str, words: str
) -> None:
    answer = send(as_person("ben"), URL, typed=text)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_a_form_that_is_sent_twice_stores_its_reading_once(
    job: Job, as_person: Callable[[str], Client], readings_in: Callable[[str], list[Any]]
) -> None:
    client = as_person("ben")
    page = client.get(URL).content.decode()
    form = {**hidden(page), "typed": "47.972", "unit": "mm", "instrument": "mic"}
    assert [client.post(URL, form).status_code for _ in range(2)] == [302, 302]
    assert len(readings_in("J1")) == 1


def test_a_misread_value_is_replaced_by_one_that_names_it(
    job: Job, as_person: Callable[[str], Client], readings_in: Callable[[str], list[Any]]
) -> None:
    client = as_person("ben")
    send(client, URL, typed="47.792")
    page = client.get(URL).content.decode()
    assert "Misread: front, along" in page
    answer = send(client, f"{URL}?at=front/along", typed="47.972")
    assert answer.status_code == 302
    first, second = readings_in("J1")
    assert second.replaces == first.id
    assert "1 of 4" in client.get(URL).content.decode()


def test_a_place_is_read_once_more_with_and_without_a_refit(
    job: Job, as_person: Callable[[str], Client], readings_in: Callable[[str], list[Any]]
) -> None:
    client = as_person("ben")
    send(client, URL, typed="47.972")
    send(client, f"{URL}?at=front/along&again=same", typed="47.973")
    send(client, f"{URL}?at=front/along&again=refit", typed="47.971")
    assert [(one.replaces, one.fitting) for one in readings_in("J1")] == [
        ("", 1),
        ("", 1),
        ("", 2),
    ]


def test_a_place_is_left_out_with_a_reason_only(
    job: Job, as_person: Callable[[str], Client], events_in: Callable[[str], list[Any]]
) -> None:
    client = as_person("ben")
    assert "Why is this place left out?" in send(client, URL, action="skip").content.decode()
    assert not events_in("J1")
    send(client, URL, action="skip:cannot be reached")
    found = [(one.kind.value, one.value, one.note) for one in events_in("J1")]
    assert found == [("skipped", "front, along", "cannot be reached")]


def test_unit_and_instrument_are_remembered_and_never_change_what_was_typed(
    job: Job, as_person: Callable[[str], Client], readings_in: Callable[[str], list[Any]]
) -> None:
    client = as_person("ben")
    send(client, URL, typed="1.8886", unit="in", instrument="mic_two")
    page = client.get(URL).content.decode()
    assert re.search(r'value="in" checked', page)
    assert re.search(r'<option value="mic_two" selected', page)
    assert "1.8890" in page
    assert [(one.text, one.unit) for one in readings_in("J1")] == [("1.8886", "in")]
    assert "1.8886 in" in page


def test_a_zero_check_is_kept_for_the_instrument_in_hand(
    job: Job, as_person: Callable[[str], Client], events_in: Callable[[str], list[Any]]
) -> None:
    send(as_person("ben"), URL, action="zero:failed")
    assert [(one.kind.value, one.instrument, one.value) for one in events_in("J1")] == [
        ("zero check", "mic", "failed")
    ]


def test_a_strip_is_read_by_touching_a_bar_or_by_words(
    job: Job, as_person: Callable[[str], Client], readings_in: Callable[[str], list[Any]]
) -> None:
    client, url = as_person("ben"), "/jobs/J1/measure/rod_strip/1/"
    page = client.get(url).content.decode()
    assert "nothing is turned until the cap is off again" in page
    assert "0.038 mm" in page
    send(client, url, instrument="narrow", action="bar:0.038 mm")
    send(client, url, instrument="narrow", action="bar:wider than the widest bar")
    found = [(one.text, one.bound.value) for one in readings_in("J1")]
    assert found == [("0.038 mm", "is"), ("wider than the widest bar", "at most")]


def test_a_strip_can_be_told_by_its_width(
    job: Job, as_person: Callable[[str], Client], readings_in: Callable[[str], list[Any]]
) -> None:
    url = "/jobs/J1/measure/rod_strip/1/"
    send(as_person("ben"), url, instrument="narrow", typed="1.45", action="width")
    assert [one.text for one in readings_in("J1")] == ["width 1.45"]
    assert readings_in("J1")[0].form.value == "width of the flattened strip"


def test_a_closed_job_takes_nothing_and_says_so(
    job: Job, as_person: Callable[[str], Client], readings_in: Callable[[str], list[Any]]
) -> None:
    Job.objects.filter(pk=job.pk).update(closed=True)
    client = as_person("ben")
    assert "is closed" in client.get(URL).content.decode()
    answer = client.post(
        URL, {"at": "front/along", "typed": "47.972", "unit": "mm", "action": "take"}
    )
    assert answer.status_code == 422
    assert "closed" in answer.content.decode()
    assert not readings_in("J1")


def test_a_reading_at_a_place_that_is_not_there_is_refused(
    job: Job, as_person: Callable[[str], Client]
) -> None:
    answer = send(as_person("ben"), URL, at="nowhere/up", typed="47.972")
    assert answer.status_code == 422


def test_a_form_from_elsewhere_is_refused(
    job: Job, people: dict[str, Any], readings_in: Callable[[str], list[Any]]
) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(people["ben"], backend="django.contrib.auth.backends.ModelBackend")
    answer = client.post(URL, {"at": "front/along", "typed": "47.972", "unit": "mm"})
    assert answer.status_code == 403
    assert not readings_in("J1")


def test_results_stay_hidden_until_a_lead_shows_them(
    job: Job, as_person: Callable[[str], Client]
) -> None:
    client = as_person("lena")
    send(client, URL, typed="47.972")
    assert "What it shows" not in client.get(URL).content.decode()
    client.post("/jobs/J1/measure/blind", {"blind": "no", "back": URL})
    assert "What it shows so far" in client.get(URL).content.decode()
    assert "What it shows" not in as_person("ben").get(URL).content.decode()


def test_a_pupil_sees_no_result_before_the_teacher_shows_them(
    job: Job, people: dict[str, Any], as_person: Callable[[str], Client]
) -> None:
    task = ClassTask.objects.create(
        title="one crank", engine=job.engine, features="rod_journal", made_by=people["lena"]
    )
    Job.objects.filter(pk=job.pk).update(task=task, pupil=people["pia"], blind=False)
    client = as_person("pia")
    assert as_person("pol").get(URL).status_code == 404
    for text in ("47.972", "47.970", "47.971", "47.969"):
        send(client, URL, typed=text)
    page = client.get(URL).content.decode()
    assert "4 of 4" in page
    assert "What it shows" not in page.replace("What it shows stays hidden", "")
    ClassTask.objects.update(shows_results=True)
    assert "What it shows" in client.get(URL).content.decode()


def test_a_zeroed_gauge_asks_larger_or_smaller(
    make_job: Callable[..., Job],
    shop_revision: ShopRevision,
    as_person: Callable[[str], Client],
    readings_in: Callable[[str], list[Any]],
) -> None:
    make_job("J2", engine="four")
    client, url = as_person("ben"), "/jobs/J2/measure/rod_gauge/1/"
    page = send(client, url, typed="0.038", instrument="").content.decode()
    assert "Larger than zero" in page
    client.post(url, {**hidden(page), "typed": "0.038", "unit": "mm", "action": "smaller"})
    assert [(one.text, one.value_m) for one in readings_in("J2")] == [
        ("-0.038", pytest.approx(-3.8e-5))
    ]


def test_who_only_follows_is_led_to_the_second_screen(
    job: Job, as_person: Callable[[str], Client]
) -> None:
    answer = as_person("ben").get(f"{URL}?follow=1")
    assert answer["Location"] == "/jobs/J1/measure/follow"


def test_a_question_about_a_gap_does_not_tell_its_limit(
    make_job: Callable[..., Job], shop_revision: ShopRevision, as_person: Callable[[str], Client]
) -> None:
    make_job("J2", engine="four")
    for text in ("25", "30"):
        page = send(as_person("ben"), "/jobs/J2/measure/top_ring_gap/1/", typed=text)
        words = page.content.decode()
        assert f"{text} mm cannot be" in words
        assert "largest limit" not in words
        assert "0.35 mm" not in words
