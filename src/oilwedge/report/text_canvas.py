"""A small page of characters on which a terminal draws its plots; ASCII only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

COLUMNS = 64


@dataclass(slots=True)
class TextCanvas:
    """Rows of characters; a place is a share of the width from the left, of the height from above.

    What is set later stands over what was set before.
    """

    columns: int
    rows: int
    cells: list[list[str]] = field(init=False)

    def __post_init__(self) -> None:
        if self.columns < 2 or self.rows < 2:
            raise ValueError("a page of characters needs two columns and two rows at least")
        self.cells = [[" "] * self.columns for _ in range(self.rows)]

    def put(self, across: float, down: float, character: str) -> None:
        """One character; what lies outside is left out."""
        column, row = round(across * (self.columns - 1)), round(down * (self.rows - 1))
        if 0 <= column < self.columns and 0 <= row < self.rows:
            self.cells[row][column] = character

    def line(self, places: Sequence[tuple[float, float]], character: str) -> None:
        """A line through places, without gaps."""
        for (x0, y0), (x1, y1) in pairwise(places):
            steps = 1 + int(max(abs(x1 - x0) * self.columns, abs(y1 - y0) * self.rows))
            for n in range(steps + 1):
                self.put(x0 + (x1 - x0) * n / steps, y0 + (y1 - y0) * n / steps, character)

    def lines(self, *, margin: Sequence[str] = ()) -> tuple[str, ...]:
        """The rows without trailing blanks; ``margin`` is set before them, right-justified."""
        width = max((len(text) for text in margin), default=0)
        heads = [*margin, *[""] * (self.rows - len(margin))]
        edge = " |" if margin else ""
        return tuple(
            f"{head.rjust(width)}{edge}{''.join(row)}".rstrip()
            for head, row in zip(heads, self.cells, strict=True)
        )
