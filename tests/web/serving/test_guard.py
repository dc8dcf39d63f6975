"""One server for one shop."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from oilwedge.errors import InputError
from oilwedge.web.serving.guard import guard_shop


def test_a_second_server_is_told_where_the_first_one_is(tmp_path: Path) -> None:
    first = guard_shop(tmp_path / "shop")
    first.say_where("http://127.0.0.1:8470/")
    with pytest.raises(InputError, match=r"open already at http://127\.0\.0\.1:8470/; use it"):
        guard_shop(tmp_path / "shop")
    first.let_go()


def test_a_shop_that_was_let_go_can_be_taken(tmp_path: Path) -> None:
    guard_shop(tmp_path).let_go()
    guard_shop(tmp_path).let_go()


def test_a_server_that_was_killed_holds_nothing(tmp_path: Path) -> None:
    program = (
        "import os, sys, pathlib\n"
        "from oilwedge.web.serving.guard import guard_shop\n"
        "guard = guard_shop(pathlib.Path(sys.argv[1]))\n"
        "guard.say_where('http://127.0.0.1:1/')\n"
        "os._exit(9)\n"
    )
    subprocess.run([sys.executable, "-c", program, str(tmp_path)], check=False, timeout=60)
    guard_shop(tmp_path).let_go()


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "shop").write_text("a file")
    with pytest.raises(InputError, match="name a folder for the shop that you may write in"):
        guard_shop(tmp_path / "shop")
