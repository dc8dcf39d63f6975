"""The window sign: its values and its two drawings under one name."""

from oilwedge.report.window_scale import Scale, window_scale
from oilwedge.report.window_sign import Bound, WindowMark, WindowSign, describe_window
from oilwedge.report.window_svg import window_svg
from oilwedge.report.window_text import window_text

__all__ = [
    "Bound",
    "Scale",
    "WindowMark",
    "WindowSign",
    "describe_window",
    "window_scale",
    "window_svg",
    "window_text",
]
