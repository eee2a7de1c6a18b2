"""One way to find a kit and a mould, packaged or the maker's own."""

from __future__ import annotations

import uuid
from dataclasses import replace
from decimal import Decimal

import pytest
from pytest_django import DjangoAssertNumQueries

from nibsmith.science.errors import InputError
from nibsmith.science.kit import kit, kits
from nibsmith.science.mixture import Span
from nibsmith.science.tables import Status
from nibsmith.shop.kit import selectors
from nibsmith.shop.kit.models import Mould, OwnKit
from nibsmith.shop.kit.services import KitCard, create_kit, retire_kit, retire_mould

pytestmark = pytest.mark.django_db


def test_a_packaged_key_gives_the_packaged_kit() -> None:
    assert selectors.science_kit("stone") is kit("stone")


def test_an_own_kit_has_its_own_figures_and_those_of_its_kind_for_the_rest(agnes: OwnKit) -> None:
    found, base = selectors.science_kit(agnes.ref), kit("stone")

    assert (found.name, found.key) == ("Agnes", "stone")
    assert (found.charge_min_g, found.charge_max_g) == (800.0, 2500.0)
    assert found.residue_g == Span.exactly(140.0)
    assert (found.size_um, found.hours, found.end_water_percent) == (
        base.size_um,
        base.hours,
        base.end_water_percent,
    )
    assert found.status == Status.OWN_CALIBRATION
    assert base.charge_note
    assert base.charge_note not in found.remarks  # it speaks of the packaged minimum and maximum


def test_an_own_kit_without_figures_keeps_the_status_of_its_kind() -> None:
    row = create_kit(KitCard(name="Borrowed", based_on="blender", note="Lid sticks."))
    found = selectors.science_kit(row.ref)

    assert found == replace(kit("blender"), name="Borrowed", notes=(*kit("blender").notes, "Lid sticks."))


def test_a_lower_ceiling_holds_for_milk_too() -> None:
    row = create_kit(KitCard(name="Jug", based_on="blender", ceiling_celsius=Decimal(40)))

    assert selectors.science_kit(row.ref).ceiling_celsius == 40.0
    assert selectors.science_kit(row.ref).ceiling_milk_celsius == 40.0
    higher = create_kit(KitCard(name="The other jug", based_on="blender", ceiling_celsius=Decimal(60)))
    assert selectors.science_kit(higher.ref).ceiling_milk_celsius == kit("blender").ceiling_milk_celsius


@pytest.mark.parametrize("ref", ["", "kiwi", "own:", "own:kiwi", f"own:{uuid.uuid4()}", "\x00", "own:\x00"])
def test_a_ref_that_is_none_is_refused(ref: str) -> None:
    with pytest.raises(InputError):
        selectors.science_kit(ref)
    with pytest.raises(InputError):
        selectors.science_mould(ref)


def test_the_list_of_kits_takes_one_query_and_has_own_ones_first(
    agnes: OwnKit, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(1):
        offered = selectors.kit_choices()

    assert [choice.ref for choice in offered] == [agnes.ref, *kits()]


def test_a_mould_is_found_with_its_cavities(brick: Mould) -> None:
    found = selectors.science_mould(brick.ref)

    assert (found.name, found.cavity_g, found.cavities) == ("Brick", 62.5, 8)
    assert [(m.ref, m.cavity_g) for m in selectors.moulds()] == [(brick.ref, Decimal("62.500"))]


def test_what_is_put_away_is_offered_no_more_but_still_found(agnes: OwnKit, brick: Mould) -> None:
    retire_kit(agnes)
    retire_mould(brick)

    assert agnes.ref not in {choice.ref for choice in selectors.kit_choices()}
    assert selectors.moulds() == ()
    assert selectors.science_kit(agnes.ref).name == "Agnes"
    assert selectors.science_mould(brick.ref).name == "Brick"
    assert selectors.kits_put_away() == (agnes,)
    assert selectors.moulds_put_away() == (brick,)
