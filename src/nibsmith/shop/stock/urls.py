from django.urls import path

from nibsmith.shop.stock import views

app_name = "stock"
urlpatterns = [
    path("", views.ingredients, name="ingredients"),
    path("new/", views.add, name="add"),
    path("<str:key>/", views.ingredient, name="ingredient"),
    path("<str:key>/edit/", views.edit, name="edit"),
    path("<str:key>/put-away/", views.put_away, name="put_away"),
    path("<str:key>/bring-back/", views.bring_back, name="bring_back"),
]
