"""What is made from the code is what is committed."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_made_pages_are_up_to_date() -> None:
    answer = subprocess.run(
        [sys.executable, str(ROOT / "docs" / "make_pages.py"), "--check"],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )
    assert answer.returncode == 0, answer.stdout + answer.stderr
