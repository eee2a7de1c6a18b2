"""What every request meets before and after a page sees it."""

from __future__ import annotations

from contextlib import closing

import pytest
from django import forms
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.test import Client
from django.urls import path

from nibsmith.science.errors import InputError, NibsmithError, TableError
from nibsmith.shop.common import htmx, problems
from nibsmith.shop.config.urls import handler400, handler403, handler404, handler500
from nibsmith.shop.serving.limits import BODY_READ_BYTES


def refuse(request: HttpRequest) -> HttpResponse:
    raise InputError(
        "The shares add up to too much", value="104 %", limit="100 %", advice="Lower one of them."
    )


def break_down(request: HttpRequest) -> HttpResponse:
    raise ZeroDivisionError


def take(request: HttpRequest) -> HttpResponse:
    return HttpResponse(f"{len(request.POST)}")


def show(request: HttpRequest) -> HttpResponse:
    return HttpResponse("fragment" if htmx.wants_fragment(request) else "page")


urlpatterns = [
    path("refuse", refuse),
    path("break", break_down),
    path("take", take),
    path("show", show),
]
__all__ = ["handler400", "handler403", "handler404", "handler500"]

pytestmark = pytest.mark.urls(__name__)


@pytest.fixture
def visitor() -> Client:
    """A client that sees what a browser sees: pages of errors, and the check of forms."""
    return Client(raise_request_exception=False, enforce_csrf_checks=True)


@pytest.mark.parametrize("address", ["/show", "/refuse", "/break", "/nowhere", "/static/common/look.css"])
def test_every_answer_forbids_foreign_and_inline_code(visitor: Client, address: str) -> None:
    with closing(visitor.get(address)) as answer:
        headers = answer.headers

    rules = dict(rule.split(" ", 1) for rule in headers["Content-Security-Policy"].split("; "))
    assert rules == {
        "default-src": "'none'",
        "script-src": "'self'",
        "style-src": "'self'",
        "img-src": "'self' data:",
        "font-src": "'self'",
        "connect-src": "'self'",
        "form-action": "'self'",
        "base-uri": "'none'",
        "frame-ancestors": "'none'",
    }
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert "Access-Control-Allow-Origin" not in headers


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1.evil.example", "192.168.1.7", "nibsmith", "local host"]
)
@pytest.mark.parametrize("address", ["/show", "/static/common/look.css"])
def test_a_request_for_another_host_gets_nothing_but_a_plain_refusal(
    visitor: Client, host: str, address: str
) -> None:
    answer = visitor.get(address, headers={"host": host})

    assert answer.status_code == 400
    assert "Not understood" in answer.text
    assert "fragment" not in answer.text


@pytest.mark.parametrize("host", ["127.0.0.1:8765", "localhost:8765", "localhost", "[::1]:8765"])
def test_a_request_for_this_computer_is_answered(visitor: Client, host: str) -> None:
    assert visitor.get("/show", headers={"host": host}).status_code == 200


def test_a_form_from_elsewhere_is_not_taken(visitor: Client) -> None:
    answer = visitor.post("/take", {"a": "1"})

    assert answer.status_code == 403
    assert "The form was not taken" in answer.text


def test_a_form_of_a_page_is_taken_with_its_cookie(visitor: Client) -> None:
    visitor.get("/nowhere")  # any page with the token in it sets the cookie
    cookie = visitor.cookies[settings.CSRF_COOKIE_NAME]

    answer = visitor.post("/take", {"a": "1"}, headers={"X-CSRFToken": cookie.value})

    assert answer.text == "1"
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"


def test_a_body_over_the_limit_is_refused_unread_with_the_limit(visitor: Client) -> None:
    answer = visitor.generic("POST", "/take", b"x" * (BODY_READ_BYTES + 1), content_type="text/plain")

    assert answer.status_code == 413
    assert "16 MB" in answer.text  # what a file may have


def test_a_body_at_the_limit_is_read(visitor: Client) -> None:
    client = Client()  # without the check of forms, which is not the matter here

    assert (
        client.generic("POST", "/take", b"x" * BODY_READ_BYTES, content_type="text/plain").status_code == 200
    )


