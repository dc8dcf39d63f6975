import pytest

from oilwedge.report.document import Align, Column, Emphasis, Row, Table, Text


def test_a_row_with_a_missing_cell_is_refused_with_its_number() -> None:
    columns = (Column(title="a"), Column(title="b"))
    with pytest.raises(ValueError, match="table row 1 has 1 cells; it must have 2"):
        Table(columns=columns, rows=(Row(cells=(Text(text="x"),)),))


def test_a_group_row_has_one_cell() -> None:
    columns = (Column(title="a"), Column(title="b"))
    row = Row(cells=(Text(text="Rod bearings"),), emphasis=Emphasis.GROUP)
    assert Table(columns=columns, rows=(row,)).rows == (row,)


def test_a_table_without_columns_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one column"):
        Table(columns=(), rows=())


def test_a_column_needs_a_width_above_zero() -> None:
    with pytest.raises(ValueError, match="above zero"):
        Column(title="a", align=Align.LEFT, width_weight=0)
