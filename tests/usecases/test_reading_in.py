"""Tables and job files that a person names, read into one record."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from oilwedge.errors import InputError, JobFileError, ReadingsError
from oilwedge.usecases.importing.imported import BadRows
from oilwedge.usecases.reading_in import ReadIn, read_in

Bench = Any  # the fixture of conftest.py
HEADER = "id,feature,number,place,direction,value [mm]\n"
GOOD = HEADER + "a,rod journal,1,front,along,47.972\nb,rod journal,1,rear,along,47.971\n"
BAD = HEADER + "c,rod journal,1,front,along,47.972\nd,rod journal,1,front,along,nonsense\n"


def read(bench: Bench, *paths: Path, bad_rows: BadRows = BadRows.REFUSE_ALL) -> ReadIn:
    return read_in(paths=paths, engine=bench.engine, shop=bench.shop, bad_rows=bad_rows)


def table(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_two_tables_make_one_record_in_their_order(bench: Bench, tmp_path: Path) -> None:
    one = table(tmp_path, "one.csv", GOOD)
    two = table(tmp_path, "two.csv", HEADER + "e,rod journal,2,front,along,47.970\n")
    assert [entry.id for entry in read(bench, one, two).entries] == ["a", "b", "e"]


def test_the_same_table_twice_adds_nothing(bench: Bench, tmp_path: Path) -> None:
    path = table(tmp_path, "one.csv", GOOD)
    assert len(read(bench, path, path).entries) == 2


def test_one_id_with_two_contents_is_refused(bench: Bench, tmp_path: Path) -> None:
    one = table(tmp_path, "one.csv", GOOD)
    two = table(tmp_path, "two.csv", HEADER + "a,rod journal,1,front,along,47.999\n")
    with pytest.raises((ReadingsError, JobFileError), match="this id stands for"):
        read(bench, one, two)


def test_a_correction_may_stand_in_another_table(bench: Bench, tmp_path: Path) -> None:
    one = table(tmp_path, "one.csv", GOOD)
    header = HEADER.rstrip() + ",replaces\n"
    two = table(tmp_path, "two.csv", header + "f,rod journal,1,front,along,47.970,a\n")
    assert read(bench, one, two).entries[-1].replaces == "a"  # type: ignore[union-attr]


def test_bad_rows_refuse_all_and_name_every_one(bench: Bench, tmp_path: Path) -> None:
    one = table(tmp_path, "one.csv", BAD)
    two = table(tmp_path, "two.csv", BAD.replace("c,", "x,").replace("d,", "y,"))
    with pytest.raises(ReadingsError) as caught:
        read(bench, one, two)
    text = str(caught.value)
    assert "one.csv, row 3" in text
    assert "two.csv, row 3" in text


def test_good_rows_are_kept_on_request_and_the_rest_can_be_mended(
    bench: Bench, tmp_path: Path
) -> None:
    found = read(bench, table(tmp_path, "one.csv", BAD), bad_rows=BadRows.KEEP_GOOD)
    assert [entry.id for entry in found.entries] == ["c"]
    assert "nonsense" in found.rest_csv
    assert any("1 row" in note for note in found.notes)
    mended = table(tmp_path, "rest.csv", found.rest_csv.replace("nonsense", "47.971"))
    assert [entry.id for entry in read(bench, mended).entries] == ["d"]


def test_columns_that_mean_nothing_are_named(bench: Bench, tmp_path: Path) -> None:
    path = table(tmp_path, "one.csv", "feature,number,value [mm],colour\nrod journal,1,47.97,red\n")
    assert any("colour" in note for note in read(bench, path).notes)


def test_a_file_that_is_not_there_is_one_sentence(bench: Bench, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"nowhere\.csv"):
        read(bench, tmp_path / "nowhere.csv")
