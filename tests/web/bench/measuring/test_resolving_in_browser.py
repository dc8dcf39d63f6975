"""The script of the page resolves what is typed as the server does: both run the same cases."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

CASES = Path(__file__).parents[3] / "data" / "resolving.json"
RUN = """async (file) => {
  const { resolve } = await import('/static/oilwedge/js/resolve.js');
  return file.cases.map((one) => {
    try {
      return resolve(one.typed, one.unit, file.situations[one.situation].data);
    } catch (error) {
      return { refused: error.message };
    }
  });
}"""


def test_the_script_resolves_every_case_as_the_server_does(
    live_server: Any, page_at: Callable[..., Page]
) -> None:
    file = json.loads(CASES.read_text(encoding="utf-8"))
    page = page_at("desktop")
    page.goto(f"{live_server.url}/offline")
    found = page.evaluate(RUN, file)
    wrong = []
    for case, one in zip(file["cases"], found, strict=True):
        if "refused" in case:
            if case["refused"] not in one.get("refused", "").casefold():
                wrong.append((case, one))
            continue
        same = all(one.get(name) == case[name] for name in ("shown", "how", "form", "bound"))
        same = same and one["unit"] == case["in_unit"] and one["number"] == case["value"]
        same = same and one["alternatives"] == case["alternatives"]
        if not same or bool(one["doubt"]) != case["doubt"]:
            wrong.append((case, one))
    assert not wrong, "\n".join(f"{case}\n   -> {one}" for case, one in wrong)
    assert len(found) > 60
