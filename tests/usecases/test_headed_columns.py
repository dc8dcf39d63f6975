"""A table whose headings carry their units."""

from __future__ import annotations

import numpy as np
import pytest

from oilwedge.errors import ReadingsError
from oilwedge.unit_table import Dimension
from oilwedge.usecases.headed_columns import Headings, read_columns

HEADINGS = Headings(
    table="an invented table",
    columns={"oil flow": Dimension.LENGTH, "angle": Dimension.ANGLE},
    needed="it has the columns oil flow [mm] and angle [deg]",
)


def read(text: str, *, encoding: str = "utf-8") -> dict[str, np.ndarray]:
    return read_columns(text.encode(encoding), file="table.csv", headings=HEADINGS)


@pytest.mark.parametrize("head", ["oil flow [mm]", "Oil_Flow [mm]", " OIL  flow[mm] "])
def test_case_spaces_and_underscores_do_not_matter(head: str) -> None:
    columns = read(f"{head};angle [°]\n1,5;180\n\n2;90\n")
    np.testing.assert_allclose(columns["oil flow"], [1.5e-3, 2e-3])
    np.testing.assert_allclose(columns["angle"], [np.pi, np.pi / 2.0])


def test_columns_may_be_fewer() -> None:
    assert list(read("angle [rad]\n1\n")) == ["angle"]


def test_text_in_another_encoding_is_refused_with_what_to_do() -> None:
    with pytest.raises(ReadingsError, match="CSV UTF-8"):
        read("angle [°]\n1\n", encoding="latin-1")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("oil flow [mm],oil_flow [um]\n1,2\n", "there twice; it has the columns"),
        ("oil flow\n1\n", "the unit is missing"),
        ("oil flow [deg]\n1\n", "table.csv, row 1"),
        ("oil flaw [mm]\n1\n", "did you mean 'oil flow'"),
        ("angle [deg]\nmuch\n", "table.csv, row 2, column angle"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(text: str, words: str) -> None:
    with pytest.raises(ReadingsError) as caught:
        read(text)
    assert words in str(caught.value)
