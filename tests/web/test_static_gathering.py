"""Static files are gathered once for each state of their sources."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from oilwedge.web import static_gathering
from oilwedge.web.static_gathering import STAMP_FILE, gather_static_files

pytestmark = pytest.mark.slow


@pytest.fixture
def target(tmp_path: Path) -> Path:
    folder = tmp_path / "static"
    gather_static_files(folder)
    return folder


def test_every_file_has_a_lasting_name_and_no_map_comes_along(target: Path) -> None:
    names = json.loads((target / "staticfiles.json").read_text())["paths"]
    assert names
    assert all((target / hashed).is_file() for hashed in names.values())
    assert not [*target.rglob("*.map"), *target.rglob("*.br")]
    assert [*target.rglob("*.css.gz")]


def test_the_next_start_copies_nothing(target: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*arguments: object, **options: object) -> None:
        raise AssertionError("gathered again")

    monkeypatch.setattr(static_gathering, "call_command", never)
    gather_static_files(target)


def test_another_version_gathers_again_and_clears_what_was(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (target / "old.css").write_text("a{}")
    monkeypatch.setattr(static_gathering, "__version__", "9999")
    gather_static_files(target)
    assert not (target / "old.css").exists()
    assert (target / STAMP_FILE).is_file()


def test_a_gathering_that_was_cut_off_is_done_again(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def cut_off(*arguments: object, **options: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(static_gathering, "__version__", "9999")
        patched.setattr(static_gathering, "call_command", cut_off)
        with pytest.raises(OSError, match="No space"):
            gather_static_files(target)
    (target / "staticfiles.json").unlink()
    gather_static_files(target)
    assert (target / "staticfiles.json").is_file()
