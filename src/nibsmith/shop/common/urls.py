from django.urls import path
from django.views.generic.base import RedirectView

from nibsmith.shop.common.history.views import history
from nibsmith.shop.common.sources.views import sources
from nibsmith.shop.common.workshop.views import settings

app_name = "common"
urlpatterns = [
    path("settings/", settings, name="settings"),
    path("history/", history, name="history"),
    path("sources/", sources, name="sources"),
    # Browsers ask for this address whatever a page says.
    path("favicon.ico", RedirectView.as_view(url="/static/common/icon.svg", permanent=False)),
]
