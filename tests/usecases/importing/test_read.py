import datetime
import io
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from oilwedge.engine.model import Engine
from oilwedge.errors import InputError, MissingExtraError, ReadingsError
from oilwedge.job.entry import Event, EventKind, WorkKind
from oilwedge.job.file import append_to_job, create_job
from oilwedge.job.header import JobHeader
from oilwedge.metrology.reading import Reading
from oilwedge.shop.model import Shop
from oilwedge.usecases.importing import Imported, read, read_table, sheets, tables

Take = Callable[[str | bytes], Imported]
PLAIN = """feature,number,place,direction,value [mm],instrument,person,time,part temperature
Rod journal,3,rear,across,47.972,mic2,Ada,2026-03-01 14:05,21.5
rod_journal,4,front,along,47.971,MIC2,Ada,2026-03-01T14:06+01:00,70 F
"""


def readings(imported: Imported) -> list[Reading]:
    return [entry for entry in imported.entries if isinstance(entry, Reading)]


def sentence(imported: Imported) -> str:
    assert len(imported.faults) == 1, imported.faults
    return imported.faults[0].sentence()


def test_a_row_becomes_a_reading_that_keeps_what_was_typed(take: Take) -> None:
    first, second = readings(take(PLAIN))
    assert first == Reading(
        id=first.origin,
        feature="rod_journal",
        number=3,
        place="rear",
        direction="across",
        value_m=0.047972,
        text="47.972",
        unit="mm",
        instrument="mic2",
        person="Ada",
        time=datetime.datetime(2026, 3, 1, 14, 5),
        part_temperature_c=21.5,
        origin=first.origin,
    )
    assert first.id.endswith(":2")
    assert len(first.id.split(":")[0]) == 12
    assert second.part_temperature_c == pytest.approx(21.111, abs=1e-3)
    assert second.time is not None
    assert second.time.utcoffset() == datetime.timedelta(hours=1)


@pytest.mark.parametrize(
    "data",
    [
        PLAIN.encode("utf-8"),
        PLAIN.encode("utf-8-sig"),
        PLAIN.encode("utf-16"),
        PLAIN.replace("\n", "\r\n").encode(),
        PLAIN.replace(",", "\t").encode(),
        PLAIN.replace(",", ";").replace(".", ",").encode(),
        b"sep=;\n" + PLAIN.replace(",", ";").encode(),
        b"\n\n" + PLAIN.encode(),
        PLAIN.replace("feature,number", "FEATURE, No.").encode(),
        PLAIN.replace("value [mm]", "Value (mm)").encode(),
        PLAIN.replace("value [mm]", "measured_value_mm").encode(),
        PLAIN.replace("part temperature", "Part-Temp").encode(),
    ],
)
def test_every_way_of_writing_a_table_gives_the_same_readings(take: Take, data: bytes) -> None:
    def bare(imported: Imported) -> list[Reading]:
        return [replace(r, id="", origin="", text="") for r in readings(imported)]

    assert bare(take(data)) == bare(take(PLAIN))


def test_a_spreadsheet_gives_the_same_readings(take: Take) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["Feature", "Number", "Place", "Direction", "Value [mm]", "Time", "refit"])
    sheet.append(
        ["Rod journal", 3, "rear", "across", 47.972, datetime.datetime(2026, 3, 1, 14, 5), False]
    )
    sheet.append(["Rod journal", 3, "rear", "across", datetime.date(2026, 3, 1), None, True])
    sheet.append(["Rod journal", 3, "rear", "across", "=40+7.97", None, None])
    notes = book.create_sheet("Notes")
    notes.append(["nothing to", "read here"])
    stream = io.BytesIO()
    book.save(stream)
    imported = take(stream.getvalue())
    (reading,) = readings(imported)
    assert (reading.number, reading.value_m, reading.text) == (3, 0.047972, "47.972")
    assert reading.time == datetime.datetime(2026, 3, 1, 14, 5)
    words = [fault.sentence() for fault in imported.faults]
    assert "row 3, column Value [mm]: given '2026-03-01'; this is a date" in words[0]
    assert "row 4, column Value [mm]: there is no value" in words[1]


