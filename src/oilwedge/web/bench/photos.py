"""Take in a photo of a job: the picture into the shop's folder, its digest into the record."""

from __future__ import annotations

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile

from oilwedge.errors import Fault, InputError
from oilwedge.job.entry import Event, EventKind
from oilwedge.web.bench.photo_picture import Picture, read_picture
from oilwedge.web.bench.saying import FieldError, say
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import engine_of
from oilwedge.web.record.models import Job, Photo
from oilwedge.web.record.photo_files import keep_photo
from oilwedge.web.record.store import says_faults, writing


@says_faults
def take_photo(
    *, job: Job, account: Account, upload: UploadedFile[bytes] | None, about: str, note: str
) -> Photo:
    """Keep a photo; FieldError or InputError in a sentence. The same picture is kept once."""
    if upload is None:
        raise FieldError("photo", "Choose a photo first.")
    limit = settings.PHOTO_LIMIT_BYTES
    if (upload.size or 0) > limit:
        megabytes = (upload.size or 0) / 2**20
        raise FieldError(
            "photo",
            f"{upload.name} has {megabytes:.0f} MB; a photo may have up to {limit // 2**20} MB."
            " Take it with a smaller size set in the camera.",
        )
    subject, number = _about(job, about)
    try:
        picture = read_picture(upload.read(), name=upload.name or "photo")
    except InputError as error:
        raise FieldError("photo", str(error)) from None
    sha256 = keep_photo(picture.data)
    there = job.photos.filter(sha256=sha256).first()
    if there is not None:
        return there
    event = Event(
        id="",
        kind=EventKind.PHOTO,
        subject=subject,
        number=number,
        value=sha256,
        note=" ".join(note.split())[:300],
    )
    with writing():
        say(job=job, account=account, event=event)
        return _row(job, picture, sha256)


def _row(job: Job, picture: Picture, sha256: str) -> Photo:
    return Photo.objects.create(
        job=job,
        sha256=sha256,
        media_type=picture.media_type,
        width_px=picture.width_px,
        height_px=picture.height_px,
        size_bytes=len(picture.data),
    )


def shown_choices(job: Job) -> tuple[tuple[str, str], ...]:
    """What a photo can be of, with the words for it: each feature by its numbers."""
    return tuple(
        (f"{key} {number}", feature.label(number))
        for key, feature in engine_of(job).features.items()
        for number in feature.numbers
    )


def _about(job: Job, text: str) -> tuple[str, int | None]:
    if not text:
        return "", None
    if text not in dict(shown_choices(job)):
        raise InputError(
            Fault(given=text, allowed="the engine has nothing of this name to be shown")
        )
    key, _, number = text.rpartition(" ")
    return key, int(number)
