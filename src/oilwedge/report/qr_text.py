"""A QR code for a terminal: two rows of the code in one row of half blocks."""

from __future__ import annotations

from oilwedge.errors import MissingExtraError

_HALVES = {(False, False): "█", (False, True): "▀", (True, False): "▄", (True, True): " "}
QUIET_MODULES = 2  # ISO/IEC 18004 asks for 4; cameras of phones read 2, and terminals are small


def qr_text(text: str) -> str:
    """A text as QR code in lines of half blocks, light on dark as terminals mostly are.

    Light modules are drawn, dark ones left out, so on a light terminal the code is inverted;
    phones read both. Raises :class:`MissingExtraError` without segno.
    """
    try:
        import segno
    except ImportError as error:
        raise MissingExtraError(
            "QR codes need 'segno', which is not installed;"
            " install it with: pip install 'oilwedge[pdf]'"
        ) from error
    code = segno.make(text, error="m", micro=False)
    rows = [
        [bool(module) for module in row] for row in code.matrix_iter(scale=1, border=QUIET_MODULES)
    ]
    if len(rows) % 2:
        rows.append([False] * len(rows[0]))
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return "\n".join(
        "".join(_HALVES[above, below] for above, below in zip(upper, lower, strict=True))
        for upper, lower in pairs
    )
