"""A QR code for a page: inline SVG that a strict content policy lets be."""

from __future__ import annotations

import io
import re
from xml.sax.saxutils import escape

from oilwedge.errors import MissingExtraError

QUIET_MODULES = 4  # ISO/IEC 18004:2015, 5.3.8: the light zone round the code


def qr_svg(text: str, *, title: str) -> str:
    """A text as QR code, dark on light whatever the page's colours are.

    ``title`` is what a screen reader says in its place. Only presentation attributes are used, no
    style. Raises :class:`MissingExtraError` without segno.
    """
    try:
        import segno
    except ImportError as error:
        raise MissingExtraError(
            "QR codes need 'segno', which is not installed;"
            " install it with: pip install 'oilwedge[pdf]'"
        ) from error
    out = io.BytesIO()
    segno.make_qr(text, error="m").save(
        out,
        kind="svg",
        border=QUIET_MODULES,
        omitsize=True,
        xmldecl=False,
        svgns=False,
        nl=False,
        svgclass=None,
        lineclass=None,
        dark="#000",
        light="#fff",
    )
    drawn = out.getvalue().decode("utf-8")
    return re.sub(
        r"^<svg ([^>]*)>", rf'<svg \1 role="img"><title>{_plain(title)}</title>', drawn, count=1
    )


def _plain(title: str) -> str:
    """A title as XML text that the pattern's replacement does not read anything into."""
    return escape(title).replace("\\", r"\\")
