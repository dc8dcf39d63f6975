"""The door for phones that do not trust the shop yet: its certificate, without TLS.

It gives out the authority's certificate and how to take it, and sends everything else to the
HTTPS address. No page of the bench is ever answered here.
"""

from __future__ import annotations

import html
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

CERTIFICATE_PATH = "/authority.crt"
CERTIFICATE_TYPE = "application/x-x509-ca-cert"
_PLAIN = ("Content-Type", "text/plain; charset=utf-8")


@dataclass(frozen=True, kw_only=True, slots=True)
class Door:
    """What the door gives out. An application as PEP 3333 has them.

    ``names`` are those that the shop answers to, the best first; only they are led on to.
    """

    certificate: bytes
    fingerprint: str
    names: Sequence[str]
    https_port: int

    def __call__(
        self, environ: dict[str, Any], start_response: Callable[..., Any]
    ) -> Iterable[bytes]:
        """Answer one request."""
        name = _asked_name(environ.get("HTTP_HOST", ""))
        home = f"https://{name if name in self.names else self.names[0]}:{self.https_port}/"
        if environ["REQUEST_METHOD"] not in ("GET", "HEAD"):
            status, kind, body = "405 Method Not Allowed", _PLAIN, b"This page is only read.\n"
        elif environ["PATH_INFO"] == CERTIFICATE_PATH:
            status, kind, body = "200 OK", ("Content-Type", CERTIFICATE_TYPE), self.certificate
        elif environ["PATH_INFO"] == "/":
            page = certificate_page(fingerprint=self.fingerprint, home=home)
            status, kind, body = (
                "200 OK",
                ("Content-Type", "text/html; charset=utf-8"),
                page.encode(),
            )
        else:
            start_response(
                "307 Temporary Redirect", [("Location", home), _PLAIN, ("Content-Length", "0")]
            )
            return ()
        start_response(
            status,
            [
                kind,
                ("Content-Length", str(len(body))),
                ("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'"),
                ("X-Content-Type-Options", "nosniff"),
                ("Cache-Control", "no-store"),
            ],
        )
        return (b"",) if environ["REQUEST_METHOD"] == "HEAD" else (body,)


def _asked_name(host: str) -> str:
    """The name in a Host header, without its port."""
    return host.rpartition(":")[0] or host


# Where a setting lies is said as the systems' own menus call it; makers move it now and then.
STEPS = (
    ("Android", "Settings, security, more security settings, encryption and credentials, install"
     " a certificate, CA certificate; choose the file. Names differ a little between makers."),
    ("iPhone, iPad", "open the file in the system's browser and allow the profile; then Settings,"
     " profile downloaded, install; then Settings, general, about, certificate trust settings, and"
     " switch it on."),
    ("Windows", "open the file, install certificate, current user, trusted root certification"
     " authorities."),
    ("macOS", "open the file; in Keychain Access open the certificate, trust, always trust."),
    ("Linux", "in the browser's settings, certificates, authorities, import; trust it for"
     " websites."),
)  # fmt: skip


def certificate_page(*, fingerprint: str, home: str) -> str:
    """The page that says what the certificate is for, how to take it, and where to go on."""
    steps = "".join(f"<dt>{name}</dt><dd>{html.escape(text)}</dd>" for name, text in STEPS)
    address = html.escape(home, quote=True)
    return f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>The shop's certificate</title>
<meta name="viewport" content="width=device-width, initial-scale=1"></head><body><main>
<h1>The shop's certificate</h1>
<p>This bench runs on a machine of the shop. With its certificate on your phone, the browser opens
it without a warning, and pages open again where there is no connection. Without it everything else
works too: go on and accept the warning once.</p>
<p><a href="{CERTIFICATE_PATH}">1. Take the certificate</a></p>
<p>2. Compare before you trust it. This is what the screen of the shop's machine has to show:</p>
<p><code>{html.escape(fingerprint).replace(":", ":<wbr>")}</code></p>
<p>If it differs, do not install it, and ask whoever runs the bench.</p>
<p>3. Install it, once:</p><dl>{steps}</dl>
<p><a href="{address}">4. Open the bench: {address}</a></p>
<p>It can vouch for machines in a private network only. You can remove it in the same settings at
any time.</p>
</main></body></html>
"""
