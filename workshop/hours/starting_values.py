"""The benches, the room and the hours that a workshop begins with."""

from datetime import datetime, time

from shared.history import Program, acting
from workshop.hours.models import Bench, OpeningHours, Room

BENCHES = {
    "any": "any bench",
    "pattern": "patterns",
    "clicking": "clicking",
    "closing": "closing",
    "last": "lasts",
    "bottom": "bottom",
    "lasting": "lasting",
    "resin": "resin",
    "finishing": "finishing",
    "check": "final check",
    "clinic": "clinic",
}
"""What the stages of a route name."""

FITTING_ROOM = "Fitting room"
OPENS, CLOSES = time(8, 0), time(17, 0)
MONDAY_TO_FRIDAY = range(5)


def load(*, at: datetime) -> None:
    """Add the benches that are not there yet, and a room and hours where there are none at all."""
    known = set(Bench.objects.values_list("key", flat=True))
    benches = [Bench(key=key, name=name) for key, name in BENCHES.items() if key not in known]
    needs_room, needs_hours = not Room.objects.exists(), not OpeningHours.objects.exists()
    if not (benches or needs_room or needs_hours):
        return
    with acting(by=Program(), action="load_hours", says="Loaded the first benches, room and hours.", at=at):
        Bench.objects.bulk_create(benches)
        if needs_room:
            Room.objects.create(name=FITTING_ROOM)
        if needs_hours:
            OpeningHours.objects.bulk_create(
                OpeningHours(weekday=weekday, opens=OPENS, closes=CLOSES) for weekday in MONDAY_TO_FRIDAY
            )
