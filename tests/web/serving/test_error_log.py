"""The log holds places in the code, and nothing about people."""

from __future__ import annotations

import logging
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from oilwedge.web.serving.error_log import keep_errors


@pytest.fixture(autouse=True)
def _root_as_before() -> Iterator[None]:
    root = logging.getLogger()
    handlers, level = list(root.handlers), root.level
    yield
    for handler in root.handlers:
        if handler not in handlers:
            handler.close()
    root.handlers[:] = handlers
    root.setLevel(level)


def failing(name: str) -> None:
    raise ValueError(f"the password of {name}")


def test_a_fault_is_kept_without_words_names_or_addresses(tmp_path: Path) -> None:
    keep_errors(tmp_path)
    try:
        failing("Lena")
    except ValueError:
        logging.getLogger("django.request").exception("Fault at %s", "/invitation/token-of-lena")
    text = (tmp_path / "log" / "errors.log").read_text(encoding="utf-8")
    assert "django.request ERROR" in text
    assert "builtins.ValueError" in text
    assert "test_error_log.py" in text
    assert " failing" in text
    assert "ena" not in text.replace(str(Path(__file__)), "")
    assert "password" not in text


def test_news_that_are_no_faults_are_not_kept(tmp_path: Path) -> None:
    keep_errors(tmp_path)
    logging.getLogger("django.request").warning("Not Found: /jobs/17/")
    assert not (tmp_path / "log" / "errors.log").exists()


def test_the_log_stays_small(tmp_path: Path) -> None:
    keep_errors(tmp_path)
    log = logging.getLogger("oilwedge.serving")
    for _ in range(300):
        log.error("x" * 5000)
    files = list((tmp_path / "log").iterdir())
    assert len(files) == 4
    assert sum(path.stat().st_size for path in files) < 1.2 * 2**20


@pytest.mark.skipif(sys.platform == "win32", reason="rights of files are others there")
def test_the_log_is_for_its_owner_alone(tmp_path: Path) -> None:
    keep_errors(tmp_path)
    logging.getLogger("oilwedge.serving").error("a fault")
    assert (tmp_path / "log" / "errors.log").stat().st_mode & 0o777 == 0o600


def test_a_log_that_cannot_be_written_says_nothing_on_the_terminal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    keep_errors(tmp_path)
    (tmp_path / "log" / "errors.log").mkdir()  # stands for a full disk: opening it fails
    logging.getLogger("oilwedge.serving").error("The database cannot be had.")
    assert capsys.readouterr().err == ""
