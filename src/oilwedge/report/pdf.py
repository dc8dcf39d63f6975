"""A document as a PDF sheet for printing, set by Typst."""

import importlib.util
import io
import json
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path

from oilwedge.errors import Fault, InputError, MissingExtraError
from oilwedge.report.document import Document
from oilwedge.report.sheet_data import sheet_data
from oilwedge.report.svg_text import legible

FONT_PACKAGES = ("fontpkg_ibm_plex_sans", "fontpkg_ibm_plex_mono")
TEMPLATE = "sheet.typ"
_MISSING = (
    "PDF sheets need the extra 'pdf' ({name} is not installed); "
    "in the folder of oilwedge run: pip install '.[pdf]'."
)


def render_pdf(document: Document, *, created: datetime) -> bytes:
    """Set the document on its paper; the same input gives the same bytes.

    ``created`` (with a time zone) goes into the file's properties.  All text is handed
    to the template as data, so that nothing in it is read as markup; fonts are those of
    the font packages only.  Raises MissingExtraError without the extra ``pdf`` and
    InputError where the QR code cannot hold its text.
    """
    if created.tzinfo is None:
        raise ValueError("created needs a time zone")
    try:
        import typst
    except ImportError as error:
        raise MissingExtraError(_MISSING.format(name="typst")) from error
    data = sheet_data(document, qr_svg=_qr_svg(document.qr_text or document.job_number))
    with resources.as_file(resources.files("oilwedge.report") / TEMPLATE) as template:
        return typst.compile(
            template,
            font_paths=_font_directories(),
            ignore_system_fonts=True,
            format="pdf",
            sys_inputs={"document": json.dumps(data)},
            timestamp=created.astimezone(UTC).replace(microsecond=0),
        )


def _font_directories() -> list[Path]:
    directories: set[Path] = set()
    for package in FONT_PACKAGES:
        found = importlib.util.find_spec(package)
        if found is None or not found.submodule_search_locations:
            raise MissingExtraError(_MISSING.format(name=package.replace("_", "-")))
        for place in found.submodule_search_locations:
            directories.update(file.parent for file in Path(place).rglob("*.ttf"))
    return sorted(directories)


def _qr_svg(text: str) -> str:
    if not text.strip():
        return ""
    try:
        import segno
    except ImportError as error:
        raise MissingExtraError(_MISSING.format(name="segno")) from error
    try:
        code = segno.make_qr(legible(text), error="m", boost_error=False)
    except segno.DataOverflowError as error:
        fault = Fault(
            given=f"{text[:40]}…",
            allowed="the QR code of a sheet holds about 2300 characters",
            action=f"these are {len(text)}; give a shorter text",
        )
        raise InputError(fault) from error
    out = io.BytesIO()
    code.save(out, kind="svg", border=0, omitsize=True, xmldecl=False, nl=False)
    return out.getvalue().decode("utf-8")
