from django.urls import path

from workshop.hours import views

urlpatterns = [
    path("hours/", views.hours, name="hours"),
    path("hours/rooms/", views.room_add, name="room-add"),
    path("hours/closures/", views.closure_add, name="closure-add"),
    path("hours/closures/<uuid:uuid>/remove/", views.closure_remove, name="closure-remove"),
    path("hours/weekdays/<int:weekday>/", views.opening_hours_set, name="opening-hours-set"),
]
