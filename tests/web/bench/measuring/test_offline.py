"""The page in the place of one that cannot be reached."""

from django.test import Client


def test_it_is_open_to_all_and_names_nobody(db: None) -> None:
    answer = Client().get("/offline")
    assert answer.status_code == 200
    assert "No connection" in answer.content.decode()
    assert "Log out" not in answer.content.decode()
