"""A QR code in a terminal has the shape that the standard draws."""

from __future__ import annotations

from oilwedge.report.qr_text import QUIET_MODULES, qr_text

ABOVE = {"█": 1, "▀": 1, "▄": 0, " ": 0}
BELOW = {"█": 1, "▀": 0, "▄": 1, " ": 0}
# ISO/IEC 18004, position detection pattern: 7 x 7, dark rim, light ring, dark core (RECALLED)
FINDER = (
    "1111111",
    "1000001",
    "1011101",
    "1011101",
    "1011101",
    "1000001",
    "1111111",
)


def dark_modules(text: str) -> list[str]:
    """Rows of the code, 1 for dark; light ones are drawn."""
    rows = []
    for line in text.split("\n"):
        for table in (ABOVE, BELOW):
            rows.append("".join(str(1 - table[letter]) for letter in line))
    return rows


def test_three_corners_hold_the_pattern_that_cameras_look_for() -> None:
    rows = dark_modules(qr_text("https://192.168.7.20:8470/"))
    width = len(rows[0])
    size = width - 2 * QUIET_MODULES
    assert (size - 17) % 4 == 0  # sides of the standard are 17 + 4 x version
    q = QUIET_MODULES
    for top, left in ((q, q), (q, q + size - 7), (q + size - 7, q)):
        found = tuple(row[left : left + 7] for row in rows[top : top + 7])
        assert found == FINDER


def test_all_lines_are_as_wide_and_light_all_round() -> None:
    lines = qr_text("https://anvil.local:8470/").split("\n")
    assert len({len(line) for line in lines}) == 1
    assert set(lines[0]) == {"█"}
    assert {line[:QUIET_MODULES] + line[-QUIET_MODULES:] for line in lines} == {"█" * 4}
