"""The last one who needs the embedded server stops it, and no killed process keeps it up for ever."""

import signal
import subprocess
import sys
import time
from pathlib import Path

from workshop.embedded import Server


def test_the_last_one_to_leave_stops_it(data: Path, programs: Path | None) -> None:
    server = Server(data, programs)
    with server.in_use():
        with Server(data, programs).in_use():
            pass
        assert server.answers() is True
    assert server.answers() is False


def test_one_started_by_hand_stays_until_stopped_by_hand(data: Path, programs: Path | None) -> None:
    server = Server(data, programs)
    server.start(keep=True)
    with server.in_use():
        pass
    assert server.answers() is True
    server.stop()
    assert server.answers() is False


def test_a_user_killed_outright_loses_nothing_and_the_next_one_stops_it(
    data: Path, programs: Path | None, environment: dict[str, str]
) -> None:
    server = Server(data, programs)
    using = [sys.executable, "-m", "workshop.database", "run", "sleep", "60"]
    with subprocess.Popen(using, env=environment, start_new_session=True) as user:
        _wait_for(server)
        user.kill()
    assert server.answers() is True
    with server.in_use():
        assert server.start() is False
    assert server.answers() is False


def test_a_command_is_run_with_the_server_up_and_its_result_handed_on(environment: dict[str, str]) -> None:
    asking = [sys.executable, "-m", "workshop.database", "status"]
    inside = subprocess.run([sys.executable, "-m", "workshop.database", "run", *asking], env=environment, check=False)
    after = subprocess.run(asking, env=environment, check=False)
    assert (inside.returncode, after.returncode) == (0, 3)


def test_a_command_asked_to_stop_stops_and_so_does_the_server(
    data: Path, programs: Path | None, environment: dict[str, str]
) -> None:
    using = [sys.executable, "-m", "workshop.database", "run", "sleep", "60"]
    with subprocess.Popen(using, env=environment) as user:
        _wait_for(Server(data, programs))
        user.send_signal(signal.SIGTERM)
        assert user.wait(timeout=20) == 128 + signal.SIGTERM
    assert Server(data, programs).answers() is False


def _wait_for(server: Server) -> None:
    deadline = time.monotonic() + 20
    while not server.answers():
        assert time.monotonic() < deadline, "the server did not start"
        time.sleep(0.1)
