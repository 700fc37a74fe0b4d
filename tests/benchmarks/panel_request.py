"""How long a tablet waits for what it asks of a draft, beside an empty page: whole requests over HTTP, in ms.

`make bench`, or `.venv/bin/python -m tests.benchmarks.panel_request` with the server up. A clinician's requests go by
turns, each over a connection of its own, to the program as it is served, on a database of its own: the emptiest page
there is (the search with nothing typed), a figure that is saved, and the panel worked out anew of it. Every turn changes one figure of
the LEFT foot.
"""

import http.client
import json
import os
import re
import socket
import statistics
import subprocess
import sys
import time
import uuid
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, urlencode, urlsplit

import django

TURNS = 120
WARMING_UP = 20
MOST_TIMES = 3.0


@dataclass(frozen=True)
class Answer:
    """What came back, and after how long."""

    ms: float
    status: int
    text: str
    sent_bytes: int
    cookies: str


@dataclass(frozen=True)
class Tablet:
    """One who is signed in, at an address."""

    address: str
    cookies: str

    def asks(self, path: str, form: Mapping[str, Any] | None = None) -> Answer:
        headers = {"Cookie": self.cookies, "Accept-Encoding": "gzip", "Origin": self.address}
        body = None
        if form is not None:
            body = urlencode(form)
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        begun = time.perf_counter()
        line = http.client.HTTPConnection(urlsplit(self.address).netloc)
        line.request("GET" if form is None else "POST", path, body, headers)
        answer = line.getresponse()
        content = answer.read()
        line.close()
        spent = 1000 * (time.perf_counter() - begun)
        is_packed = answer.headers.get("Content-Encoding") == "gzip"
        text = zlib.decompress(content, wbits=31) if is_packed else content
        set_here = "; ".join(each.partition(";")[0] for each in answer.headers.get_all("Set-Cookie") or ())
        return Answer(spent, answer.status, text.decode(), len(content), set_here)


@contextmanager
def database() -> Iterator[str]:
    """The address of an empty database of its own, which is gone afterwards."""
    from django.conf import settings
    from django.db import connection
    from django.test.utils import setup_test_environment

    setup_test_environment()
    name = settings.DATABASES["default"]["NAME"]
    connection.creation.create_test_db(verbosity=0, autoclobber=True)
    held = connection.settings_dict
    who = ":".join(quote(held[each], safe="") for each in ("USER", "PASSWORD") if held[each])
    where = f"{held['HOST']}:{held['PORT']}" if held["PORT"] else ""
    socket_folder = "" if where else f"?host={quote(held['HOST'], safe='')}"
    try:
        yield f"postgres://{who}@{where}/{held['NAME']}{socket_folder}"
    finally:
        connection.creation.destroy_test_db(name, verbosity=0)


@contextmanager
def serving(database_url: str) -> Iterator[str]:
    """The address of the program as it is served, one process of it, on that database."""
    from django.core.management import call_command

    call_command("collectstatic", interactive=False, verbosity=0)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        bind = f"127.0.0.1:{free.getsockname()[1]}"
    options = [f"--bind={bind}", "--workers=1", "--threads=2", "--log-level=warning", "--no-control-socket"]
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "workshop.wsgi", *options], env={**os.environ, "DATABASE_URL": database_url}
    )
    try:
        while not _answers(bind):
            if server.poll() is not None:
                raise SystemExit("gunicorn did not start.")
            time.sleep(0.1)
        yield f"http://{bind}"
    finally:
        server.terminate()
        server.wait()


def _answers(bind: str) -> bool:
    host, _, port = bind.partition(":")
    with socket.socket() as line:
        return line.connect_ex((host, int(port))) == 0


def a_draft() -> Any:
    """Two feet on agreed lasts, with findings, an allergy and notes to ask."""
    from shared.sides import SIDES
    from tests.factories.figures import load_figures
    from tests.factories.lasts import agreed, make_last, make_measure_set
    from tests.factories.patients import make_allergy, make_finding, make_patient
    from tests.factories.prescriptions import make_prescription

    load_figures()
    patient = make_patient(diabetes="yes")
    for side in SIDES:
        make_finding(patient, side=side, condition="hallux_rigidus")
        make_finding(patient, side=side, condition="loss_of_protective_sensation")
    make_allergy(patient, substance="chromium")
    left, right = (agreed(make_last(owner=patient, side=side)) for side in ("left", "right"))
    return make_prescription(
        patient=patient,
        measure_set=make_measure_set(patient=patient),
        left_last=left,
        right_last=right,
        both={"rocker": {"apex_percent": 60, "angle_deg": 15}, "shank": None},
    )


def measured() -> dict[str, Any]:
    """By what was asked: the median of many turns, beside the empty page's."""
    from django.test import Client
    from django.urls import reverse

    from tests.prescriptions.pages import filled_in

    with database() as database_url, serving(database_url) as address:
        draft = a_draft()
        signed_in = Client()
        signed_in.force_login(draft.written_by)
        session = f"sessionid={signed_in.cookies['sessionid'].value}"
        first = Tablet(address, session).asks(reverse("prescription", args=[draft.uuid]))
        signs = re.findall(r'name="csrfmiddlewaretoken" value="(\w+)"', first.text)
        tablet, page = Tablet(address, f"{session}; {first.cookies}"), filled_in(first.text)
        keep, panel = (reverse(f"prescription-{what}", args=[draft.uuid]) for what in ("keep", "panel"))
        spent: dict[str, list[float]] = {"empty page": [], "keeping a figure": [], "panel": []}
        heel = {name: value for name, value in page.items() if name.startswith("left-heel-")}
        version, last = int(page["seen_version"]), first
        for turn in range(TURNS + WARMING_UP):
            sent = {
                **heel,
                "left-heel-height_mm": f"{20 + turn / 10:.1f}",
                "changed": "left:heel",
                "seen_version": version,
                "csrfmiddlewaretoken": signs[0],
                "submission": str(uuid.uuid4()),
            }
            asked = {"empty page": (reverse("clients"), None), "keeping a figure": (keep, sent), "panel": (panel, None)}
            for what, (path, form) in asked.items():
                last = tablet.asks(path, form)
                if last.status != 200:
                    raise SystemExit(f"{what}: {last.status} {last.text[:300]}")
                if turn >= WARMING_UP:
                    spent[what].append(last.ms)
            version += 1
    middle = {what: statistics.median(each) for what, each in spent.items()}
    return {
        "ms": {what: round(each, 1) for what, each in middle.items()},
        "times the empty page": {
            what: round(each / middle["empty page"], 2) for what, each in middle.items() if what != "empty page"
        },
        "bytes of a panel": last.sent_bytes,
        "bytes of the whole page": first.sent_bytes,
    }


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
    django.setup()
    found = measured()
    sys.stdout.write(
        json.dumps({"what": "prescription panel, whole request", "bar": MOST_TIMES, **found}, indent=1) + "\n"
    )


if __name__ == "__main__":
    main()
