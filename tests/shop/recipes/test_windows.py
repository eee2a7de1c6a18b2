"""One recipe in two windows: neither writes over the other without being told."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client

from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.models import RecipeVersion

pytestmark = pytest.mark.django_db


def shown(client: Client, version: RecipeVersion) -> dict[str, str]:
    """Return what a page that is shown now sends along of itself."""
    return marks(client.get(f"/recipes/{version.recipe.public_id}/").content.decode())


def marks(body: str) -> dict[str, str]:
    found = dict(re.findall(r'name="(page|seen)" value="([^"]+)"', body))
    assert found.get("seen")
    return found


def typed(version: RecipeVersion, label: str) -> str:
    return str(draft_of(selectors.newest(version.recipe.public_id)).row(label).typed)


def test_the_second_window_is_told_what_the_first_changed_and_means_it_the_next_time(
    dark: RecipeVersion, client: Client, send: Any
) -> None:
    mine, theirs = shown(client, dark), shown(client, dark)
    assert send(dark, amount__cocoa_butter="6", **theirs).status_code == 302
    answer = send(dark, amount__cocoa_nibs_roasted="60", amount__cocoa_butter="4.0", **mine)
    body = answer.content.decode()
    assert answer.status_code == 422
    assert "changed in another window while you typed: cocoa butter." in body
    assert re.search(r'id="amount-cocoa_nibs_roasted" name="amount" value="60"', body)
    assert (typed(dark, "cocoa_nibs_roasted"), typed(dark, "cocoa_butter")) == ("64.0", "6")

    again = send(dark, amount__cocoa_nibs_roasted="60", amount__cocoa_butter="4.0", **marks(body))
    assert again.status_code == 302
    assert (typed(dark, "cocoa_nibs_roasted"), typed(dark, "cocoa_butter")) == ("60", "4.0")


def test_while_typing_a_stale_window_gets_the_whole_workbench_with_what_was_typed(
    dark: RecipeVersion, client: Client, send: Any
) -> None:
    mine, theirs = shown(client, dark), shown(client, dark)
    send(dark, amount__cocoa_butter="6", htmx=True, **theirs)
    answer = send(dark, amount__cocoa_nibs_roasted="60", htmx=True, **mine)
    assert (answer.status_code, answer.headers["HX-Retarget"]) == (422, "#workbench")
    assert 'value="60"' in answer.content.decode()


def test_a_window_is_never_told_of_its_own_edits(dark: RecipeVersion, client: Client, send: Any) -> None:
    """An answer that never arrived, because the next sign was typed, leaves the page behind itself."""
    mine = shown(client, dark)
    for share in ("5", "5.5", "5.75"):
        assert send(dark, amount__cocoa_butter=share, htmx=True, **mine).status_code == 200
    assert typed(dark, "cocoa_butter") == "5.75"


def test_the_answer_to_an_edit_brings_the_new_stamp(dark: RecipeVersion, client: Client, send: Any) -> None:
    mine = shown(client, dark)
    piece = send(dark, amount__cocoa_butter="5", htmx=True, **mine).content.decode()
    assert marks(piece)["seen"] != mine["seen"]
    assert marks(piece)["seen"] == shown(client, dark)["seen"]


def test_a_window_on_a_version_that_another_has_stepped_on_from_is_told(
    dark: RecipeVersion, client: Client, send: Any
) -> None:
    mine = shown(client, dark)
    services.freeze(dark)
    send(dark, amount__cocoa_butter="6", **shown(client, dark))
    assert send(dark, amount__cocoa_butter="5", **mine).status_code == 422
    assert dark.recipe.versions.count() == 2


@pytest.mark.parametrize("seen", ["nonsense", "1 yesterday", "x" * 500])
def test_a_stamp_that_is_nonsense_is_refused_as_stale(dark: RecipeVersion, send: Any, seen: str) -> None:
    assert send(dark, amount__cocoa_butter="5", seen=seen, page="y" * 500).status_code == 422


@pytest.mark.parametrize("page", ["\x00", "x" * 33, "a page", "١٢"])
def test_a_name_that_no_page_of_ours_has_is_not_kept(dark: RecipeVersion, send: Any, page: str) -> None:
    assert send(dark, amount__cocoa_butter="6", page=page).status_code == 302
    assert selectors.newest(dark.recipe.public_id).written_by == ""
    assert typed(dark, "cocoa_butter") == "6"
