"""After a browser test nothing is still at work in the database that is then emptied."""

import socket
from collections.abc import Iterable, Iterator
from threading import Event, Thread
from typing import Any

import pytest
from django.core.servers.basehttp import WSGIRequestHandler

from tests.answering import CountingServer


@pytest.fixture
def may_answer() -> Event:
    return Event()


@pytest.fixture
def server(may_answer: Event) -> Iterator[CountingServer]:
    """Answers once it may."""

    def application(_: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        may_answer.wait()
        start_response("204 No Content", [("Content-Length", "0")])
        return []

    server = CountingServer(("localhost", 0), WSGIRequestHandler)
    server.set_app(application)
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    yield server
    may_answer.set()
    server.shutdown()
    server.server_close()
    thread.join()


def ask_and_leave(server: CountingServer) -> None:
    """What a browser does that is closed before it has its answer."""
    with socket.create_connection(server.socket.getsockname()) as browser:
        browser.sendall(b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")


def test_a_request_whose_browser_is_gone_is_waited_for(server: CountingServer, may_answer: Event) -> None:
    ask_and_leave(server)
    with pytest.raises(TimeoutError):
        server.wait_until_all_is_answered(patience_s=0.1)
    may_answer.set()
    server.wait_until_all_is_answered()


def test_a_server_that_answered_everything_is_not_waited_for(server: CountingServer, may_answer: Event) -> None:
    may_answer.set()
    ask_and_leave(server)
    server.wait_until_all_is_answered()
    server.wait_until_all_is_answered(patience_s=0.1)
