from django.urls import path

from cases.diary import views

urlpatterns = [
    path("diary/", views.diary, name="diary"),
    path("diary/book/", views.book, name="visit-book"),
    path("visits/<uuid:uuid>/arrive/", views.visit_arrive, name="visit-arrive"),
    path("visits/<uuid:uuid>/done/", views.visit_done, name="visit-done"),
    path("visits/<uuid:uuid>/missed/", views.visit_missed, name="visit-missed"),
    path("visits/<uuid:uuid>/cancel/", views.visit_cancel, name="visit-cancel"),
    path("calls/", views.calls, name="calls"),
    path("calls/<uuid:uuid>/tried/", views.call_tried, name="call-tried"),
    path("calls/<uuid:uuid>/settle/", views.call_settle, name="call-settle"),
    path("calls/<uuid:uuid>/rung-back/", views.call_rung_back, name="call-rung-back"),
    path("clients/<uuid:uuid>/ring-back/", views.ring_back, name="ring-back"),
]
