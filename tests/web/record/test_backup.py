"""A restored shop is the same shop, and a backup that is not whole restores nothing."""

from __future__ import annotations

import json
import threading
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from bench_fixtures import remove_triggers
from django.apps import apps
from django.conf import LazySettings
from django.core.management import call_command
from django.db import connection, connections
from django.test import Client
from record_entries import event, reading

from oilwedge.errors import InputError
from oilwedge.job.entry import EventKind
from oilwedge.web.people.models import Account, ApiToken
from oilwedge.web.record.backup import back_up, check_backup
from oilwedge.web.record.backup_tables import APPS, LEFT_OUT, kept_models, rows_of
from oilwedge.web.record.models import ClassTask, Job, KnownHead, Parked, Photo, StoredVerdict
from oilwedge.web.record.photo_files import keep_photo, photo_path
from oilwedge.web.record.restore import restore_backup
from oilwedge.web.record.store import append_entries, commitment_for, open_job
from oilwedge.web.record.triggers import install_triggers
from oilwedge.web.record.verify import verify_shop

MakeJob = Callable[..., Job]
pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def shop(
    make_job: MakeJob,
    people: dict[str, Account],
    shop_revision: object,
    as_person: Callable[[str], Client],
    settings: LazySettings,
    tmp_path: Path,
) -> None:
    """A shop with a row in every table that a backup holds, and a session and a token."""
    settings.PHOTO_FOLDER = tmp_path / "photos"
    job = make_job("J1")
    who = commitment_for(job=job, account=people["ben"])
    sha256 = keep_photo(b"an invented picture")
    Photo.objects.create(
        job=job, sha256=sha256, media_type="image/jpeg", width_px=1, height_px=1, size_bytes=19
    )
    append_entries(
        job=job,
        entries=(
            reading("r1", person=who, note="µ – “quoted”, a\nline"),
            event(EventKind.PHOTO, "p", value=sha256),
        ),
    )
    other = make_job("J2", engine="four")
    ClassTask.objects.create(title="measure", engine=other.engine, made_by=people["lena"])
    KnownHead.objects.create(job_number="J1", count=job.count, head=job.head, reason="sheet")
    Parked.objects.create(job=job, entry_id="x", document={"typed": "4,7"}, reason="no number")
    StoredVerdict.objects.create(
        job=job, head=job.head, engine_digest="e", shop_digest="s", rule="r", version="v",
        document={"fits": [1, None, True, "µ"]},
    )  # fmt: skip
    as_person("ben")
    ApiToken.objects.create(token_hash="secret-hash", title="t", account=people["ben"])


def contents() -> dict[str, list[object]]:
    return {model._meta.db_table: [*map(json.loads, rows_of(model))] for model in kept_models()}


def empty_the_shop() -> None:
    call_command("flush", interactive=False, verbosity=0)
    install_triggers(connection)


def test_every_table_of_ours_is_kept_or_left_out_on_purpose() -> None:
    ours = {
        model._meta.db_table for label in APPS for model in apps.get_app_config(label).get_models()
    }
    assert {model._meta.db_table for model in kept_models()} | set(LEFT_OUT) >= ours
    labels = {config.label for config in apps.get_app_configs() if "oilwedge" in config.name}
    assert {model._meta.app_label for model in apps.get_models()} & labels <= set(APPS)


def test_a_restored_shop_is_the_same_shop(shop: None, tmp_path: Path) -> None:
    before = contents()
    assert all(rows for table, rows in before.items() if not table.startswith("classroom_"))
    done = back_up(tmp_path / "shop.zip")
    assert done.findings == ()
    assert (done.jobs, done.entries, done.photos) == (2, 4, 1)
    empty_the_shop()
    photo_path(Photo(sha256=next(iter((tmp_path / "photos").iterdir())).name).sha256).unlink()
    assert not any(contents().values())
    verified = restore_backup(tmp_path / "shop.zip")
    assert verified.findings == ()
    assert contents() == before
    job = open_job(number="J3", engine=Job.objects.get(number="J1").engine)  # keys count on
    assert job.serial == 3
    append_entries(job=Job.objects.get(number="J1"), entries=(reading("r2"),))
    assert verify_shop().findings == ()


def test_nothing_that_lets_somebody_in_is_in_a_backup(shop: None, tmp_path: Path) -> None:
    back_up(tmp_path / "shop.zip")
    with zipfile.ZipFile(tmp_path / "shop.zip") as archive:
        text = b"".join(archive.read(name) for name in archive.namelist()).decode()
        assert "people_apitoken" in json.loads(archive.read("manifest.json"))["left_out"]
    assert "secret-hash" not in text
    assert "session_key" not in text
    assert "md5$" in text  # the hashes of passwords: people can still come in
    assert (tmp_path / "shop.zip").stat().st_mode & 0o077 == 0


