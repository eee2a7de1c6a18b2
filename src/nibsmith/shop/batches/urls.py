from django.urls import path

from nibsmith.shop.batches.views import batch, entries, lists, sessions

app_name = "batches"
urlpatterns = [
    path("", lists.batches, name="list"),
    path("make/<uuid:public_id>/", lists.make, name="make"),
    path("<uuid:public_id>/", batch.batch, name="batch"),
    path("<uuid:public_id>/note/", batch.note, name="note"),
    path("<uuid:public_id>/write/<slug:what>/", batch.write, name="write"),
    path("<uuid:public_id>/entries/<slug:kind>/<uuid:entry_id>/", entries.correct, name="correct"),
    path("<uuid:public_id>/entries/<slug:kind>/<uuid:entry_id>/strike/", entries.strike, name="strike"),
    path("<uuid:public_id>/sessions/<int:number>/", sessions.session, name="session"),
    path("<uuid:public_id>/sessions/<int:number>/write/<slug:what>/", sessions.write, name="write_session"),
    path("<uuid:public_id>/sessions/<int:number>/strike/", sessions.strike, name="strike_session"),
]
