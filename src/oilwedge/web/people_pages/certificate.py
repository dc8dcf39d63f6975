"""The shop's certificate: why a phone should take it, how, and the file itself."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_safe

from oilwedge.report.qr_code import qr_svg
from oilwedge.web.people.access import open_to_all
from oilwedge.web.people_pages.authority_file import authority_bytes, fingerprint_rows
from oilwedge.web.people_pages.entering import address_for_others
from oilwedge.web.serving.door import CERTIFICATE_TYPE, STEPS

NONE_HERE = (
    "This bench has no certificate of its own: it is open on its own machine only, where none is"
    " needed. With 'oilwedge serve --lan' it makes one."
)


@require_safe
@open_to_all
def certificate_page(request: HttpRequest) -> HttpResponse:
    """What the certificate is for and how it is taken; open to phones that are not in yet."""
    certificate = authority_bytes()
    if certificate is None:
        return _none_here(request)
    address = address_for_others(request, "people:certificate")
    context = {
        "address": address,
        "code": mark_safe(qr_svg(address, title=f"QR code of {address}")),
        "fingerprint": fingerprint_rows(certificate),
        "steps": STEPS,
    }
    return render(request, "people/certificate.html", context)


@require_safe
@open_to_all
def authority(request: HttpRequest) -> HttpResponse:
    """The certificate itself, in the type that phones offer to install."""
    certificate = authority_bytes()
    if certificate is None:
        return _none_here(request)
    return HttpResponse(
        certificate,
        content_type=CERTIFICATE_TYPE,
        headers={
            "Content-Disposition": 'attachment; filename="oilwedge-bench.crt"',
            "Cache-Control": "no-store",
        },
    )


def _none_here(request: HttpRequest) -> HttpResponse:
    context = {"title": "No certificate here", "text": NONE_HERE}
    return render(request, "oilwedge/plain.html", context, status=404)