ODS = """<?xml version="1.0"?><office:document-content
 xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"
 xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet>
<table:table table:name="S">{rows}</table:table>
</office:spreadsheet></office:body></office:document-content>"""


def ods(*rows: str) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr(
            "META-INF/manifest.xml",
            "<manifest:manifest"
            ' xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
            '<manifest:file-entry manifest:full-path="/"'
            ' manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/>'
            "</manifest:manifest>",
        )
        archive.writestr("content.xml", ODS.format(rows="".join(rows)))
    return stream.getvalue()


def ods_row(*cells: str | float, repeat: int = 1) -> str:
    def cell(value: str | float) -> str:
        if isinstance(value, str):
            return (
                f'<table:table-cell office:value-type="string"><text:p>{value}</text:p>'
                "</table:table-cell>"
            )
        return (
            f'<table:table-cell office:value-type="float" office:value="{value}">'
            f"<text:p>{value}</text:p></table:table-cell>"
        )

    body = "".join(cell(value) for value in cells)
    return f'<table:table-row table:number-rows-repeated="{repeat}">{body}</table:table-row>'


def test_an_ods_is_read_too(take: Take) -> None:
    empty = (
        '<table:table-row table:number-rows-repeated="1048000">'
        '<table:table-cell table:number-columns-repeated="16384"/></table:table-row>'
    )
    data = ods(ods_row("feature", "number", "value [mm]"), ods_row("rod journal", 2, 47.97), empty)
    (reading,) = readings(take(data))
    assert (reading.feature, reading.number, reading.value_m) == ("rod_journal", 2, 0.04797)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "the file is empty"),
        (b" \n\n", "the file is empty"),
        (b"feature,number,value [mm]\n", "column names and no readings"),
        (b"feature,number,value [mm]\n,,\n", "column names and no readings"),
        (b"feature,number\nrod journal,1\n", "there is no column 'value'"),
        (b"value [mm]\n47.97\n", "there is no column 'feature'"),
        (b"hello world\n1\n", "there is no column 'feature'"),
        (b"feature,value [mm],Value (in)\nx,1,1\n", "two columns are the value"),
        (b"feature,value [furlong]\nx,1\n", "'furlong' is no unit"),
        (b"feature,valeu [mm]\nx,1\n", "there is no column 'value'"),
        (b"feature,value,direktion\nx,1,1\n", "did you mean 'direction'?"),
        ("feature,value [µm]\n".encode("cp1252"), "save the table as 'CSV UTF-8'"),
        (b"\x00\x01\x02", "this is no text"),
        (b"\xd0\xcf\x11\xe0\xa1", "save it as XLSX, ODS or CSV"),
        (b'feature,value [mm]\n"rod journal,47\nx,1\n', "quotation mark that is not closed"),
        (b"PK\x03\x04 broken", "the spreadsheet is damaged"),
    ],
)
def test_a_file_that_is_no_table_gets_one_sentence(take: Take, data: bytes, words: str) -> None:
    with pytest.raises(ReadingsError) as caught:
        take(data)
    assert words in str(caught.value)
    assert str(caught.value).startswith("readings.csv")


@pytest.mark.parametrize(
    ("size", "shown"),
    [(200_000_000, "200.0"), (50_400_000, "50.4"), (50_000_001, "50.1")],
)
def test_a_large_file_is_refused_before_it_is_read_and_never_looks_small_enough(
    tmp_path: Path, engine: Engine, shop: Shop, size: int, shown: str
) -> None:
    path = tmp_path / "huge.csv"
    with path.open("wb") as file:
        file.truncate(size)
    with pytest.raises(ReadingsError, match=rf"huge\.csv: the file has {shown} MB, and 50 MB is"):
        read_table(path, engine=engine, shop=shop)


