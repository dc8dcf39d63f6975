"""Shelf and engine files as they look: three sizes, light and dark, no rule of access broken."""

from collections.abc import Callable

import pytest
from django.test import Client
from playwright.sync_api import Page

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", ["phone", "tablet", "desktop"])
def test_shelf_and_engine_files_fit_every_size(
    live_server: object,
    as_person: Callable[[str], Client],
    shop_revision: object,
    four_text: str,
    page_at: Callable[..., Page],
    axe: Callable[[Page], None],
    picture: Callable[[Page, str], None],
    fits_the_screen: Callable[[Page], None],
    lend_session: Callable[..., None],
    size: str,
    scheme: str,
) -> None:
    client = as_person("lena")
    show = client.post("/engines/edit", {"text": four_text}).url
    url = str(live_server)
    page = page_at(size, scheme=scheme)
    lend_session(page, client, url)
    for name, address in {
        "shelf": "/shelf/",
        "instrument": "/shelf/instruments/new",
        "shop-file": "/shelf/file",
        "revisions": "/shelf/revisions?number=1",
        "engines": "/engines/",
        "engine-new": "/engines/new",
        "engine": show,
        "engine-edit": "/engines/edit?from=" + show.rstrip("/").rsplit("/", 1)[-1],
    }.items():
        page.goto(url + address)
        picture(page, f"{name}-{size}-{scheme}")
        axe(page)
        fits_the_screen(page)
