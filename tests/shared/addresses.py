"""Two addresses that do the same thing: one guarded against repetition, one not."""

from django.http import HttpRequest, HttpResponse
from django.urls import include, path
from django.utils import timezone

from shared.fragments import done
from shared.history import acting
from shared.once import repeatable
from shared.permissions import staff_only
from shared.refusals import Refused
from workshop.hours.models import Room
from workshop.staff.requests import StaffRequest


def _open_a_room(request: StaffRequest) -> HttpResponse:
    name = f"Room {Room.objects.count()} {request.POST['name']}"
    with acting(by=request.user, action="open_room", says="Opened a room.", at=timezone.now()):
        Room.objects.create(name=f"{name} {timezone.now().timestamp()}")
    if request.POST["name"] == "refused":
        raise Refused("Not this room.")
    return done("/rooms-opened/")


@staff_only
def open_once(request: StaffRequest) -> HttpResponse:
    return _open_a_room(request)


@staff_only
@repeatable
def open_each_time(request: StaffRequest) -> HttpResponse:
    return _open_a_room(request)


def says_nothing(request: HttpRequest) -> HttpResponse:
    return HttpResponse("nobody should read this")


urlpatterns = [
    path("once/", open_once),
    path("each-time/", open_each_time),
    path("says-nothing/", says_nothing),
    path("", include("workshop.urls")),
]
