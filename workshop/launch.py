"""Start the workshop on this machine: database, migrations, static files, web server. Stop it with Ctrl-C.

python -m workshop.launch [--demo] [--stop-with-parent]

`--demo` loads the invented workshop once, says on every page that it is invented, and prints its sign-ins.
`--stop-with-parent`: stop when the program that started this one is gone.

PAIRWRIGHT_BIND is where to listen, 127.0.0.1:8000 unless set.
"""

import ctypes
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http import HTTPStatus
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from types import FrameType
from urllib.parse import urlsplit

from workshop.database import alone, in_use
from workshop.embedded import ServerTrouble
from workshop.machine import Missing

CHECKOUT = Path(__file__).resolve().parent.parent
WORKERS = 2
THREADS = 4
PATIENCE_S = 30.0
GRACE_S = 10
"""How long a request under way may still take once we have been asked to stop."""

PR_SET_PDEATHSIG = 1


class Trouble(Exception):
    """The workshop cannot start. The message says what to do."""


def launch(*, demo: bool) -> None:
    """Run the workshop until it is asked to stop. Raises Trouble, ServerTrouble, Missing."""
    bind = os.environ.get("PAIRWRIGHT_BIND", "127.0.0.1:8000")
    host, port = _host_and_port(bind)
    _check_free(host, port)
    address = os.environ.setdefault("PAIRWRIGHT_ADDRESS", f"http://{bind}")
    if demo:
        os.environ["PAIRWRIGHT_DEMO"] = "1"
    with in_use():
        with alone():
            _prepare(demo=demo)
        with _web_server(bind) as server:
            _wait_until_it_answers(server, host, port, name=urlsplit(address).netloc)
            print(f"\nPairwright is at {address}   (stop it with Ctrl-C)\n", flush=True)
            if demo:
                _manage("load_demo_workshop", "--print-sign-ins")
            if server.wait() != 0:
                raise Trouble("The web server ended by itself; what it said is above.")


def _host_and_port(bind: str) -> tuple[str, int]:
    host, _, port = bind.rpartition(":")
    if not host or not port.isdigit():
        raise Trouble(f"PAIRWRIGHT_BIND must read host:port, such as 127.0.0.1:8001, not {bind!r}.")
    return host, int(port)


def _check_free(host: str, port: int) -> None:
    """Asked before anything slow is done, so that the answer comes at once."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise Trouble(
                f"Cannot listen on {host}:{port} ({error.strerror}): stop what uses that port, "
                f"or set PAIRWRIGHT_BIND to another, such as {host}:{port + 1}."
            ) from None


def _prepare(*, demo: bool) -> None:
    _manage("migrate", "--no-input", "--verbosity=0")
    _manage("prepare_workshop")
    if demo:
        _manage("load_demo_workshop")
    _manage("collectstatic", "--no-input", "--verbosity=0")


def _manage(*arguments: str) -> None:
    done = subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=CHECKOUT,
        env={**os.environ, "PAIRWRIGHT_DATABASE_ROLE": "owner"},
        check=False,
    )
    if done.returncode != 0:
        raise Trouble(f"`manage.py {arguments[0]}` failed; what it said is above.")


@contextmanager
def _web_server(bind: str) -> Iterator[subprocess.Popen[bytes]]:
    """gunicorn, in a session of its own: Ctrl-C reaches us first, and we stop it before the database."""
    options = [f"--workers={WORKERS}", f"--threads={THREADS}", f"--graceful-timeout={GRACE_S}", "--log-level=warning"]
    server = subprocess.Popen(
        # Without the last option it would open a control socket in the home folder.
        [sys.executable, "-m", "gunicorn", "workshop.wsgi", f"--bind={bind}", *options, "--no-control-socket"],
        cwd=CHECKOUT,
        env={**os.environ, "PAIRWRIGHT_DATABASE_ROLE": "app"},
        start_new_session=True,
        preexec_fn=_stop_with_parent,  # noqa: PLW1509 - safe here: this process has one thread
    )
    try:
        yield server
    finally:
        if server.poll() is None:
            server.terminate()
            server.wait()


def _wait_until_it_answers(server: subprocess.Popen[bytes], host: str, port: int, *, name: str) -> None:
    """Wait for the answer to a real request: a port that is open says nothing about what is behind it.

    `name` is what the workshop is called by its clients, the only name it may answer to.
    """
    deadline = time.monotonic() + PATIENCE_S
    while time.monotonic() < deadline:
        if server.poll() is not None:
            raise Trouble("The web server did not start; what it said is above.")
        connection = HTTPConnection(host, port, timeout=PATIENCE_S)
        try:
            connection.request("GET", "/", headers={"Host": name})
            status = connection.getresponse().status
        except (OSError, HTTPException):
            time.sleep(0.1)
            continue
        finally:
            connection.close()
        if status >= HTTPStatus.INTERNAL_SERVER_ERROR:
            raise Trouble(f"The workshop answers its own first page with {status}; what it said is above.")
        return
    raise Trouble(f"The web server did not answer on {host}:{port} within {PATIENCE_S:.0f} s.")


def _stop_with_parent() -> None:
    """Have the kernel ask this process to stop when its parent is gone, even one killed outright (Linux only)."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGTERM)


def _stop(number: int, _: FrameType | None) -> None:
    for further in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(further, signal.SIG_IGN)
    raise SystemExit(0)


def main(arguments: list[str]) -> int:
    """The command line above. Returns the exit status."""
    if not set(arguments) <= {"--demo", "--stop-with-parent"}:
        print(__doc__, file=sys.stderr)
        return 2
    if "--stop-with-parent" in arguments:
        _stop_with_parent()
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, _stop)
    try:
        launch(demo="--demo" in arguments)
    except (Trouble, ServerTrouble, Missing) as trouble:
        print(trouble, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
