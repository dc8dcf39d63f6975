"""The bench's own settings with what tests need: a folder of their own, quick passwords.

The database is SQLite, or PostgreSQL where OILWEDGE_DATABASE names one.
"""

import os
import tempfile

_FOLDER = tempfile.mkdtemp(prefix="oilwedge-tests-")
os.environ["OILWEDGE_SHOP"] = _FOLDER
os.environ.setdefault("OILWEDGE_MODE", "lan")
os.environ["OILWEDGE_ADDRESSES"] = "127.0.0.1,localhost,testserver,bench.test"
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"  # the browser driver runs a loop in this thread

from oilwedge.web.settings import *  # noqa: E402, F403
from oilwedge.web.settings import DATABASES  # noqa: E402

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = True
if "sqlite3" in DATABASES["default"]["ENGINE"]:
    # In a file: pages are served by other threads, and a real file is what the shop has.
    DATABASES["default"]["TEST"] = {"NAME": os.path.join(_FOLDER, "test.sqlite3")}  # noqa: PTH118
