"""Sources are told in full: under each answer, and all of them on a page that the foot leads to."""

from __future__ import annotations

import re
import tomllib

import pytest
from django.test import Client

from nibsmith.answers.answer import Citation
from nibsmith.answers.references import PACKAGED, references
from nibsmith.science.tables import STATUS_WORDS, Status
from nibsmith.shop.common.sources.words import cited
from source_tree import ROOT

LINES = (ROOT / "docs" / "references.md").read_text(encoding="utf-8").splitlines()
KEYS = [line[3:].partition("]")[0] for line in LINES if line.startswith("- [")]


def test_every_line_of_the_list_is_read_in_its_order() -> None:
    assert list(references()) == KEYS


def test_a_reference_is_told_without_its_key_and_its_status_is_a_word_of_the_tables() -> None:
    codex = references()["codex207"]
    assert codex.text.startswith("Codex CXS 207-1999, milk powders and cream powder, section 3.2")
    assert (codex.status, codex.section) == (Status.READ, "Allergens, keeping, setting, money")


def test_the_list_goes_into_the_wheel_where_the_reader_looks_for_it() -> None:
    built = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]["build"]
    assert built["targets"]["wheel"]["force-include"] == {"docs/references.md": f"nibsmith/{PACKAGED}"}


def test_places_of_one_source_stand_together_before_its_full_reference() -> None:
    told = cited(
        (
            Citation("codex207", "section 3.2", Status.READ),
            Citation("common-practice", "over 1 g: dry it first", Status.COMMON_PRACTICE),
            Citation("codex207", "section 3.3", Status.READ),
            Citation("codex207", "section 3.2", Status.READ),
        )
    )
    assert told == (
        (f"section 3.2; section 3.3, in: {references()['codex207'].text}", STATUS_WORDS[Status.READ]),
        ("over 1 g: dry it first", STATUS_WORDS[Status.COMMON_PRACTICE]),
    )


@pytest.mark.django_db
def test_the_foot_of_every_page_leads_to_all_sources_with_their_status_in_words(client: Client) -> None:
    foot = client.get("/recipes/").content.decode().partition("<footer")[2]
    address = re.search(r'href="([^"]+)"', foot)
    assert address
    page = client.get(address[1]).content.decode()
    listed = re.findall(r'<li id="([^"]+)">', page)
    assert sorted(listed) == sorted(KEYS)
    assert references()[listed[0]].section == "Kitchen quantities"
    assert references()[listed[-1]].section == "Program"
    assert page.count(f"({STATUS_WORDS[Status.MEMORY]})") == sum(
        reference.status is Status.MEMORY for reference in references().values()
    )
