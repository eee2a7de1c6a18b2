from django.urls import path

from nibsmith.shop.kit.views import fridges, kits, moulds, probes

app_name = "kit"
urlpatterns = [
    path("", kits.kits, name="kits"),
    path("new/", kits.add, name="add"),
    path("moulds/", moulds.moulds, name="moulds"),
    path("moulds/new/", moulds.add_mould, name="add_mould"),
    path("moulds/<str:ref>/", moulds.mould, name="mould"),
    path("moulds/<str:ref>/put-away/", moulds.put_mould_away, name="put_mould_away"),
    path("moulds/<str:ref>/bring-back/", moulds.bring_mould_back, name="bring_mould_back"),
    path("fridges/", fridges.fridges, name="fridges"),
    path("fridges/new/", fridges.add_fridge, name="add_fridge"),
    path("fridges/<str:ref>/", fridges.fridge, name="fridge"),
    path("fridges/<str:ref>/put-away/", fridges.put_fridge_away, name="put_fridge_away"),
    path("fridges/<str:ref>/bring-back/", fridges.bring_fridge_back, name="bring_fridge_back"),
    path("probes/", probes.probes, name="probes"),
    path("probes/new/", probes.add_probe, name="add_probe"),
    path("probes/<str:ref>/", probes.probe, name="probe"),
    path("probes/<str:ref>/put-away/", probes.put_probe_away, name="put_probe_away"),
    path("probes/<str:ref>/bring-back/", probes.bring_probe_back, name="bring_probe_back"),
    path("calibrations/<uuid:public_id>/", kits.calibration, name="calibration"),
    path("<str:ref>/", kits.kit, name="kit"),
    path("<str:ref>/calibrations/", kits.calibrations, name="calibrations"),
    path("<str:ref>/edit/", kits.edit, name="edit"),
    path("<str:ref>/put-away/", kits.put_away, name="put_away"),
    path("<str:ref>/bring-back/", kits.bring_back, name="bring_back"),
]
