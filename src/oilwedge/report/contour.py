"""Level lines of a field on a grid: marching squares.

Each cell of the grid is crossed by straight pieces where the field passes the level; the pieces are
joined to lines. A saddle is decided by the mean of its four corners.
"""

from __future__ import annotations

from collections.abc import Sequence

Point = tuple[float, float]
Edge = tuple[int, int, int]  # column, row, 0: to the next column, 1: to the next row

# Edges of a cell: 0 below, 1 right, 2 above, 3 left. Corners counted from below left, leftwards.
_PIECES: dict[int, tuple[tuple[int, int], ...]] = {
    0: (), 1: ((3, 0),), 2: ((0, 1),), 3: ((3, 1),), 4: ((1, 2),), 6: ((0, 2),), 7: ((3, 2),),
    8: ((2, 3),), 9: ((2, 0),), 11: ((2, 1),), 12: ((1, 3),), 13: ((1, 0),), 14: ((0, 3),), 15: (),
}  # fmt: skip


def level_lines(
    xs: Sequence[float], ys: Sequence[float], field: Sequence[Sequence[float]], *, level: float
) -> tuple[tuple[Point, ...], ...]:
    """The lines on which the field has the level; a closed one ends where it begins.

    ``field[i][j]`` stands at ``xs[i]``, ``ys[j]``; xs and ys rise. The field is higher on the
    right of a line. Errors: a ValueError for a grid that is not two by two at least or a field of
    another shape.
    """
    if len(xs) < 2 or len(ys) < 2:
        raise ValueError("level lines need a grid of two by two points at least")
    if len(field) != len(xs) or any(len(column) != len(ys) for column in field):
        raise ValueError("a field has to have one value for each point of its grid")
    follows: dict[Edge, Edge] = {}
    reaches = [min(column) < level <= max(column) for column in field]
    above = [column[0] >= level for column in field]
    for i in range(len(xs) - 1):
        if not (reaches[i] or reaches[i + 1]) and above[i] is above[i + 1]:
            continue  # all corners of these cells lie on one side
        for j in range(len(ys) - 1):
            for start, end in _cell(field, i, j, level):
                follows[start] = end
    return tuple(
        tuple(_crossing(xs, ys, field, edge, level) for edge in line) for line in _joined(follows)
    )


def _cell(
    field: Sequence[Sequence[float]], i: int, j: int, level: float
) -> list[tuple[Edge, Edge]]:
    corners = (field[i][j], field[i + 1][j], field[i + 1][j + 1], field[i][j + 1])
    case = sum(1 << n for n, value in enumerate(corners) if value >= level)
    edges: tuple[Edge, ...] = ((i, j, 0), (i + 1, j, 1), (i, j + 1, 0), (i, j, 1))
    if case in (5, 10):
        high_middle = sum(corners) / 4.0 >= level
        if case == 5:
            pieces = ((1, 0), (3, 2)) if high_middle else ((3, 0), (1, 2))
        else:
            pieces = ((0, 3), (2, 1)) if high_middle else ((0, 1), (2, 3))
    else:
        pieces = _PIECES[case]  # type: ignore[assignment]
    return [(edges[start], edges[end]) for start, end in pieces]


def _joined(follows: dict[Edge, Edge]) -> list[list[Edge]]:
    """Lines from their first edge on: open ones first, then the closed ones."""
    lines = []
    ends = set(follows.values())
    for start in [edge for edge in follows if edge not in ends] + list(follows):
        if start not in follows:
            continue
        line = [start]
        while line[-1] in follows:
            line.append(follows.pop(line[-1]))
        lines.append(line)
    return lines


def _crossing(
    xs: Sequence[float],
    ys: Sequence[float],
    field: Sequence[Sequence[float]],
    edge: Edge,
    level: float,
) -> Point:
    i, j, way = edge
    k, m = (i + 1, j) if way == 0 else (i, j + 1)
    first, last = field[i][j], field[k][m]
    share = (level - first) / (last - first)
    return xs[i] + share * (xs[k] - xs[i]), ys[j] + share * (ys[m] - ys[j])
