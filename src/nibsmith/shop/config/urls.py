"""Every address of the web project. Each app lists its own."""

from django.urls import include, path

urlpatterns = [
    path("", include("nibsmith.shop.recipes.urls")),
    path("batches/", include("nibsmith.shop.batches.urls")),
    path("roasts/", include("nibsmith.shop.roasts.urls")),
    path("stock/", include("nibsmith.shop.stock.urls")),
    path("kit/", include("nibsmith.shop.kit.urls")),
    path("tools/", include("nibsmith.shop.tools.urls")),
    path("", include("nibsmith.shop.common.urls")),
]

handler400 = "nibsmith.shop.common.views.bad_request"
handler403 = "nibsmith.shop.common.views.forbidden"
handler404 = "nibsmith.shop.common.views.not_found"
handler500 = "nibsmith.shop.common.views.server_error"
