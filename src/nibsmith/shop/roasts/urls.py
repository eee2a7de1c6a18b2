from django.urls import path

from nibsmith.shop.roasts.views import compare, courses, readings, roasts

app_name = "roasts"
urlpatterns = [
    path("", roasts.roasts, name="list"),
    path("new/", roasts.new, name="new"),
    path("compare/", compare.compare, name="compare"),
    path("courses/", courses.courses, name="courses"),
    path("courses/new/", courses.add, name="add_course"),
    path("courses/<uuid:public_id>/", courses.course, name="course"),
    path("courses/<uuid:public_id>/put-away/", courses.put_away, name="put_course_away"),
    path("courses/<uuid:public_id>/bring-back/", courses.bring_back, name="bring_course_back"),
    path("<uuid:public_id>/", roasts.roast, name="roast"),
    path("<uuid:public_id>/roast.pdf", roasts.on_paper, name="on_paper"),
    path("<uuid:public_id>/edit/", roasts.edit, name="edit"),
    path("<uuid:public_id>/strike/", roasts.strike, name="strike"),
    path("<uuid:public_id>/readings/", readings.add, name="add_readings"),
    path("<uuid:public_id>/reading/", readings.point, name="add_point"),
    path("<uuid:public_id>/readings/settle/", readings.settle, name="settle"),
    path("<uuid:public_id>/readings/<uuid:readings_id>/text/", readings.text, name="text"),
]
