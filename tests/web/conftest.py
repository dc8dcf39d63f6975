"""Fixtures of the bench's tests: the shop (bench_fixtures) and the browser (browser_fixtures)."""

from bench_fixtures import *  # noqa: F403
from bench_fixtures import _flush_passes_the_triggers, _nothing_remembered  # noqa: F401
from browser_fixtures import *  # noqa: F403
