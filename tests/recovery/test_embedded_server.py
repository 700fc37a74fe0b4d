"""The embedded server starts, stops, survives being killed, and lets in only whom it should."""

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import psycopg
import pytest

from tests.recovery.conftest import connect
from workshop.embedded import APPLICATION_ROLE, LONGEST_SOCKET_PATH_BYTES, Server, ServerTrouble

as_root = pytest.mark.skipif(os.geteuid() != 0, reason="only root can start a server as someone else")


def test_a_first_start_makes_the_database_and_two_roles_without_special_powers(running: Server) -> None:
    with connect(running) as connection:
        roles = connection.execute(
            "SELECT rolname, rolsuper, rolcreatedb, rolcreaterole FROM pg_roles WHERE rolname LIKE 'pairwright%' ORDER BY 1"
        ).fetchall()
    assert roles == [("pairwright_app", False, False, False), ("pairwright_owner", False, True, False)]


def test_a_second_start_leaves_the_running_server_alone(running: Server) -> None:
    first = running.process_id()
    assert running.start() is False
    assert running.process_id() == first


def test_it_listens_on_no_network(running: Server) -> None:
    with connect(running) as connection:
        assert connection.execute("SHOW listen_addresses").fetchone() == ("",)


def test_its_files_carry_checksums_and_sort_alike_on_every_machine(running: Server) -> None:
    with connect(running) as connection:
        assert connection.execute("SHOW data_checksums").fetchone() == ("on",)
        collation = "SELECT datlocprovider, datlocale FROM pg_database WHERE datname = current_database()"
        assert connection.execute(collation).fetchone() == ("b", "C.UTF-8")


def test_the_application_role_makes_no_tables(running: Server) -> None:
    with connect(running, APPLICATION_ROLE) as connection, pytest.raises(psycopg.errors.InsufficientPrivilege):
        connection.execute("CREATE TABLE public.mine (id int)")


def test_a_clean_stop_ends_the_process_and_keeps_the_rows(server: Server) -> None:
    with connect(server) as connection:
        connection.execute("CREATE TABLE kept AS SELECT 7 AS number")
    server.stop()
    assert server.process_id() is None
    assert "database system is shut down" in server.log.read_text().splitlines()[-1]
    assert server.start() is True
    with connect(server) as connection:
        assert connection.execute("SELECT number FROM kept").fetchall() == [(7,)]


def test_a_stop_when_nothing_runs_is_no_error(data: Path, programs: Path | None) -> None:
    Server(data, programs).stop()
    assert Server(data, programs).answers() is False


def test_a_server_killed_under_writing_recovers_every_confirmed_row(server: Server) -> None:
    with connect(server) as connection:
        connection.execute("CREATE TABLE ticked (number int PRIMARY KEY)")
    confirmed: list[int] = []
    writer = threading.Thread(target=_write_until_cut_off, args=(server, confirmed))
    writer.start()
    while len(confirmed) < 200:
        time.sleep(0.01)
    _kill(server)
    writer.join(timeout=10)

    server.start()
    with connect(server) as connection:
        stored = [row[0] for row in connection.execute("SELECT number FROM ticked ORDER BY 1")]
    # One more may have been stored whose confirmation was cut off.
    assert stored in (confirmed, [*confirmed, len(confirmed)])


def _write_until_cut_off(server: Server, confirmed: list[int]) -> None:
    with connect(server) as connection:
        try:
            while True:
                connection.execute("INSERT INTO ticked VALUES (%s)", [len(confirmed)])
                confirmed.append(len(confirmed))
        except psycopg.OperationalError:
            return


def _kill(server: Server) -> None:
    process = server.process_id()
    assert process is not None
    os.kill(process, signal.SIGKILL)


