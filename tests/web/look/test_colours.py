"""The colours of the style sheet: readable, and told apart by the common kinds of colour vision."""

import itertools
import re
from pathlib import Path

import pytest

import oilwedge.web.look

STYLES = (
    Path(oilwedge.web.look.__file__).parent / "static" / "oilwedge" / "css" / "oilwedge.css"
).read_text(encoding="utf-8")
SCHEMES = {"light": STYLES.split("@media")[0], "dark": STYLES.split(':root[data-theme="dark"]')[1]}
STATES = ("right", "loose", "wrong", "unsure")
# Machado, Oliveira and Fernandes, A physiologically-based model for simulation of color vision
# deficiency, IEEE TVCG 15 (2009) 1291-1298: severity 1.0, on linear RGB.  RECALLED.
VISIONS = {
    "usual": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
Colour = tuple[float, float, float]


def _linear(scheme: str, name: str) -> Colour:
    found = re.search(rf"--{name}: #([0-9a-f]{{6}});", SCHEMES[scheme])
    assert found, f"--{name} is not in the {scheme} scheme"
    parts = [int(found.group(1)[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    # WCAG 2.2, relative luminance (the threshold 0.04045 is that of IEC 61966-2-1)
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return red, green, blue


def _seen(colour: Colour, vision: str) -> Colour:
    red, green, blue = (
        min(1.0, max(0.0, sum(a * b for a, b in zip(row, colour, strict=True))))
        for row in VISIONS[vision]
    )
    return red, green, blue


def _contrast(one: Colour, other: Colour) -> float:
    """WCAG 2.2, contrast ratio."""
    light, dark = sorted(
        (0.2126 * r + 0.7152 * g + 0.0722 * b for r, g, b in (one, other)), reverse=True
    )
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("ground", ["paper", "sheet", "tint"])
@pytest.mark.parametrize("ink", ["ink", "soft", "accent", *STATES])
def test_words_reach_the_contrast_of_level_aa(scheme: str, ground: str, ink: str) -> None:
    # WCAG 2.2, 1.4.3: at least 4.5 to 1
    assert _contrast(_linear(scheme, ink), _linear(scheme, ground)) >= 4.5


@pytest.mark.parametrize("scheme", SCHEMES)
def test_the_edge_of_a_field_and_the_ring_of_the_focus_can_be_seen(scheme: str) -> None:
    # WCAG 2.2, 1.4.11: at least 3 to 1
    for name, ground in itertools.product(("edge", "accent"), ("paper", "sheet")):
        assert _contrast(_linear(scheme, name), _linear(scheme, ground)) >= 3
    assert _contrast(_linear(scheme, "on-accent"), _linear(scheme, "accent")) >= 4.5


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("vision", VISIONS)
@pytest.mark.parametrize("state", STATES)
def test_a_state_stands_off_its_ground_for_every_eye(scheme: str, vision: str, state: str) -> None:
    ink, ground = _linear(scheme, state), _linear(scheme, "ground")
    assert _contrast(_seen(ink, vision), _seen(ground, vision)) >= 4.5


def test_the_two_ways_into_the_dark_give_the_same_colours() -> None:
    by_system = STYLES.split(':root:not([data-theme="light"]) {')[1].split("}")[0]
    by_switch = STYLES.split(':root[data-theme="dark"] {')[1].split("}")[0]
    assert by_system.split() == by_switch.split()


def test_the_style_sheet_is_small_and_asks_for_nothing() -> None:
    assert len(STYLES.encode()) <= 40_000
    assert "url(" not in STYLES
    assert "@import" not in STYLES
    assert "box-shadow" not in STYLES
