"""The pages that say what went wrong."""

from __future__ import annotations

from urllib.parse import urlsplit

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.common.problems import SERVER_FAULT, Problem, problem
from nibsmith.shop.serving.limits import largest_file

BAD_REQUEST = 400
FORBIDDEN = 403
NOT_FOUND = 404
TOO_LARGE = 413

_TEMPLATE = "common/problem.html"


def _page(request: HttpRequest, shown: Problem) -> HttpResponse:
    context = {"problem": shown, "back": _page_before(request)}
    return render(request, _TEMPLATE, context, status=shown.status)


def _page_before(request: HttpRequest) -> str:
    """Return the page of ours that a refused form came from; nothing where it came from elsewhere."""
    before = urlsplit(request.headers.get("Referer", ""))
    ours = before.netloc == request.get_host() and not before.path.startswith("//")
    if request.method != "POST" or not ours:
        return ""
    return f"{before.path}?{before.query}" if before.query else before.path


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer a request that cannot be understood, or that was meant for another host.

    Nothing of the site is shown: the asker may be a page of somebody else.
    """
    return render(request, "common/bad_request.html", status=BAD_REQUEST)


def forbidden(request: HttpRequest, exception: Exception) -> HttpResponse:
    return _page(request, Problem(FORBIDDEN, "Not allowed", "This page is not open to you."))


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    advice = "Go back, load the page anew and send it once more. Cookies of this site must be allowed."
    what = "The form did not come from a page of this workshop, or the page was too old."
    return _page(request, Problem(FORBIDDEN, "The form was not taken", what, advice=advice))


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    advice = "Check the address, or start from the first page."
    return _page(
        request, Problem(NOT_FOUND, "Nothing here", "There is no page at this address.", advice=advice)
    )


def too_large(request: HttpRequest) -> HttpResponse:
    what = "What you sent is larger than this workshop takes, so none of it was read."
    advice = "Go back, and send a smaller file: a logger's cut to one roast."
    return _page(request, Problem(TOO_LARGE, "Too large", what, limit=largest_file(), advice=advice))


def refused(request: HttpRequest, error: NibsmithError) -> HttpResponse:
    return _page(request, problem(error))


def server_error(request: HttpRequest) -> HttpResponse:
    """Say that something broke, without leaning on anything that may be what broke."""
    return render(request, "common/server_error.html", status=SERVER_FAULT)
