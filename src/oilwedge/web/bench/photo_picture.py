"""A picture that somebody sends: decoded before it is believed, and written anew without words.

What a phone writes into a photo (where, when, with what, by whom) is not kept; which way is up is
turned into the picture itself.
"""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageOps, UnidentifiedImageError

from oilwedge.errors import Fault, InputError

LARGEST_PIXELS = 64_000_000
MEDIA_TYPES = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
QUALITY = 90

# A file of a few kilobytes can unpack to gigabytes; the library only warns of it below twice this.
Image.MAX_IMAGE_PIXELS = LARGEST_PIXELS
warnings.filterwarnings("error", category=Image.DecompressionBombWarning)


@dataclass(frozen=True, kw_only=True, slots=True)
class Picture:
    """A picture as it is kept."""

    data: bytes
    media_type: str
    width_px: int
    height_px: int


def read_picture(data: bytes, *, name: str) -> Picture:
    """Decode a JPEG, PNG or WebP and encode it anew; InputError in a sentence for all else."""
    try:
        with Image.open(io.BytesIO(data), formats=tuple(MEDIA_TYPES)) as opened:
            format_ = opened.format or "JPEG"
            if opened.width * opened.height > LARGEST_PIXELS:
                raise _too_many_pixels(name)
            opened.load()
            upright = ImageOps.exif_transpose(opened)
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        raise _too_many_pixels(name) from None
    except UnidentifiedImageError:
        raise _refusal(name, allowed="this is no JPEG, PNG or WebP picture") from None
    except (OSError, SyntaxError, ValueError):
        raise _refusal(name, allowed="this picture is damaged and cannot be decoded") from None
    return _encoded(upright, format_=format_)


def _encoded(image: Image.Image, *, format_: str) -> Picture:
    """The pixels alone: a new image has no words of the old one."""
    see_through = image.has_transparency_data and format_ != "JPEG"
    bare = image.convert("RGBA" if see_through else "RGB")
    bare.info.clear()
    buffer = io.BytesIO()
    if format_ == "PNG":
        bare.save(buffer, format_)
    else:
        bare.save(buffer, format_, quality=QUALITY)
    return Picture(
        data=buffer.getvalue(),
        media_type=MEDIA_TYPES[format_],
        width_px=bare.width,
        height_px=bare.height,
    )


def _too_many_pixels(name: str) -> InputError:
    return _refusal(
        name,
        allowed=f"this picture has more than {LARGEST_PIXELS // 1_000_000} million pixels",
        action="take it with a smaller size set in the camera",
    )


def _refusal(name: str, *, allowed: str, action: str = "take the photo again") -> InputError:
    return InputError(Fault(given=name, allowed=allowed, action=action))