def test_a_backup_goes_into_an_empty_shop_only(shop: None, tmp_path: Path) -> None:
    back_up(tmp_path / "shop.zip")
    with pytest.raises(InputError, match="empty shop only"):
        restore_backup(tmp_path / "shop.zip")


def test_a_backup_is_not_written_over_a_file(shop: None, tmp_path: Path) -> None:
    (tmp_path / "shop.zip").write_text("mine")
    with pytest.raises(InputError, match="there already"):
        back_up(tmp_path / "shop.zip")
    assert (tmp_path / "shop.zip").read_text() == "mine"


def changed(path: Path, name: str, change: Callable[[bytes], bytes]) -> Path:
    other = path.with_name("changed.zip")
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(other, "w") as target:
        for one in source.namelist():
            data = source.read(one)
            target.writestr(one, change(data) if one == name else data)
    return other


def resealed(path: Path, table: str, change: Callable[[bytes], bytes]) -> Path:
    """Changed with the digest in the manifest changed to match, as somebody who knows would."""
    import hashlib

    name = f"tables/{table}.jsonl"
    other = changed(path, name, change)
    with zipfile.ZipFile(other) as archive:
        data = archive.read(name)

    def reseal(manifest: bytes) -> bytes:
        document = json.loads(manifest)
        document["tables"][table]["sha256"] = hashlib.sha256(data).hexdigest()
        document["tables"][table]["rows"] = data.count(b"\n")
        return json.dumps(document).encode()

    return changed(other.rename(path.with_name("half.zip")), "manifest.json", reseal)


DAMAGES: dict[str, Callable[[Path], Path]] = {
    "an entry": lambda p: changed(
        p, "tables/record_jobentry.jsonl", lambda d: d.replace(b"47.972", b"47.999")
    ),
    "a line less": lambda p: changed(
        p, "tables/people_account.jsonl", lambda d: d[: d.rindex(b"\n", 0, -1) + 1]
    ),
    "a row that contradicts": lambda p: resealed(
        p, "record_job", lambda d: d.replace(b'"J2"', b'"J1"')
    ),
    "a row that points nowhere": lambda p: resealed(
        p, "record_enginetext", lambda d: d[d.index(b"\n") + 1 :]
    ),
    "no rows": lambda p: resealed(p, "record_photo", lambda d: b"{}\n"),
    "a future": lambda p: changed(
        p, "manifest.json", lambda d: d.replace(b"record.0001", b"record.9001")
    ),
    "another format": lambda p: changed(
        p, "manifest.json", lambda d: d.replace(b'"oilwedge_backup": 1', b'"oilwedge_backup": 7')
    ),
    "no manifest": lambda p: changed(p, "manifest.json", lambda d: b"nothing"),
    "a cut end": lambda p: cut(p),
}


def cut(path: Path) -> Path:
    other = path.with_name("cut.zip")
    other.write_bytes(path.read_bytes()[:-200])
    return other


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_backup_that_is_not_whole_restores_nothing(
    shop: None, tmp_path: Path, damage: str
) -> None:
    back_up(tmp_path / "shop.zip")
    empty_the_shop()
    for photo in (tmp_path / "photos").iterdir():
        photo.unlink()
    with pytest.raises(InputError) as caught:
        restore_backup(DAMAGES[damage](tmp_path / "shop.zip"))
    assert "\n" not in str(caught.value)
    assert not any(contents().values())
    assert list((tmp_path / "photos").iterdir()) == []


def test_a_shop_that_was_changed_is_backed_up_as_it_is_and_said(shop: None, tmp_path: Path) -> None:
    remove_triggers()
    with connection.cursor() as cursor:
        cursor.execute("UPDATE record_jobentry SET document = replace(document, '972', '999')")
    install_triggers(connection)
    done = back_up(tmp_path / "shop.zip")
    (finding,) = done.findings
    assert finding.startswith("Job J1: its entries in the backup do not give the head")
    assert check_backup(tmp_path / "shop.zip") == done.findings


@pytest.fixture
def writers(shop: None) -> Iterator[list[int]]:
    """Two threads that write until the test is over; gives what each has written."""
    stop = threading.Event()
    counts = [0, 0]

    def write(number: int) -> None:
        try:
            job = Job.objects.get(number=f"J{number + 1}")
            while not stop.is_set():
                append_entries(job=job, entries=(reading(f"w{counts[number]}"),))
                counts[number] += 1
        finally:
            connections.close_all()

    threads = [threading.Thread(target=write, args=(number,)) for number in range(2)]
    for thread in threads:
        thread.start()
    yield counts
    stop.set()
    for thread in threads:
        thread.join()


def test_a_backup_under_writers_is_of_one_moment(writers: list[int], tmp_path: Path) -> None:
    for number in range(3):
        start = sum(writers)
        while sum(writers) == start:
            pass
        done = back_up(tmp_path / f"{number}.zip")
        assert done.findings == ()
        assert verify_shop().findings == ()
        assert done.entries > start
