from django.urls import path
from django.views.generic.base import RedirectView

urlpatterns = [
    # Browsers ask for this address whatever a page says.
    path("favicon.ico", RedirectView.as_view(url="/static/common/icon.svg", permanent=False)),
]
