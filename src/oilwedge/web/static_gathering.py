"""Copy style sheets, scripts and fonts to where they are served from, when they have changed.

Each file gets a name with a hash of what is in it, so that a browser may keep it for good.
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any, ClassVar

from django.contrib.staticfiles.finders import get_finders
from django.contrib.staticfiles.management.commands.collectstatic import Command
from django.core.management import call_command
from whitenoise.compress import Compressor
from whitenoise.storage import CompressedManifestStaticFilesStorage

from oilwedge import __version__

STAMP_FILE = "gathered"
# Maps of minified scripts are for those who mend the scripts; the second drawing of the
# interface's own pages is never opened.
LEFT_OUT = ("*.map", "redoc*")


class ShopStaticFiles(CompressedManifestStaticFilesStorage):  # type: ignore[misc]  # untyped
    """Hashes and compresses, without the maps that are left out, and in seconds."""

    patterns: ClassVar[Any] = (
        (
            "*.css",
            (
                r"""(?P<matched>url\(['"]{0,1}\s*(?P<url>.*?)["']{0,1}\))""",
                (
                    r"""(?P<matched>@import\s*["']\s*(?P<url>.*?)["'])""",
                    """@import url("%(url)s")""",
                ),
            ),
        ),
    )

    def create_compressor(self, **options: Any) -> Compressor:
        """Gzip alone: Brotli's best takes half a minute for what nobody sees."""
        return Compressor(use_brotli=False, **options)


def gather_static_files(target: Path) -> None:
    """Fill a folder, unless it holds what this version has already."""
    stamp = target / STAMP_FILE
    wanted = _state_of_sources()
    if stamp.is_file() and stamp.read_text(encoding="ascii") == wanted:
        return
    stamp.unlink(missing_ok=True)  # so that one that is cut off is done again
    command = Command()
    command.storage = ShopStaticFiles(location=target)
    call_command(
        command, interactive=False, verbosity=0, clear=True, ignore_patterns=list(LEFT_OUT)
    )
    stamp.write_text(wanted, encoding="ascii")


def _state_of_sources() -> str:
    """A hash over names, sizes and times of all files that there are, and the version."""
    seen = [__version__]
    for finder in get_finders():
        for path, storage in finder.list(list(LEFT_OUT)):
            status = Path(storage.path(path)).stat()
            seen.append(f"{path} {status.st_size} {status.st_mtime_ns}")
    return hashlib.sha256("\n".join(sorted(seen)).encode()).hexdigest()
