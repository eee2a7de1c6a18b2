from django.urls import path

from nibsmith.shop.kit import views

app_name = "kit"
urlpatterns = [
    path("", views.kits, name="kits"),
    path("new/", views.add, name="add"),
    path("moulds/", views.moulds, name="moulds"),
    path("moulds/new/", views.add_mould, name="add_mould"),
    path("moulds/<str:ref>/", views.mould, name="mould"),
    path("moulds/<str:ref>/put-away/", views.put_mould_away, name="put_mould_away"),
    path("moulds/<str:ref>/bring-back/", views.bring_mould_back, name="bring_mould_back"),
    path("<str:ref>/", views.kit, name="kit"),
    path("<str:ref>/edit/", views.edit, name="edit"),
    path("<str:ref>/put-away/", views.put_away, name="put_away"),
    path("<str:ref>/bring-back/", views.bring_back, name="bring_back"),
]
