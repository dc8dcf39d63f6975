"""Small line drawings of our own for buttons; each stands in a square of 24."""

from __future__ import annotations

ICONS = {
    "add": "M12 5v14M5 12h14",
    "back": "M10 5l-7 7 7 7M3 12h18",
    "camera": "M3 8h4l2-3h6l2 3h4v11H3zM12 17a4 4 0 1 0 0-8 4 4 0 0 0 0 8",
    "caution": "M12 3.5L22 20.5H2zM12 10v5M12 17.2v.8",
    "check": "M4 13l5 5L20 6",
    "close": "M6 6l12 12M18 6L6 18",
    "down": "M12 3v13M6 11l6 6 6-6M4 21h16",
    "file": "M6 3h8l4 4v14H6zM14 3v4h4M9 12h6M9 16h6",
    "flag": "M6 21V4h12l-3 4 3 4H6",
    "lock": "M6 11h12v9H6zM9 11V8a3 3 0 0 1 6 0v3M12 14.5v2",
    "look": "M12 3a9 9 0 1 0 0 18zM12 3a9 9 0 0 1 0 18",
    "measure": "M3 8h18v8H3zM7 8v4M11 8v3M15 8v4M19 8v3",
    "next": "M14 5l7 7-7 7M21 12H3",
    "no-connection": "M3 9a14 14 0 0 1 18 0M6.5 13a9 9 0 0 1 11 0M12 18.5v.5M4 20L20 4",
    "note": "M5 3h14v18H5zM8 8h8M8 12h8M8 16h5",
    "pen": "M4 20l1-5L16 4l4 4L9 19zM13.5 6.5l4 4",
    "people": "M9 11a3.5 3.5 0 1 0 0-7 3.5 3.5 0 0 0 0 7M2.5 20c0-4 3-6 6.5-6s6.5 2 6.5 6M16 4.5"
    "a3.5 3.5 0 0 1 0 6M18 14.5c2.2.8 3.5 2.6 3.5 5.5",
    "print": "M7 8V3h10v5M7 17H3V8h18v9h-4M7 14h10v7H7z",
    "redo": "M16 4l5 5-5 5M21 9H9a6 6 0 0 0 0 12h3",
    "search": "M10.5 17a6.5 6.5 0 1 0 0-13 6.5 6.5 0 0 0 0 13M15.5 15.5L21 21",
    "skip": "M4 5l8 7-8 7zM12 5l8 7-8 7zM21 5v14",
    "undo": "M8 4L3 9l5 5M3 9h12a6 6 0 0 1 0 12h-3",
    "up": "M12 17V4M6 9l6-6 6 6M4 21h16",
    "window": "M8 4H4v16h4M16 4h4v16h-4M8 12h8M12 12v.01",
}
"""The path of each drawing, by the name that templates use."""


def icon_svg(name: str) -> str:
    """The drawing; a decoration beside words, so a screen reader passes it over."""
    return (
        '<svg class="icon" width="24" height="24" viewBox="0 0 24 24" fill="none"'
        ' stroke="currentColor" stroke-width="1.8" stroke-linejoin="round"'
        f' stroke-linecap="round" aria-hidden="true" focusable="false"><path d="{ICONS[name]}"/>'
        "</svg>"
    )
