from django.urls import path

from nibsmith.shop.kit.views import kits
from nibsmith.shop.kit.views.fridges import FRIDGES, fridges
from nibsmith.shop.kit.views.moulds import MOULDS, moulds
from nibsmith.shop.kit.views.probes import PROBES, probes

app_name = "kit"
urlpatterns = [
    path("", kits.kits, name="kits"),
    path("new/", kits.add, name="add"),
    *MOULDS.paths(moulds),
    *FRIDGES.paths(fridges),
    *PROBES.paths(probes),
    path("calibrations/<uuid:public_id>/", kits.calibration, name="calibration"),
    path("<str:ref>/", kits.kit, name="kit"),
    path("<str:ref>/calibrations/", kits.calibrations, name="calibrations"),
    path("<str:ref>/edit/", kits.edit, name="edit"),
    path("<str:ref>/put-away/", kits.put_away, name="put_away"),
    path("<str:ref>/bring-back/", kits.bring_back, name="bring_back"),
]
