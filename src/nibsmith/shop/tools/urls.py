from django.urls import path

from nibsmith.shop.tools import views

app_name = "tools"
urlpatterns = [
    path("", views.tools, name="tools"),
    path("<slug:key>/", views.bench, name="bench"),
    path("<slug:key>/paper.pdf", views.paper, name="paper"),
]
