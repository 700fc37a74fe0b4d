from django.urls import path

from workshop.terminals import views

urlpatterns = [
    path("terminals/", views.terminals, name="terminals"),
    path("terminals/<uuid:uuid>/revoke/", views.terminal_revoke, name="terminal-revoke"),
    # The lock screen of the device itself.
    path("terminal/", views.lock_screen, name="terminal-unlock"),
    path("terminal/<uuid:uuid>/", views.unlock, name="terminal-pin"),
]
