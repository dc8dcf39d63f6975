"""Get a shop ready to be served: its folder, its secret, its database, its static files.

Django is imported only inside the functions here, after the environment says which shop it is.
"""

from __future__ import annotations

import logging
import os
import secrets
from collections.abc import Callable, Sequence
from enum import Enum
from pathlib import Path
from typing import Any

from oilwedge.errors import Fault, InputError, OilwedgeError, Where
from oilwedge.web.serving.addresses import LOOPBACK_NAMES
from oilwedge.web.serving.error_log import keep_errors
from oilwedge.web.serving.private_file import private_folder, unusable, write_private

USUAL_PORT = 8470
PHOTO_FOLDER = "photos"
SECRET_FILE = "secret"
SECRET_BYTES = 48


class Mode(Enum):
    """Who is served: this machine alone, or the shop's network."""

    ALONE = "alone"
    LAN = "lan"


def prepare_shop(
    *,
    folder: Path,
    database: str = "",
    mode: Mode = Mode.ALONE,
    addresses: Sequence[str] = LOOPBACK_NAMES,
    port: int = USUAL_PORT,
) -> None:
    """Make the shop's folder what this version of oilwedge needs, and set Django up for it.

    ``database`` is an address of PostgreSQL, or nothing for SQLite in the folder; ``addresses``
    are the names to answer to. Raises :class:`InputError` where a folder, a file or the database
    cannot be had, or where a newer oilwedge has changed the database.
    """
    folder = folder.absolute()
    private_folder(folder)
    private_folder(folder / PHOTO_FOLDER)
    _ensure_secret(folder / SECRET_FILE)
    set_up_django(folder=folder, database=database, mode=mode, addresses=addresses, port=port)
    keep_errors(folder)
    _prepare_database(folder=folder, database=database)
    _gather_static_files()


def set_up_django(
    *,
    folder: Path,
    database: str = "",
    mode: Mode = Mode.ALONE,
    addresses: Sequence[str] = LOOPBACK_NAMES,
    port: int = USUAL_PORT,
) -> None:
    """Put into the environment what the settings read, then let Django read them.

    Once in a process: another shop needs another process.
    """
    os.environ.update(
        OILWEDGE_SHOP=str(folder.absolute()),
        OILWEDGE_DATABASE=database,
        OILWEDGE_MODE=mode.value,
        OILWEDGE_ADDRESSES=",".join(addresses),
        OILWEDGE_PORT=str(port),
        OILWEDGE_SECURE="1" if mode is Mode.LAN else "",
        DJANGO_SETTINGS_MODULE="oilwedge.web.settings",
    )
    import django

    django.setup()


def bench_application() -> Callable[..., Any]:
    """The bench as a WSGI application, once it is prepared."""
    from oilwedge.web.wsgi import application  # sets Django up again, its logging too

    keep_errors(Path(os.environ["OILWEDGE_SHOP"]))
    return application


def _ensure_secret(path: Path) -> None:
    """Make the key that signs sessions, once."""
    if not path.is_file():
        write_private(path, secrets.token_urlsafe(SECRET_BYTES).encode())


def _prepare_database(*, folder: Path, database: str) -> None:
    """Bring the database to this version; it is left alone where a newer one has been at it."""
    from django.core.management import call_command
    from django.db import DatabaseError, connections
    from django.db.migrations.loader import MigrationLoader

    try:
        loader = MigrationLoader(connections["default"])
        unknown = set(loader.applied_migrations) - set(loader.disk_migrations or {})
        if unknown:
            raise _newer(folder)
        call_command("migrate", interactive=False, verbosity=0)
    except DatabaseError as error:
        raise _no_database(folder=folder, database=database, error=error) from error
    finally:
        connections.close_all()


def _gather_static_files() -> None:
    from django.conf import settings

    from oilwedge.web.static_gathering import gather_static_files

    target = Path(settings.STATIC_ROOT or "")
    try:
        gather_static_files(target)
    except OSError as error:
        raise unusable(target, what="this folder", error=error) from error


def _newer(folder: Path) -> OilwedgeError:
    return InputError(
        Fault(
            where=Where(file=str(folder)),
            given="",
            allowed="this shop was used with a newer oilwedge, which changed its database",
            action="install that version again, or restore a backup from before",
        )
    )


def _no_database(*, folder: Path, database: str, error: Exception) -> OilwedgeError:
    """One sentence; an address with its password never stands in it."""
    logging.getLogger("oilwedge.serving").error("The database cannot be had.", exc_info=error)
    if database:
        return InputError(
            Fault(
                where=Where(file="--database"),
                given="",
                allowed="this database does not answer or does not let oilwedge in",
                action="see that its server runs, and check host, port, name, user and password",
            )
        )
    return InputError(
        Fault(
            where=Where(file=str(folder / "oilwedge.sqlite3")),
            given="",
            allowed="this database cannot be opened or changed",
            action="see that the disk is not full, that you may write in the folder, and that the"
            " file is whole; else restore a backup",
        )
    )
