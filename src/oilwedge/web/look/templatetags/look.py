"""Tags for the drawings and words that every page shares."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from django import template
from django.http import HttpRequest
from django.templatetags.static import static
from django.urls import NoReverseMatch, reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from oilwedge.report.crank_drawing import CrankDrawing, crank_svg
from oilwedge.report.form_drawings import FormWord, form_svg
from oilwedge.report.state_sign import StateSign, state_class, state_svg
from oilwedge.report.value_text import keep_together
from oilwedge.report.window_scale import window_scale
from oilwedge.report.window_sign import WindowMark, WindowSign, describe_window
from oilwedge.report.window_svg import window_svg
from oilwedge.web.look.icons import ICONS, icon_svg
from oilwedge.web.look.unit_choice import UNITS, unit_of

register = template.Library()

TOUCH_SCALE = 2.0  # at which a bearing of the crank is 52 pixels wide
FONTS = Path(__file__).parents[1] / "static" / "oilwedge" / "fonts" / "fonts.css"
THEMES = ("light", "dark")
THEME_COOKIE = "oilwedge_theme"
PLACES = (
    ("work", "bench:work", "Work in hand", ("/jobs/",)),
    ("engine_files", "engines:list", "Engine files", ("/engines/",)),
    ("shelf", "shelf:list", "Shelf", ("/shelf/",)),
    ("classes", "classroom:list", "Classes", ("/classes/",)),
    ("people", "people:list", "People", ("/people/",)),
)


@register.simple_tag
def window_sign(sign: WindowSign) -> SafeString:
    """The window of a fit; the page stretches it to the width there is.

    Ways that have names stand one under the other at the same scale, each under its name.
    """
    named = any(mark.label for mark in sign.marks)
    drawings = [_way(sign, mark) for mark in sign.marks] if named else [window_svg(sign)]
    return mark_safe(f'<span class="window">{"".join(drawings)}</span>')


def _way(sign: WindowSign, mark: WindowMark) -> str:
    scale = window_scale(sign)
    wide = scale.end > scale.start
    alone = replace(
        sign,
        marks=(replace(mark, label=""),),
        description=describe_window(replace(sign, marks=(mark,), description="")),
        drawn_low=scale.start if wide else None,
        drawn_high=scale.end if wide else None,
    )
    return format_html('<span class="window-way">{}</span>', mark.label) + window_svg(alone)


@register.simple_tag
def state_sign(state: StateSign, words: str = "") -> SafeString:
    """The shape of a state beside its words; ``words`` for a kind of fit with words of its own."""
    shape = state_svg(state, 20.0).replace('role="img"', 'aria-hidden="true"', 1)
    shape = shape.replace(shape[shape.index("<title>") : shape.index("</desc>") + 7], "")
    return format_html(
        '<span class="sign {}">{}<span>{}</span></span>',
        state_class(state),
        mark_safe(shape),
        words or state.words,
    )


@register.simple_tag
def state_shape(state: StateSign) -> SafeString:
    """The shape alone, where there is no room for words: it says them to a screen reader."""
    return format_html(
        '<span class="sign {}">{}</span>', state_class(state), mark_safe(state_svg(state, 20.0))
    )


@register.simple_tag
def crank(drawing: CrankDrawing, links: Mapping[str, str] | None = None) -> SafeString:
    """The crank to touch: ``links`` gives addresses for "main 1", "rod 2" and so on."""
    svg = crank_svg(drawing, links=links, scale=TOUCH_SCALE)
    return mark_safe(f'<div class="crank">{svg}</div>')


@register.simple_tag
def crank_small(drawing: CrankDrawing) -> SafeString:
    """The crank to look at, as wide as there is room."""
    return mark_safe(f'<div class="crank-small">{crank_svg(drawing)}</div>')


@register.simple_tag
def form_drawing(word: FormWord) -> SafeString:
    """The drawing of a word of form, for a learner."""
    return mark_safe(form_svg(word))


@register.simple_tag
def icon(name: str) -> SafeString:
    """A small line drawing beside the words of a button."""
    if name not in ICONS:
        raise template.TemplateSyntaxError(f"no icon {name!r}; there are {', '.join(ICONS)}")
    return mark_safe(icon_svg(name))


@register.filter
def quantity(text: object) -> SafeString:
    """A value with its uncertainty and unit, as one thing that never wraps."""
    return format_html('<span class="quantity">{}</span>', keep_together(str(text)))


@register.filter
def together(text: object) -> str:
    """A sentence in which no value is parted from its unit."""
    return keep_together(str(text))


@register.simple_tag
def font_styles() -> SafeString:
    """The link to the fonts, if the package was built with them; else the system's serve."""
    if not FONTS.is_file():
        return SafeString("")
    return format_html('<link rel="stylesheet" href="{}">', static("oilwedge/fonts/fonts.css"))


def _request(context: template.Context) -> HttpRequest | None:
    request = context.get("request")
    return request if isinstance(request, HttpRequest) else None


@register.simple_tag(takes_context=True)
def theme_choice(context: template.Context) -> str:
    """What somebody chose with the switch: light, dark, or nothing (as the system says)."""
    request = _request(context)
    chosen = request.COOKIES.get(THEME_COOKIE, "") if request else ""
    return chosen if chosen in THEMES else ""


@register.inclusion_tag("oilwedge/part_places.html", takes_context=True)
def places(context: template.Context) -> dict[str, Any]:
    """The main places that somebody's rights open."""
    request, may = _request(context), context.get("may")
    path = request.path if request else ""
    found = []
    for right, name, words, prefixes in PLACES:
        if not getattr(may, right, False):
            continue
        try:
            address = reverse(name)
        except NoReverseMatch:  # a bench put together without that room
            continue
        here = path == address or path.startswith(prefixes)
        found.append({"address": address, "words": words, "here": here})
    return {"places": found}


@register.inclusion_tag("oilwedge/part_units.html", takes_context=True)
def unit_switch(context: template.Context) -> dict[str, Any]:
    """The switch between units: links to the same page."""
    request = _request(context)
    if request is None:
        return {"choices": []}
    chosen = unit_of(request)
    choices = []
    for unit in UNITS:
        query = request.GET.copy()
        query["unit"] = unit
        choices.append({"unit": unit, "query": query.urlencode(), "here": unit == chosen})
    return {"choices": choices}