@pytest.mark.parametrize("name", ["none.csv", "."])
def test_what_is_no_file_gets_one_sentence(
    tmp_path: Path, engine: Engine, shop: Shop, name: str
) -> None:
    with pytest.raises(ReadingsError, match=r"there is no such file|a folder or a device"):
        read_table(tmp_path / name, engine=engine, shop=shop)


def test_too_many_rows_are_refused(take: Take, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tables, "MAXIMUM_ROWS", 3)
    with pytest.raises(ReadingsError, match="more than 3 rows"):
        take(PLAIN + PLAIN.split("\n", 1)[1] * 2)


def zipped(name: str, data: bytes, *, beside: str = "[Content_Types].xml") -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(beside, "x")
        archive.writestr(name, data)
    return stream.getvalue()


def test_a_spreadsheet_that_unpacks_to_gigabytes_is_never_opened(take: Take) -> None:
    stream = io.BytesIO()
    block = b"0" * 10_000_000
    with (
        zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive,
        archive.open("xl/worksheets/sheet1.xml", "w") as member,
    ):
        for _ in range(25):
            member.write(block)
    assert len(stream.getvalue()) < 2_000_000
    with pytest.raises(ReadingsError, match=r"unpacks to 250.0 MB, and 200 MB is the most"):
        take(stream.getvalue())


def test_a_spreadsheet_that_lies_about_its_size_is_refused(take: Take) -> None:
    data = bytearray(zipped("xl/worksheets/sheet1.xml", b"0" * 5_000_000))
    true = (5_000_000).to_bytes(4, "little")
    assert data.count(true) == 2
    lie = bytes(data).replace(true, (500).to_bytes(4, "little"))
    with pytest.raises(ReadingsError, match="damaged"):
        take(lie)


@pytest.mark.parametrize(
    "data",
    [
        zipped("xl/worksheets/sheet1.xml", b'<c r="A1"/><c r="XFD1048576"/>'),
        zipped("xl/worksheets/sheet1.xml", b"<c r = 'A1'/><c\nr\n=\n'xfd1048576'/>"),
        zipped("xl/worksheets/sheet1.xml", b'<row r="1"><c r="XFD1"/></row><row r="1048576">'),
        zipped("content.xml", ODS.format(rows=ods_row("x", repeat=1_000_000_000)).encode()),
        zipped(
            "content.xml",
            ODS.format(
                rows='<table:table-row table:number-rows-repeated="1000000"><table:table-cell'
                ' table:number-columns-repeated="16000"><text:p>x</text:p></table:table-cell>'
                "</table:table-row>"
            ).encode(),
        ),
    ],
)
def test_a_small_spreadsheet_that_spans_billions_of_cells_is_refused(
    take: Take, data: bytes
) -> None:
    with pytest.raises(ReadingsError, match="the sheet reaches to row"):
        take(data)


@pytest.mark.parametrize(
    "sheet", [b'<c r="&#88;FD1048576"/>', '<c r="XFD1048576"/>'.encode("utf-16")]
)
def test_a_sheet_that_hides_its_extent_is_refused(take: Take, sheet: bytes) -> None:
    with pytest.raises(ReadingsError, match="damaged"):
        take(zipped("xl/worksheets/sheet1.xml", sheet))


def test_an_offset_before_the_file_is_refused(take: Take) -> None:
    data = bytearray(zipped("xl/worksheets/sheet1.xml", b"<x/>"))
    end = data.rindex(b"PK\x05\x06")
    data[end + 16 : end + 20] = (0xFFFF0000).to_bytes(4, "little")  # where the directory starts
    with pytest.raises(ReadingsError, match="damaged"):
        take(bytes(data))


