"""One command starts the workshop; however it ends, nothing is lost and the next start works."""

import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.request import urlopen

import pytest

from workshop.embedded import Server


@pytest.fixture
def port() -> int:
    """A port that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        free: int = probe.getsockname()[1]
        return free


@pytest.mark.slow
def test_it_serves_survives_a_kill_and_stops_cleanly(
    data: Path, programs: Path | None, environment: dict[str, str], port: int
) -> None:
    server = Server(data, programs)
    with _launched(environment, port) as workshop:
        assert _first_page(port) == 200
        workshop.kill()
        workshop.wait()
        # What the killed launcher had started: the web server goes by itself, the database waits for the next start.
        _wait_until_free(port)
        assert server.answers() is True

    with _launched(environment, port) as workshop:
        assert _first_page(port) == 200
        workshop.send_signal(signal.SIGTERM)
        assert workshop.wait(timeout=30) == 0
    _wait_until_free(port)
    assert server.answers() is False
    assert server.process_id() is None


def test_a_port_in_use_is_said_in_one_sentence_before_anything_is_started(
    data: Path, environment: dict[str, str]
) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        tried = _launch_and_fail(environment | {"PAIRWRIGHT_BIND": f"127.0.0.1:{port}"})
    assert tried == (
        f"Cannot listen on 127.0.0.1:{port} (Address already in use): stop what uses that port, "
        f"or set PAIRWRIGHT_BIND to another, such as 127.0.0.1:{port + 1}.\n"
    )
    assert list(data.iterdir()) == []


def test_a_named_server_that_does_not_answer_is_said_and_no_other_is_started(
    data: Path, environment: dict[str, str], port: int
) -> None:
    named = {
        "DATABASE_URL": f"postgresql://someone@127.0.0.1:{port}/pairwright",
        "PAIRWRIGHT_BIND": f"127.0.0.1:{port}",
    }
    assert _launch_and_fail(environment | named).startswith("The server that DATABASE_URL names cannot be used: ")
    assert not (data / "server").exists()


def _launch_and_fail(environment: dict[str, str]) -> str:
    tried = subprocess.run(
        [sys.executable, "-m", "workshop.launch"], env=environment, capture_output=True, text=True, check=False
    )
    assert tried.returncode == 1
    return tried.stderr


@contextmanager
def _launched(environment: dict[str, str], port: int) -> Iterator[subprocess.Popen[str]]:
    """The launcher, once it has said where the workshop is."""
    bind = f"127.0.0.1:{port}"
    with subprocess.Popen(
        [sys.executable, "-m", "workshop.launch"],
        env=environment | {"PAIRWRIGHT_BIND": bind},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as workshop:
        try:
            assert workshop.stdout is not None
            said = []
            for line in workshop.stdout:
                said.append(line)
                if f"http://{bind}" in line:
                    break
            else:
                pytest.fail(f"It did not start: {''.join(said)}")
            yield workshop
        finally:
            if workshop.poll() is None:
                workshop.terminate()


def _first_page(port: int) -> int:
    """The status of the first page, for one who is not signed in."""
    with urlopen(f"http://127.0.0.1:{port}/", timeout=20) as answer:
        status: int = answer.status
    return status


def _wait_until_free(port: int) -> None:
    deadline = time.monotonic() + 20
    while True:
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) != 0:
                return
        assert time.monotonic() < deadline, "the web server still listens"
        time.sleep(0.1)
