from django.urls import path

from nibsmith.shop.recipes.views import (
    balance,
    behaviour,
    bowl,
    figures,
    lists,
    recipe,
    share_out,
    sheet,
    start,
    versions,
)

app_name = "recipes"
urlpatterns = [
    path("", start.start, name="start"),
    path("recipes/", lists.recipes, name="list"),
    path("recipes/new/", start.new, name="new"),
    path("recipes/share-out/", share_out.share_out, name="share_out"),
    path("recipes/<uuid:public_id>/", recipe.recipe, name="recipe"),
    path("recipes/<uuid:public_id>/estimates/", recipe.estimates, name="estimates"),
    path("recipes/<uuid:public_id>/remedy/", recipe.remedy, name="remedy"),
    path("recipes/<uuid:public_id>/size/", recipe.size, name="size"),
    path("recipes/<uuid:public_id>/name/", lists.describe, name="describe"),
    path("recipes/<uuid:public_id>/copy/", lists.copy, name="copy"),
    path("recipes/<uuid:public_id>/put-away/", lists.put_away, name="put_away"),
    path("recipes/<uuid:public_id>/bring-back/", lists.bring_back, name="bring_back"),
    path("recipes/<uuid:public_id>/bowl/", bowl.bowl, name="bowl"),
    path("recipes/<uuid:public_id>/balance/", balance.balance, name="balance"),
    path("recipes/<uuid:public_id>/keep/", versions.keep, name="keep"),
    path("recipes/<uuid:public_id>/renew/", versions.renew, name="renew"),
    path("recipes/<uuid:public_id>/compare/", versions.compare, name="compare"),
    path("recipes/<uuid:public_id>/versions/<int:number>/", versions.version, name="version"),
    path("recipes/<uuid:public_id>/versions/<int:number>/back/", versions.go_back, name="go_back"),
    path("recipes/<uuid:public_id>/sheet/", sheet.sheet, name="sheet"),
    path("recipes/<uuid:public_id>/sheet.pdf", sheet.pdf, name="pdf"),
    path("recipes/<uuid:public_id>/pours-and-sets/", behaviour.behaves, name="behaves"),
    path("recipes/<uuid:public_id>/pours-and-sets.pdf", behaviour.on_paper, name="behaves_pdf"),
    path("recipes/<uuid:public_id>/figures/", figures.figures, name="figures"),
    path("recipes/<uuid:public_id>/figures/<slug:key>/", figures.figure, name="figure"),
]