def test_without_the_extra_a_spreadsheet_gets_one_sentence(
    take: Take, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(__import__("sys").modules, "python_calamine", None)
    with pytest.raises(MissingExtraError, match=r"pip install '\.\[sheets\]'"):
        take(ods(ods_row("feature", "value")))
    assert sheets.cell_text(3.0) == "3"


def test_all_or_nothing_names_every_bad_row(engine: Engine, shop: Shop) -> None:
    table = PLAIN + "rod jurnal,1,,,47.97,,,,\nrod journal,9,rear,,abc,,,,\n"
    with pytest.raises(ReadingsError) as caught:
        read_table(table.encode(), engine=engine, shop=shop, name="r.csv")
    assert str(caught.value).splitlines() == [
        "r.csv, row 4, column feature: given 'rod jurnal'; this is no feature;"
        " did you mean 'rod journal'?",
        "r.csv, row 5, column number: given '9'; rod journal has numbers 1 to 4.",
        "r.csv, row 5, column value [mm]: given 'abc'; a number is needed, such as 47.97, 47,97"
        " or 1 1/2; write it without thousands separators.",
    ]


def test_a_long_list_of_faults_is_cut_and_counted(engine: Engine, shop: Shop) -> None:
    table = "feature,number,value [mm]\n" + "rod journal,9,47.97\n" * 1234
    with pytest.raises(ReadingsError) as caught:
        read_table(table.encode(), engine=engine, shop=shop)
    lines = str(caught.value).splitlines()
    assert len(lines) == 51
    assert "1,184 more faults" in lines[-1]
    assert "1,234 faults in 1,234 rows in all" in lines[-1]


def test_the_same_file_twice_has_the_same_ids_and_honest_repeats_stay(take: Take) -> None:
    table = "feature,number,value [mm]\n" + "rod journal,1,47.972\n" * 3
    ids = [reading.id for reading in readings(take(table))]
    assert len(set(ids)) == 3
    assert ids == [reading.id for reading in readings(take(table))]


def test_the_rest_can_be_mended_and_read_again(take: Take) -> None:
    table = (
        "feature,number,value [mm],note\n"
        "rod journal,1,47.972,good\n"
        'rod journal,9,-12 um,"=2+2, said Ada"\n'
        "rod journal,2,47.97x,\n"
    )
    first = take(table)
    assert len(first.entries) == 1
    lines = first.rest_csv.splitlines()
    assert lines[0] == "feature,number,value [mm],note,id,fault"
    assert "'-12 um" in lines[1]
    assert "'=2+2" in lines[1]
    assert not [cell for line in lines for cell in line.split(",") if cell[:1] in "=+@-" and cell]
    again = take(first.rest_csv)
    assert again.rest_csv == first.rest_csv
    mended = take(first.rest_csv.replace("journal,9", "journal,3").replace("47.97x", "47.971"))
    assert not mended.faults
    assert [entry.id for entry in mended.entries] == [f"{first.digest}:3", f"{first.digest}:4"]
    assert readings(mended)[0].text == "-12 um"
    assert readings(mended)[0].note == "=2+2, said Ada"


def test_the_same_id_with_other_content_names_both_rows(take: Take) -> None:
    table = "id,feature,number,value [mm]\na,rod journal,1,47.972\na,rod journal,1,47.973\n"
    words = sentence(take(table))
    assert "row 3, column id: given 'a'" in words
    assert "rod journal 1 47.972 mm" in words
    assert "in row 2" in words
    assert "rod journal 1 47.973 mm" in words
    assert not take(table.replace("47.973", "47.9720")).faults


def test_a_correction_names_a_reading_above(take: Take) -> None:
    table = "id,feature,number,value [mm],replaces\na,rod journal,1,47.92,\nb,rod journal,1,47.97,"
    assert readings(take(table + "a\n"))[1].replaces == "a"
    assert "no reading above has this id" in sentence(take(table + "zz\n"))


def test_a_job_file_is_a_table_too(tmp_path: Path, engine: Engine, shop: Shop, take: Take) -> None:
    path = tmp_path / "bench.job"
    create_job(path=path, header=JobHeader(number="1"))
    entries = take(PLAIN).entries
    append_to_job(path=path, entries=entries)
    assert read_table(path, engine=engine, shop=shop).entries == entries
    stranger = [replace(readings(take(PLAIN))[0], id="x", feature="flux_gap")]
    append_to_job(path=path, entries=stranger)
    with pytest.raises(
        ReadingsError, match=r"'flux_gap 3'; Bench four \(invented\) has no such feature"
    ):
        read_table(path, engine=engine, shop=shop)


def test_events_are_rows_too(take: Take) -> None:
    table = (
        "event,feature,number,value,instrument,person,time\n"
        "condition,rod journals,all,re-used,,Ada,2026-03-01\n"
        "size,Rod journal,1-2,0.25 mm under,,,\n"
        "work,main journals,3,ground to 0.010 in under,,,\n"
        "zero check,,,failed,mic2,,\n"
        "size,cylinder bore,,0.5 mm over,,,\n"
        "note,,,oil hole chamfered,,,\n"
        "work,rod bolts,,replaced,,,\n"
        "decision,,,shells one step under,,,\n"
    )
    imported = take(table)
    assert not imported.faults
    found = [entry for entry in imported.entries if isinstance(entry, Event)]
    assert [(e.kind, e.subject, e.number, e.value, e.step_m, e.work) for e in found] == [
        (EventKind.CONDITION, "rod_journals", None, "re-used", None, None),
        (EventKind.SIZE, "rod_journal", 1, "0.25 mm under", 0.00025, None),
        (EventKind.SIZE, "rod_journal", 2, "0.25 mm under", 0.00025, None),
        (EventKind.WORK, "main_journals", 3, "ground to 0.010 in under", 0.000254, WorkKind.GROUND),
        (EventKind.ZERO_CHECK, "mic2", None, "failed", None, None),
        (EventKind.SIZE, "cylinder_bore", None, "0.5 mm over", 0.0005, None),
        (EventKind.NOTE, "", None, "oil hole chamfered", None, None),
        (EventKind.WORK, "rod_bolts", None, "replaced", None, WorkKind.REPLACED),
        (EventKind.DECISION, "", None, "shells one step under", None, None),
    ]
    assert found[1].id.endswith(":3/1")


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("wish,rod journals,,x,", "column event: given 'wish'; an event is condition, size"),
        ("condition,rod jornals,,new,", "did you mean 'rod journals'?"),
        ("condition,rod journals,,shiny,", "the condition is new, machined or re-used"),
        ("size,rod journal,,0.25,", "does not say which size"),
        ("size,rod journal,,25 mm under,", "a step of size is 0 to 2.5 mm"),
        ("size,rod journal,7,standard,", "rod journal has numbers 1 to 4"),
        ("zero check,,,passed,", "names the instrument"),
        ("zero check,,,maybe,mic2", "a zero check is passed or failed"),
        ("work,,,ground,", "needs the part or feature"),
    ],
)
def test_a_bad_event_gets_one_sentence(take: Take, row: str, words: str) -> None:
    assert words in sentence(take(f"event,feature,number,value,instrument\n{row}\n"))