def test_a_refusal_is_shown_with_its_value_limit_and_advice(visitor: Client) -> None:
    answer = visitor.get("/refuse")

    assert answer.status_code == 422
    for text in ("The shares add up to too much", "104 %", "100 %", "Lower one of them."):
        assert text in answer.text


@pytest.mark.parametrize(
    ("referer", "link"),
    [
        ("http://127.0.0.1/recipes/?q=a&b=c", "/recipes/?q=a&amp;b=c"),
        ("http://elsewhere.example/recipes/", None),
        ("http://127.0.0.1//elsewhere.example/", None),
        ("", None),
    ],
)
def test_a_refused_form_leads_back_to_the_page_of_ours_it_came_from(referer: str, link: str | None) -> None:
    browser = Client(SERVER_NAME="127.0.0.1")
    answer = browser.post("/refuse", headers={"Referer": referer})

    assert answer.status_code == 422
    assert (f'<a href="{link}">Back to the page before</a>' in answer.text) == (link is not None)
    assert ("Back to the page before" in answer.text) == (link is not None)


def test_a_fault_shows_no_inner_workings(visitor: Client) -> None:
    answer = visitor.get("/break")

    assert answer.status_code == 500
    assert "Something broke" in answer.text
    assert "ZeroDivision" not in answer.text
    assert "Traceback" not in answer.text


def test_a_missing_page_is_said_to_be_missing(visitor: Client) -> None:
    answer = visitor.get("/nowhere")

    assert answer.status_code == 404
    assert "There is no page at this address." in answer.text


def test_text_of_a_refusal_can_not_become_part_of_the_page(visitor: Client) -> None:
    shown = problems.problem(InputError("Unknown", value="<script>"))
    from django.template.loader import render_to_string

    assert "<script>" not in render_to_string("common/problem.html", {"problem": shown}).split("<main")[1]


def test_htmx_gets_the_fragment_and_a_browser_the_page(visitor: Client) -> None:
    assert visitor.get("/show").text == "page"
    assert visitor.get("/show", headers={"HX-Request": "true"}).text == "fragment"
    boosted = {"HX-Request": "true", "HX-Boosted": "true"}
    assert visitor.get("/show", headers=boosted).text == "page"
    restored = {"HX-Request": "true", "HX-History-Restore-Request": "true"}
    assert visitor.get("/show", headers=restored).text == "page"


def test_a_page_and_its_fragment_are_not_mixed_up_by_the_cache(visitor: Client) -> None:
    headers = visitor.get("/show").headers

    assert "HX-Request" in headers["Vary"]
    assert headers["Cache-Control"] == "private, no-cache"


class ShareForm(forms.Form):
    share = forms.CharField(required=False)


def _form() -> ShareForm:
    form = ShareForm({"share": "x"})
    form.is_valid()
    return form


def test_a_refusal_lands_beside_the_field_it_names() -> None:
    form = _form()
    problems.add_to_form(form, InputError("Not a share", value="x", field="share"))

    assert form.errors == {"share": ["Not a share (got x)."]}


def test_a_refusal_of_no_field_lands_at_the_head_of_the_form() -> None:
    form = _form()
    problems.add_to_form(form, NibsmithError("Nothing fits", advice="Loosen a limit.", field="limits"))

    assert form.non_field_errors() == ["Nothing fits. Loosen a limit."]


def test_damaged_tables_are_never_blamed_on_what_was_typed() -> None:
    with pytest.raises(TableError):
        problems.add_to_form(_form(), TableError("A row is missing"))
    assert problems.problem(TableError("A row is missing")).status == 500


@pytest.mark.urls("nibsmith.shop.config.urls")
def test_the_icon_is_found_where_browsers_look_for_it() -> None:
    answer = Client().get("/favicon.ico")

    assert answer.url == "/static/common/icon.svg"
    with closing(Client().get(answer.url)) as icon:
        assert icon["Content-Type"] == "image/svg+xml"
