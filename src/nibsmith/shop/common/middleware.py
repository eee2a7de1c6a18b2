"""What happens to every request before and after a page sees it."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils.cache import patch_vary_headers

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.common import views

GetResponse = Callable[[HttpRequest], HttpResponseBase]

# Everything the browser loads or runs comes from here; nothing is inline, nothing may frame us.
CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
PERMISSIONS_POLICY = "camera=(), geolocation=(), microphone=(), payment=(), usb=()"


class SafeHeaders:
    """Put the safety headers on every answer, files and error pages too."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", CONTENT_SECURITY_POLICY)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS_POLICY)
        if "Cache-Control" not in response.headers:
            # A page and its fragment share one address; neither may be shown for the other.
            response.headers["Cache-Control"] = "private, no-cache"
            patch_vary_headers(response, ("HX-Request",))
        return response


class KnownHost:
    """Refuse a request that was meant for another host, before anything else looks at it.

    A page elsewhere can make a name of its own point at this computer; the name gives it away.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        request.get_host()
        return self.get_response(request)


class BodyLimit:
    """Refuse what is too large before any of it is read."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if _length(request) > settings.BODY_LIMIT_BYTES:
            return views.too_large(request)
        return self.get_response(request)


def _length(request: HttpRequest) -> int:
    """Read how long the body says it is; the server has already refused what is no number."""
    text = request.META.get("CONTENT_LENGTH") or "0"
    return int(text) if text.isascii() and text.isdigit() else 0


class Refusals:
    """Show a refusal that no form caught as a page that says what to do, not as a fault."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """Turn a refusal into its page; leave every other exception alone."""
        return views.refused(request, exception) if isinstance(exception, NibsmithError) else None
