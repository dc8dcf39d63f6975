"""The service worker and the page that it shows without a network."""

from django.test import Client


def test_the_worker_reaches_all_pages_and_is_always_asked_for_anew() -> None:
    answer = Client().get("/service-worker.js")
    assert answer["Content-Type"].startswith("text/javascript")
    assert answer["Service-Worker-Allowed"] == "/"
    assert answer["Cache-Control"] == "no-cache"
    assert b"oilwedge-pages-" in answer.content
    assert Client().post("/service-worker.js").status_code == 405
