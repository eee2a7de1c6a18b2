"""Store the demo workshop through the services every page uses."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from importlib.resources import files
from typing import Any

from django.db import transaction

from nibsmith.science.mixture import Form, Grind, Kind, Stage
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.demo.batches import load_batch
from nibsmith.shop.demo.numbers import numbers, without
from nibsmith.shop.demo.roasts import load_courses, load_roast
from nibsmith.shop.kit.instruments import FridgeCard, ProbeCard, create_fridge, create_probe
from nibsmith.shop.kit.services import KitCard, MouldCard, create_kit, create_mould
from nibsmith.shop.recipes.drafts import Amount, Draft, Row, draft_of
from nibsmith.shop.recipes.models import Mode, Way
from nibsmith.shop.recipes.opening import open_draft
from nibsmith.shop.recipes.services import create_recipe, step_on
from nibsmith.shop.stock.services import Facts, create_ingredient, set_facts
from nibsmith.shop.stock.sheets import Sheet

Refs = Mapping[str, str]
START_G = Decimal(1000)  # stands until the bars decide the total


def load_workshop() -> None:
    """Store the demo workshop, unless anything was ever stored here."""
    told = tomllib.loads(files(__package__).joinpath("workshop.toml").read_text("utf-8"), parse_float=Decimal)
    with transaction.atomic():
        if ChangeEntry.objects.exists():
            return
        refs = {**_kits(told["kits"]), **_moulds(told["moulds"]), **_ingredients(told["ingredients"])}
        refs |= {**_fridges(told["fridges"]), **_probes(told["probes"])}
        _settings(told["workshop"], refs)
        for key, facts in told["prices"].items():
            set_facts(key, Facts(**numbers(facts)))
        for recipe in told["recipes"]:
            _recipe(recipe, refs)
        refs |= load_courses(told["courses"])
        for roast in told["roasts"]:
            load_roast(roast, refs)
        for batch in told["batches"]:
            load_batch(batch, refs)


def _kits(told: Mapping[str, Any]) -> dict[str, str]:
    return {
        key: create_kit(KitCard(**numbers(without(card, "why"))), why=card.get("why", "")).ref
        for key, card in told.items()
    }


def _moulds(told: Mapping[str, Any]) -> dict[str, str]:
    found = {}
    for key, card in told.items():
        fields = {**numbers(without(card, "why")), "cavities": card["cavities"]}
        found[key] = create_mould(MouldCard(**fields), why=card.get("why", "")).ref
    return found


def _fridges(told: Mapping[str, Any]) -> dict[str, str]:
    return {
        key: create_fridge(FridgeCard(**numbers(without(card, "why"))), why=card.get("why", "")).ref
        for key, card in told.items()
    }


def _probes(told: Mapping[str, Any]) -> dict[str, str]:
    return {
        key: create_probe(ProbeCard(**numbers(without(card, "why"))), why=card.get("why", "")).ref
        for key, card in told.items()
    }


def _ingredients(told: Mapping[str, Any]) -> dict[str, str]:
    return {key: create_ingredient(_sheet(card), why=card.get("why", "")).key for key, card in told.items()}


def _sheet(card: Mapping[str, Any]) -> Sheet:
    lists = {name: tuple(card.get(name, ())) for name in ("allergens_eu", "allergens_us", "traits")}
    facts = {
        "kind": Kind(card["kind"]),
        "stage": Stage(card.get("stage", Stage.START)),
        "grind": Grind(card.get("grind", Grind.REFINED)),
        "constituents": numbers(card["constituents"]),
    }
    return Sheet(**{**numbers(without(card, "why")), **lists, **facts})


def _settings(told: Mapping[str, Any], refs: Refs) -> None:
    usual = {name: refs[told[name]] for name in ("default_kit", "default_mould")}
    fields = {**numbers(without(told, "why")), **usual, "markets": tuple(told["markets"])}
    update_workshop(WorkshopSettings(**fields), why=told["why"])


def _recipe(told: Mapping[str, Any], refs: Refs) -> None:
    """Store a recipe; each later version is made of the one before, so that they can be compared."""
    draft = Draft(
        name=told["name"],
        form=told.get("form", Form.BAR.value),
        rows=_rows(told["parts"], refs),
        amount=_amount(told, refs),
    )
    version = create_recipe(draft, note=told["note"], why=told["why"])
    for later in told.get("then", ()):
        changed = replace(draft_of(version), rows=_rows(later["parts"], refs))
        version = step_on(version, open_draft(changed), why=later["why"])


def _amount(told: Mapping[str, Any], refs: Refs) -> Amount:
    kit, mould = (refs[told[name]] if name in told else "" for name in ("kit", "mould"))
    if "bars" in told:
        return Amount(total_g=START_G, way=Way.BARS, bars=told["bars"], kit=kit, mould=mould)
    return Amount(total_g=Decimal(told["total_g"]), kit=kit, mould=mould)


def _rows(parts: Sequence[Mapping[str, Any]], refs: Refs) -> tuple[Row, ...]:
    return tuple(_row(part, refs.get(part["of"], part["of"])) for part in parts)


def _row(part: Mapping[str, Any], key: str) -> Row:
    if part.get("share") == "rest":
        return Row(label=part["of"], ingredient=key, mode=Mode.REST)
    mode, name = (Mode.PER_100, "per_100") if "per_100" in part else (Mode.PERCENT, "share")
    return Row(label=part["of"], ingredient=key, mode=mode, typed=Decimal(part[name]))