@pytest.mark.parametrize(
    "kind", [kind.value for kind in EventKind if not kind.may_stand_in_a_table]
)
def test_what_the_record_makes_itself_is_no_row(take: Take, kind: str) -> None:
    assert f"given '{kind}'; an event is condition" in sentence(
        take(f"event,feature,number,value,instrument\n{kind},,,x,\n")
    )


@pytest.mark.parametrize(
    ("marks", "fittings"),
    [
        (["", "", "yes", "yes", "yes", "yes"], [1, 1, 2, 2, 3, 3]),
        (["", "", "yes", "", "yes", ""], [1, 1, 2, 2, 3, 3]),
        (["yes", "no"], [2, 2]),
    ],
)
def test_a_refit_mark_counts_once_for_a_series(
    take: Take, marks: list[str], fittings: list[int]
) -> None:
    rows = [
        f"rod journal,1,{'front' if i % 2 == 0 else 'rear'},47.97,{mark}"
        for i, mark in enumerate(marks)
    ]
    table = "feature,number,place,value [mm],refit\n" + "\n".join(rows)
    assert [reading.fitting for reading in readings(take(table))] == fittings


def test_a_fitting_number_and_a_marked_repeat_are_taken(take: Take) -> None:
    table = "feature,number,value [mm],fitting\nrod journal,1,47.97,2.0\nrod journal,1,47.97,1\n"
    assert [reading.fitting for reading in readings(take(table))] == [2, 1]
    table = "feature,number,value [mm],repeat\nrod journal,1,47.97,1\nrod journal,1,47.97,2 refit\n"
    assert [reading.fitting for reading in readings(take(table))] == [1, 2]


