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
    "figures",
    "figure",
    "sheet",
    "ingredients",
    "ingredient",
    "own-ingredient",
    "new-ingredient",
    "kit",
    "machine",
    "moulds",
    "mould",
    "settings",
    "history",
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
        "balance-proposed": f"/recipes/{most}/balance/?total_fat_min=38&objective=cheapest",
        "balance-impossible": f"/recipes/{most}/balance/?total_fat_min=60&cocoa_as_weighed_max=50",
        "share-out": "/recipes/share-out/",
        "shared-out": f"/recipes/share-out/?stock=3+kg+Bellwater+nibs&recipe={most}&recipe={nutty}",
        "figures": f"/recipes/{nutty}/figures/",
        "figure": f"/recipes/{nutty}/figures/cocoa_butter/",
        "sheet": f"/recipes/{nutty}/sheet/",
        "ingredients": "/stock/",
        "ingredient": "/stock/cocoa_butter/",
        "own-ingredient": f"/stock/{OwnIngredient.objects.earliest('pk').key}/",
        "new-ingredient": "/stock/new/",
        "kit": "/kit/",
        "machine": f"/kit/{OwnKit.objects.earliest('pk').ref}/",
        "moulds": "/kit/moulds/",
        "mould": f"/kit/moulds/{Mould.objects.earliest('pk').ref}/",
        "settings": "/settings/",
        "history": "/history/",
        "not-found": "/nothing/here/",
    }
    assert tuple(pages) == NAMES
    return pages
