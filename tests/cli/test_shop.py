"""``oilwedge shop`` from outside, as a person calls it: each command a process of its own."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

MAKE_SHOP = """
import sys
from pathlib import Path
from oilwedge.web.starting import prepare_shop
prepare_shop(folder=Path(sys.argv[1]), database=sys.argv[2])
from oilwedge.usecases.opening import engine_of_text
from oilwedge.web.people.models import Account
from oilwedge.web.record.store import append_entries, commitment_for, keep_engine, open_job
from oilwedge.job.entry import Reading
text = Path(sys.argv[3]).read_text()
engine = engine_of_text(text, file="engine.toml")
kept = keep_engine(name=engine.name, digest=engine.digest, text=text)
ada = Account.objects.create(username="ada", full_name="Ada Invented", role="lead")
for number in ("J1", "J2"):
    job = open_job(number=number, engine=kept)
    who = commitment_for(job=job, account=ada)
    append_entries(job=job, entries=tuple(
        Reading(id=f"r{n}", feature="rod_journal", number=1, place="front", value_m=0.04797,
                text="47.97", unit="mm", person=who) for n in range(3)))
print(job.head)
"""
ENGINE = Path(__file__).parents[1] / "data" / "wren_single.toml"
pytestmark = pytest.mark.slow


def run(*arguments: object, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *map(str, arguments)],
        capture_output=True,
        text=True,
        env={**os.environ, "OILWEDGE_DATABASE": "", "PYTHONWARNINGS": "", **environment},
    )


def shop(*arguments: object) -> subprocess.CompletedProcess[str]:
    return run("-m", "oilwedge", "shop", *arguments)


def made_shop(folder: Path, database: str = "") -> str:
    done = run("-c", MAKE_SHOP, folder, database, ENGINE)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shop")
    made_shop(folder / "shop")
    return folder


def test_a_whole_shop_verifies(place: Path) -> None:
    done = shop("verify", place / "shop")
    assert (done.returncode, done.stdout) == (0, "")
    assert done.stderr == "2 jobs, 8 entries: everything is as it was written.\n"


def test_a_change_behind_its_back_is_named(tmp_path: Path) -> None:
    head = made_shop(tmp_path / "shop")
    assert shop("verify", tmp_path / "shop", "--job", "J2", "--head", head[:20]).returncode == 0
    other = shop("verify", tmp_path / "shop", "--job", "J1", "--head", head[:20])
    assert other.returncode == 1
    assert "stands after no entry" in other.stdout
    with sqlite3.connect(tmp_path / "shop" / "oilwedge.sqlite3") as database:
        database.execute("DROP TRIGGER record_jobentry_keeps_update")
        database.execute(
            "UPDATE record_jobentry SET document = replace(document, '47.97', '47.99')"
            " WHERE job_id = 2 AND sequence = 3"
        )
    database.close()
    done = shop("verify", tmp_path / "shop")
    assert done.returncode == 1
    text = " ".join(done.stdout.split())
    assert "no longer holds the rule record_jobentry_keeps_update" in text
    assert "Job J2: entry 3 (r1: rod journal 1 front 47.99 mm)" in text
    assert "2 things are not as they were written" in done.stderr


def tables(path: Path) -> dict[str, object]:
    with zipfile.ZipFile(path) as archive:
        manifest = json.loads(archive.read("manifest.json"))
    return {name: one["sha256"] for name, one in manifest["tables"].items()}


def test_a_backup_restores_to_the_same_shop(place: Path, tmp_path: Path) -> None:
    backup = tmp_path / "backup.zip"
    made = shop("backup", backup, "--shop", place / "shop")
    assert made.returncode == 0, made.stderr
    assert "2 jobs, 8 entries, 0 photos" in made.stderr
    assert shop("backup", backup, "--shop", place / "shop").returncode == 2
    restored = shop("restore", backup, "--into", tmp_path / "new")
    assert restored.returncode == 0, restored.stderr
    assert "everything is as it was written" in restored.stderr
    again = tmp_path / "again.zip"
    assert shop("backup", again, "--shop", tmp_path / "new").returncode == 0
    assert tables(again) == tables(backup)
    full = shop("restore", backup, "--into", tmp_path / "new")
    assert full.returncode == 2
    assert "empty shop only" in full.stderr


def test_a_backup_goes_from_one_database_into_the_other(place: Path, tmp_path: Path) -> None:
    server = Path(__file__).parents[1] / "web" / "postgres_server.py"
    backup, back = tmp_path / "backup.zip", tmp_path / "back.zip"
    assert shop("backup", backup, "--shop", place / "shop").returncode == 0
    script = (
        f"{sys.executable} -m oilwedge shop restore {backup} --into {tmp_path / 'pg'}"
        f" && {sys.executable} -m oilwedge shop backup {back} --shop {tmp_path / 'pg'}"
        f" && {sys.executable} -m oilwedge shop verify {tmp_path / 'pg'}"
    )
    done = run(server, "sh", "-c", script)
    assert done.returncode == 0, done.stderr
    assert not (tmp_path / "pg" / "oilwedge.sqlite3").exists()
    assert tables(back) == tables(backup)
    assert shop("restore", back, "--into", tmp_path / "third").returncode == 0
    assert shop("backup", tmp_path / "third.zip", "--shop", tmp_path / "third").returncode == 0
    assert tables(tmp_path / "third.zip") == tables(backup)


def test_a_job_goes_out_and_into_another_shop(place: Path, tmp_path: Path) -> None:
    made = shop("export", "J1", tmp_path / "job.zip", "--shop", place / "shop", "--no-names")
    assert made.returncode == 0, made.stderr
    assert shop("export", "J9", tmp_path / "no.zip", "--shop", place / "shop").returncode == 2
    empty = tmp_path / "empty"
    assert run("-c", MAKE_SHOP.split("from oilwedge.usecases")[0], empty, "").returncode == 0
    came = shop("import", tmp_path / "job.zip", "--shop", empty, "--number", "K1")
    assert (came.returncode, came.stdout) == (0, "Job K1 came in with 4 entries.\n")
    again = shop("import", tmp_path / "job.zip", "--shop", empty)
    assert "here already" in again.stdout
    assert shop("verify", empty).returncode == 0


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("verify", "{tmp}/nowhere"), "there is no shop in this folder"),
        (("verify", "{tmp}"), "there is no shop in this folder"),
        (("verify", "{shop}", "--head", "abc"), "a head belongs to one job"),
        (("backup", "{tmp}/no/where.zip", "--shop", "{shop}"), "cannot be written"),
        (("restore", "{tmp}/none.zip", "--into", "{tmp}/x"), "there is no such file"),
        (("restore", "{engine}", "--into", "{tmp}/y"), "cannot be read"),
        (("import", "{engine}", "--shop", "{shop}"), "This is no zip"),
    ],
)
def test_bad_input_gets_one_sentence(
    place: Path, tmp_path: Path, arguments: tuple[str, ...], sentence: str
) -> None:
    words = {"tmp": tmp_path, "shop": place / "shop", "engine": ENGINE}
    done = shop(*(one.format(**words) for one in arguments))
    assert done.returncode == 2
    assert sentence in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "nowhere").exists()
