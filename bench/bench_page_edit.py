"""An edit of the recipe page at 20 parts: from the POST to the fragment, database on disk."""

from __future__ import annotations

import itertools
import os
import tempfile
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from timing import Row, median

PARTS = 20
RUNS, WARM_UP = 200, 20
BOUND_MS = 25
# The sugar is the rest: with these nineteen it makes a bar nobody would make, but every answer answers.
KEYS = (
    "cocoa_nibs_roasted",
    "cocoa_mass",
    "cocoa_butter",
    "cocoa_powder_natural",
    "milk_powder_whole",
    "milk_powder_skim",
    "whey_powder_sweet",
    "butteroil",
    "sugar_brown",
    "coconut_sugar",
    "lecithin_sunflower",
    "salt_sea",
    "hazelnut_dry_roasted",
    "almond_dry_roasted",
    "pistachio_dry_roasted",
    "raspberry_freeze_dried",
    "cranberry_dried",
    "coffee_bean_roasted",
    "cinnamon",
)


def measure() -> list[Row]:
    with tempfile.TemporaryDirectory() as home:
        os.environ["NIBSMITH_HOME"] = home
        Path(home).mkdir(exist_ok=True)
        return _measured()


def _measured() -> list[Row]:
    from nibsmith.shop.serving.prepare import prepare
    from nibsmith.shop.serving.setup import set_up

    set_up()
    prepare(with_demo=False)
    browser = Browser()
    edit = median(browser.edit, RUNS, WARM_UP)
    whole = median(browser.page, RUNS, WARM_UP)
    empty = median(browser.empty_form, RUNS, WARM_UP)
    peers = (
        f"the whole page without writing {whole * 1000:.1f} ms, {whole / edit:.2f} times this; "
        f"the empty form of a new recipe {empty * 1000:.1f} ms, {empty / edit:.2f} times this"
    )
    return [Row(f"page edit at {PARTS} parts, POST to fragment", edit, f"< {BOUND_MS} ms", RUNS, peers)]


class Browser:
    """Does what a browser does with the recipe page."""

    def __init__(self) -> None:
        from django.test import Client

        self.client = Client(enforce_csrf_checks=True, SERVER_NAME="127.0.0.1")
        self.version = _recipe()
        self.path = f"/recipes/{self.version.recipe.public_id}/"
        self.post = _form(self.version)
        page = self.client.get(self.path)
        assert page.status_code == 200
        self.headers = {
            "HX-Request": "true",
            "HX-Target": "answers",
            "X-CSRFToken": self.client.cookies["nibsmith_csrf"].value,
        }
        self.shares = itertools.cycle(("21.0", "21.5", "22.0", "22.5"))

    def edit(self) -> None:
        """Type another share of the first part."""
        self.post["amount"][0] = next(self.shares)
        sent = urlencode(self.post, doseq=True)
        answer = self.client.post(self.path, sent, "application/x-www-form-urlencoded", headers=self.headers)
        assert answer.status_code == 200, answer.status_code
        assert b"answer-call_it" in answer.content

    def page(self) -> None:
        assert self.client.get(self.path).status_code == 200

    def empty_form(self) -> None:
        assert self.client.get("/recipes/new/").status_code == 200


def _recipe() -> Any:
    from decimal import Decimal

    from nibsmith.shop.recipes import services
    from nibsmith.shop.recipes.drafts import Amount, Draft
    from nibsmith.shop.recipes.drafts import Row as Part
    from nibsmith.shop.recipes.models import Mode

    typed = ["21.0", "10.0", *["2.5"] * 8, "0.3", "0.1", *["2.0"] * 7]
    parts = [
        Part(label=key, ingredient=key, typed=Decimal(share)) for key, share in zip(KEYS, typed, strict=True)
    ]
    rest = Part(label="sugar_granulated", ingredient="sugar_granulated", mode=Mode.REST)
    assert len(parts) + 1 == PARTS
    draft = Draft(name="Twenty", form="bar", rows=(*parts, rest), amount=Amount(total_g=Decimal(5000)))
    return services.create_recipe(draft)


def _form(version: Any) -> dict[str, Any]:
    from nibsmith.shop.common.workshop.selectors import workshop
    from nibsmith.shop.recipes.drafts import draft_of
    from nibsmith.shop.recipes.shown import texts_of

    texts = [texts_of(row, workshop()) for row in draft_of(version).rows]
    columns = ("label", "amount", "mode", "kind", "stage", "grind", "price")
    form: dict[str, Any] = {column: [getattr(text, column) for text in texts] for column in columns}
    return form | {
        "way": "total",
        "total": "5000 g",
        "have": "",
        "bars": "",
        "mould": "",
        "kit": "",
        "do": "",
    }
