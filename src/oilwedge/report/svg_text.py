"""Text for drawings: nothing in it is read as markup.

Drawings carry their colours as presentation attributes, for paper.  What a dark page must change
has a class besides: ``steel`` and ``shell`` (filled parts), ``ground`` and ``ground-line`` (the
ground under a shape), ``inside`` (between the build limits), ``state-...`` (one state's shape).
"""

import html


def legible(text: str) -> str:
    """Replace characters that no sheet can hold (control characters, lone surrogates).

    Tab and line feed stay; the rest becomes U+FFFD so that the loss shows.
    """
    if text.isprintable():
        return text
    return "".join(c if _is_legal(ord(c)) else "\N{REPLACEMENT CHARACTER}" for c in text)


def _is_legal(code: int) -> bool:
    """Say whether XML 1.0 (section 2.2, production Char) allows the character."""
    if code in (0x9, 0xA):
        return True
    if 0x7F <= code <= 0x9F:  # allowed but discouraged there; a sheet has no use for them
        return False
    return 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or 0x10000 <= code <= 0x10FFFF


def svg_escape(text: str) -> str:
    """Give the text as SVG character data or attribute value."""
    return html.escape(legible(text).replace("\n", " ").replace("\t", " "))


def svg_picture(
    *,
    width: float,
    height: float,
    title: str,
    description: str,
    body: str,
    scale: float = 1.0,
    role: str = "img",
) -> str:
    """Wrap a drawing as a picture with a title and a description for a screen reader.

    ``scale`` draws it larger.  A drawing that holds links is a ``group``: what stands inside
    an ``img`` is not there for a screen reader.
    """
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{scale * width:g}"'
        f' height="{scale * height:g}" viewBox="0 0 {width:g} {height:g}" role="{role}">'
        f"<title>{svg_escape(title)}</title><desc>{svg_escape(description)}</desc>{body}</svg>"
    )


def svg_label(*, x: float, y: float, size: float, anchor: str, text: str) -> str:
    """Set one line of text; ``anchor`` is start, middle or end."""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-family="IBM Plex Sans" font-size="{size:g}"'
        f' text-anchor="{anchor}" fill="currentColor">{svg_escape(text)}</text>'
    )
