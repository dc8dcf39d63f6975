"""Photos that come in with a job: decoded before they are believed, kept byte for byte.

Their digests stand in the chain, so they cannot be written anew as a photo from a phone is.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Sequence

from PIL import Image, UnidentifiedImageError

from oilwedge.errors import Fault, JobFileError
from oilwedge.job.archive import ArchivedPhoto
from oilwedge.web.record.models import Photo

LARGEST_PIXELS = 64_000_000


def photo_rows(photos: Sequence[ArchivedPhoto]) -> tuple[Photo, ...]:
    """A row without a job for each photo; JobFileError for one that cannot be decoded."""
    return tuple(_row(photo) for photo in photos)


def _row(photo: ArchivedPhoto) -> Photo:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(photo.data), formats=[photo.format.name]) as opened:
                width_px, height_px = opened.size
                if width_px * height_px > LARGEST_PIXELS:
                    raise _refusal(photo, "has more than 64 million pixels")
                opened.load()
    except (
        Image.DecompressionBombWarning,
        Image.DecompressionBombError,
        UnidentifiedImageError,
        OSError,
        SyntaxError,
        ValueError,
    ) as error:
        if isinstance(error, JobFileError):
            raise
        raise _refusal(photo, "cannot be decoded") from None
    return Photo(
        sha256=photo.sha256,
        media_type=photo.format.media_type,
        width_px=width_px,
        height_px=height_px,
        size_bytes=len(photo.data),
    )


def _refusal(photo: ArchivedPhoto, what: str) -> JobFileError:
    return JobFileError(
        Fault(given=f"photos/{photo.sha256[:12]}…", allowed=f"this picture in the archive {what}")
    )