@pytest.mark.parametrize("state", ["alive", "dead and unburied"])
def test_a_number_taken_over_by_another_process_of_the_same_user_does_not_keep_it_down(
    server: Server, state: str
) -> None:
    _kill(server)
    account = server.folder.stat().st_uid
    other = subprocess.Popen(["sleep", "60"], user=account if os.geteuid() == 0 else None)
    try:
        if state != "alive":
            other.kill()
            os.waitid(os.P_PID, other.pid, os.WEXITED | os.WNOWAIT)
        pid_file = server.cluster / "postmaster.pid"
        lines = pid_file.read_text().splitlines()
        pid_file.write_text("\n".join([str(other.pid), *lines[1:], ""]))
        assert server.start() is True
        assert server.process_id() != other.pid
    finally:
        other.kill()
        other.wait()


def test_a_kill_while_the_database_is_being_made_leaves_nothing_that_looks_finished(
    data: Path, programs: Path | None
) -> None:
    server = Server(data, programs)
    server.start()
    server.stop()
    server.cluster.rename(server.folder / "cluster.fresh")
    assert server.start() is True


def test_a_folder_too_deep_for_a_socket_gets_a_short_private_one(data: Path, programs: Path | None) -> None:
    deep = data / ("deep" * 30)
    deep.mkdir(mode=0o711)
    server = Server(deep, programs)
    socket = server.socket_folder
    assert len(os.fsencode(deep / "server" / "socket" / ".s.PGSQL.5432")) > LONGEST_SOCKET_PATH_BYTES
    try:
        server.start()
        with connect(server) as connection:
            assert connection.execute("SELECT current_user").fetchone() == ("pairwright_owner",)
        assert len(os.fsencode(socket / ".s.PGSQL.5432")) <= LONGEST_SOCKET_PATH_BYTES
        assert socket.stat().st_mode & 0o777 == 0o700
    finally:
        server.stop()
        socket.rmdir()


def test_a_socket_folder_that_others_can_enter_is_refused(data: Path, programs: Path | None) -> None:
    server = Server(data / ("deep" * 30), programs)
    server.socket_folder.mkdir()
    server.socket_folder.chmod(0o777)
    try:
        with pytest.raises(ServerTrouble, match="closed to everyone else"):
            server.start()
    finally:
        server.socket_folder.rmdir()


def test_data_of_another_version_is_left_alone_and_said(server: Server) -> None:
    server.stop()
    (server.cluster / "PG_VERSION").write_text("9\n")
    with pytest.raises(ServerTrouble, match="was made by PostgreSQL 9"):
        server.start()


def test_a_refused_row_does_not_reach_the_log(running: Server) -> None:
    with connect(running) as connection:
        connection.execute("CREATE TABLE clients (name text UNIQUE)")
        connection.execute("INSERT INTO clients VALUES ('Invented Person')")
        with pytest.raises(psycopg.errors.UniqueViolation):
            connection.execute("INSERT INTO clients VALUES ('Invented Person')")
    said = running.log.read_text()
    assert "duplicate key value" in said
    assert "Invented Person" not in said


@as_root
def test_for_root_the_server_runs_as_an_account_that_is_not_root(running: Server) -> None:
    assert Path(f"/proc/{running.process_id()}").stat().st_uid == running.folder.stat().st_uid != 0


@as_root
def test_another_account_of_the_machine_is_not_let_in(server: Server) -> None:
    connecting = (
        f"import psycopg; psycopg.connect(host={str(server.socket_folder)!r}, user='postgres', dbname='postgres')"
    )
    server.folder.chmod(0o711)
    server.socket_folder.chmod(0o711)
    (server.socket_folder / ".s.PGSQL.5432").chmod(0o777)
    nobody = 65534
    # The library is loaded before the change of account, which may not be able to read it.
    become = f"import os, psycopg; os.setgroups([]); os.setgid({nobody}); os.setuid({nobody}); {connecting}"
    tried = subprocess.run([sys.executable, "-c", become], capture_output=True, text=True, check=False)
    assert 'Peer authentication failed for user "postgres"' in tried.stderr
