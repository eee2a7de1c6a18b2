"""The pages of the demo workshop, by a name that says what each shows."""

from __future__ import annotations

NAMES = (
    "start",
    "start-with-amounts",
    "start-with-a-question",
    "start-refused",
    "recipes",
    "new-recipe",
    "recipe",
    "recipe-with-inclusions",
    "name-form-and-note",
    "begin-another",
    "versions",
    "older-version",
    "bowl",
    "bowl-looked-at",
    "balance",
    "balance-proposed",
    "balance-impossible",
    "share-out",
    "shared-out",
    "pours-and-sets",
    "figures",
    "names",
    "figure",
    "sheet",
    "ingredients",
    "ingredient",
    "own-ingredient",
    "new-ingredient",
    "kit",
    "packaged-kit",
    "machine",
    "moulds",
    "mould",
    "fridges",
    "fridge",
    "probes",
    "probe",
    "calibrations",
    "batches",
    "make-a-batch",
    "batch",
    "correct-an-entry",
    "session",
    "roasts",
    "new-roast",
    "roast",
    "roast-by-hand",
    "change-a-roast",
    "compare-roasts",
    "wanted-courses",
    "wanted-course",
    "settings",
    "history",
    "sources",
    "not-found",
)


def addresses() -> dict[str, str]:
    """Return the address of each page; the demo workshop must be loaded."""
    from nibsmith.shop.kit.models import Mould, OwnKit
    from nibsmith.shop.recipes.selectors import listed
    from nibsmith.shop.stock.models import OwnIngredient

    found = {one.recipe.name: one for one in listed()}
    most = max(found.values(), key=lambda one: one.version.number).recipe.public_id
    nutty = found["Hazel Gate"].recipe.public_id
    pages = {
        "start": "/",
        "start-with-amounts": "/?have=1200+g+Roasted+nibs+from+Bellwater%3B+700+g+Cane+sugar+from+Marl+Mill",
        "start-with-a-question": "/?have=1200+g+roasted+nibs%2C+10+g+lecithin",
        "start-refused": "/?have=1200+g+roasted+nibs%2C+2+cups+sugar",
        "recipes": "/recipes/",
        "new-recipe": "/recipes/new/",
        "recipe": f"/recipes/{most}/",
        "recipe-with-inclusions": f"/recipes/{nutty}/",
        "name-form-and-note": f"/recipes/{most}/name/",
        "begin-another": f"/recipes/{most}/copy/",
        "versions": f"/recipes/{most}/compare/",
        "older-version": f"/recipes/{most}/versions/1/",
        "bowl": f"/recipes/{most}/bowl/",
        "bowl-looked-at": f"/recipes/{most}/bowl/?bowl=1200+g+nibs%2C+900+g+sugar",
        "balance": f"/recipes/{most}/balance/",
        "balance-proposed": f"/recipes/{most}/balance/?total_fat_percent_min=38&objective=cheapest",
        "balance-impossible": (
            f"/recipes/{most}/balance/?total_fat_percent_min=60&cocoa_as_weighed_percent_max=50"
        ),
        "share-out": "/recipes/share-out/",
        "shared-out": f"/recipes/share-out/?stock=3+kg+Bellwater+nibs&recipe={most}&recipe={nutty}",
        "pours-and-sets": f"/recipes/{most}/pours-and-sets/",
        "figures": f"/recipes/{nutty}/figures/",
        "names": f"/recipes/{nutty}/names/",
        "figure": f"/recipes/{nutty}/figures/cocoa_butter/",
        "sheet": f"/recipes/{nutty}/sheet/",
        "ingredients": "/stock/",
        "ingredient": "/stock/cocoa_butter/",
        "own-ingredient": f"/stock/{OwnIngredient.objects.earliest('pk').key}/",
        "new-ingredient": "/stock/new/",
        "kit": "/kit/",
        "packaged-kit": "/kit/stone/",
        "machine": f"/kit/{OwnKit.objects.earliest('pk').ref}/",
        "moulds": "/kit/moulds/",
        "mould": f"/kit/moulds/{Mould.objects.earliest('pk').ref}/",
        **_of_the_bench(nutty),
        "settings": "/settings/",
        "history": "/history/",
        "sources": "/sources/",
        "not-found": "/nothing/here/",
    }
    assert tuple(pages) == NAMES
    return pages


def _of_the_bench(recipe: object) -> dict[str, str]:
    """Return the pages of fridges, probes, batches and roasts."""
    from nibsmith.shop.batches.models import Batch, SizeReading
    from nibsmith.shop.kit.models import Fridge, Probe
    from nibsmith.shop.roasts.models import Course, Roast

    batch, size = Batch.objects.get(), SizeReading.objects.earliest("pk")
    by_hand, logged = Roast.objects.order_by("number")
    return {
        "fridges": "/kit/fridges/",
        "fridge": f"/kit/fridges/{Fridge.objects.get().ref}/",
        "probes": "/kit/probes/",
        "probe": f"/kit/probes/{Probe.objects.earliest('pk').ref}/",
        "calibrations": f"/kit/{batch.kit}/calibrations/",
        "batches": "/batches/",
        "make-a-batch": f"/batches/make/{recipe}/",
        "batch": f"/batches/{batch.public_id}/",
        "correct-an-entry": f"/batches/{batch.public_id}/entries/size/{size.public_id}/",
        "session": f"/batches/{batch.public_id}/sessions/1/",
        "roasts": "/roasts/",
        "new-roast": "/roasts/new/",
        "roast": f"/roasts/{logged.public_id}/",
        "roast-by-hand": f"/roasts/{by_hand.public_id}/",
        "change-a-roast": f"/roasts/{by_hand.public_id}/edit/",
        "compare-roasts": f"/roasts/compare/?roast={by_hand.public_id}&roast={logged.public_id}",
        "wanted-courses": "/roasts/courses/",
        "wanted-course": f"/roasts/courses/{Course.objects.get().public_id}/",
    }