def test_a_confirmed_value_is_taken(take: Take) -> None:
    table = "event,id,feature,number,value\n,a,rod journal,1,44.1 mm\n"
    assert "cannot be" in sentence(take(table))
    imported = take(table + "confirmed,,rod journal,1,a\n")
    assert not imported.faults
    assert len(imported.entries) == 2


def test_columns_that_mean_nothing_are_named(take: Take) -> None:
    table = "feature,number,value [mm],weather\nrod journal,1,47.97,rain\n"
    assert take(table).ignored_columns == ("weather",)


def test_a_comma_too_many_is_told(take: Take) -> None:
    words = sentence(take("feature,number,value [mm]\nrod journal,1,47,97\n"))
    assert "row 2: there are 4 cells under 3 columns" in words


@pytest.mark.parametrize("sign", ["\0", "\ud800"])
def test_no_text_makes_it_crash(take: Take, sign: str) -> None:
    data = f"feature,number,value [mm]\nrod journal,1,{sign}\n".encode("utf-8", "surrogatepass")
    with pytest.raises(InputError):
        take(data)


def test_limits_are_those_that_are_said() -> None:
    assert read.MAXIMUM_BYTES == 50_000_000
    assert tables.MAXIMUM_ROWS == 2_000_000


def test_a_strip_is_read_by_a_strip_only(take: Take) -> None:
    table = "feature,number,place,value,instrument\nrod strip,1,front,<0.025 mm,mic2\n"
    assert sentence(take(table)).startswith("readings.csv, row 2, column instrument: given 'mic2'")
    table = "feature,number,place,value,instrument\nrod journal,1,front,47.97 mm,fine\n"
    assert "this is a strip" in sentence(take(table))
    assert readings(take("feature,number,place,value\nrod strip,1,front,<0.025 mm\n"))


def test_a_job_of_another_engine_names_each_feature_once(
    take: Take, engine: Engine, shop: Shop, tmp_path: Path
) -> None:
    path = tmp_path / "bench.job"
    create_job(path=path, header=JobHeader(number="1"))
    one = readings(take(PLAIN))[0]
    append_to_job(path=path, entries=[replace(one, id=f"x{i}", feature="flux_gap") for i in (1, 2)])
    with pytest.raises(ReadingsError) as caught:
        read_table(path, engine=engine, shop=shop)
    assert str(caught.value).count("has no such feature") == 1


def test_a_job_whose_first_line_is_damaged_is_still_told_to_be_a_job(
    engine: Engine, shop: Shop
) -> None:
    with pytest.raises(InputError, match="a job file starts with a line"):
        read_table(b"{}\n", engine=engine, shop=shop, name="bench.job")


def test_an_instrument_that_cannot_reach_the_size_is_asked_back(take: Take) -> None:
    table = (
        "feature,number,place,direction,value [mm],instrument\nMain journal,1,front,along,54.99,"
    )
    said = sentence(take(table + "mic2\n"))
    assert "column instrument: given 'mic2'" in said
    assert "reads 25 mm to 50 mm, and main journal has 54.99 mm" in said
    assert readings(take(table + "micrometer\n"))
    assert readings(
        take("feature,number,place,value [mm],instrument\nrod journal,1,front,47.7,mic2")
    )


def test_a_slipped_decimal_point_names_the_value_once(take: Take) -> None:
    said = sentence(take("feature,number,value [mm]\nrod journal,1,4.797\n"))
    assert said.endswith("did you mean 47.97 mm, the decimal point slipped?")
