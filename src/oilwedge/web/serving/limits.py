"""How much may be sent to the bench, and where more than usual."""

from __future__ import annotations

from oilwedge.web.serving.connections import BodyLimits

MEGABYTE = 2**20
# A photo of a phone has 3 to 12 MB; a whole job comes back with all of its photos.
BENCH_LIMITS = BodyLimits(usual=30 * MEGABYTE, at_paths={"/jobs/import": 210 * MEGABYTE})
DOOR_LIMITS = BodyLimits(usual=1024)
