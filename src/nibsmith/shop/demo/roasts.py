"""Store the demo workshop's roasts and wanted courses through the services every page uses."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django.utils import timezone

from nibsmith.shop.demo.numbers import number, numbers, without
from nibsmith.shop.kit.selectors import probe
from nibsmith.shop.roasts.models import Roast
from nibsmith.shop.roasts.reading import BY_HAND, facts_of
from nibsmith.shop.roasts.selectors import course
from nibsmith.shop.roasts.services.courses import CourseCard, create
from nibsmith.shop.roasts.services.readings import Sent, write_down_with
from nibsmith.shop.roasts.services.roasts import RoastCard

Told = Mapping[str, Any]
Refs = Mapping[str, str]
_NOT_ON_THE_CARD = ("days_ago", "wanted", "probe", "typed", "file_name", "probes", "log")


def load_courses(told: Told) -> dict[str, str]:
    """Store the wanted courses; return their refs by key."""
    return {key: create(CourseCard(**numbers(card))).ref for key, card in told.items()}


def load_roast(told: Told, refs: Refs) -> Roast:
    """Store one roast with its readings."""
    said = {name: number(value) for name, value in without(told, *_NOT_ON_THE_CARD).items()}
    day = (timezone.now() - timedelta(days=told["days_ago"])).date()
    card = RoastCard(**said, roasted_on=day, wanted=course(uuid.UUID(refs[told["wanted"]])))
    return write_down_with(card, _log(told, refs) if "log" in told else _typed(told, refs))


def _typed(told: Told, refs: Refs) -> Sent:
    facts = facts_of(probe(refs[told["probe"]]))
    return Sent(typed=told["typed"].strip(), role=facts["role"], told={"scale": "C"}, probes={BY_HAND: facts})


def _log(told: Told, refs: Refs) -> Sent:
    probes = {name: facts_of(probe(refs[key])) for name, key in told["probes"].items()}
    return Sent(data=told["log"].encode(), file_name=told["file_name"], probes=probes)
