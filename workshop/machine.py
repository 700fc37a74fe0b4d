"""What the machine itself must have: system libraries, a font, a browser for the tests, an account for the server.

Runs on a bare Python, before the environment exists: the standard library only. As root on Debian it installs what
is missing; anywhere else it names the one command to run, and stops.

python3 -m workshop.machine environment | papers | browser
"""

import ctypes
import importlib.util
import os
import pwd
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

SERVER_ACCOUNT = "pairwright"
OLDEST_PYTHON = (3, 11)

LIBRARIES = {
    "libgobject-2.0.so.0": "libglib2.0-0",
    "libpango-1.0.so.0": "libpango-1.0-0",
    "libpangoft2-1.0.so.0": "libpangoft2-1.0-0",
    "libharfbuzz.so.0": "libharfbuzz0b",
    "libharfbuzz-subset.so.0": "libharfbuzz-subset0",
    "libfontconfig.so.1": "libfontconfig1",
}
"""What the paper renderer opens at run time, and the Debian package that brings each."""


class Missing(Exception):
    """The machine lacks something that cannot be installed from here. The message says what to run."""


@dataclass(frozen=True)
class Need:
    """One Debian package and the question whether what it brings is already there."""

    package: str
    is_there: Callable[[], bool]


def opens(library: str) -> bool:
    """True when the dynamic linker finds and opens the shared library of this name."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def has_a_font() -> bool:
    """True when the system's font folders hold an outline font for the papers."""
    return any(Path("/usr/share/fonts").rglob("*.[to]tf"))


def has_environments() -> bool:
    """True when this Python can make an environment with pip in it (Debian ships that part apart)."""
    return importlib.util.find_spec("ensurepip") is not None and importlib.util.find_spec("venv") is not None


NEEDS = {
    "environment": [Need("python3-venv", has_environments)],
    "papers": [
        *(Need(package, partial(opens, library)) for library, package in LIBRARIES.items()),
        Need("fonts-dejavu-core", has_a_font),
        Need("tzdata", lambda: Path("/usr/share/zoneinfo/Europe/London").exists()),
    ],
    "browser": [Need("chromium", lambda: shutil.which("chromium") is not None)],
}


def missing_packages(purpose: str) -> list[str]:
    """The Debian packages whose content this machine lacks for a purpose of NEEDS."""
    return [need.package for need in NEEDS[purpose] if not need.is_there()]


def bring(purpose: str) -> None:
    """Make sure the machine has what a purpose needs.

    Raises Missing with the one command to run where installing is not ours to do, or when installing did not help.
    """
    packages = missing_packages(purpose)
    if not packages:
        return
    by_hand = f"apt-get update && apt-get install -y --no-install-recommends {' '.join(packages)}"
    if os.geteuid() != 0 or shutil.which("apt-get") is None:
        raise Missing(
            f"This machine lacks: {', '.join(packages)} (names of Debian packages). Install them once, then start "
            f'again. On Debian:\n\n    sudo sh -c "{by_hand}"\n'
        )
    print(f"Installing {', '.join(packages)} ...", flush=True)
    options = ["-qq", "-o", "Acquire::Retries=3", "-o", "DPkg::Lock::Timeout=120"]
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    install = ["install", "-y", "--no-install-recommends", *packages]
    for step in (["update"], install):
        done = subprocess.run(["apt-get", *options, *step], env=environment, stdout=subprocess.DEVNULL, check=False)
        if done.returncode != 0:
            raise Missing(f"apt-get {step[0]} failed (see above). Run this, then start again:\n\n    {by_hand}\n")
    still = missing_packages(purpose)
    if still:
        raise Missing(f"Installed, and yet not found by this Python: {', '.join(still)}.")


def account_for_the_server() -> pwd.struct_passwd:
    """The account the embedded server runs as: one's own, or for root a system account made once.

    PostgreSQL refuses to run as root, and refuses a user id that has no name. Raises Missing.
    """
    try:
        if os.geteuid() != 0:
            return pwd.getpwuid(os.geteuid())
        return pwd.getpwnam(SERVER_ACCOUNT)
    except KeyError:
        if os.geteuid() != 0:
            raise Missing(
                f"User id {os.geteuid()} has no name on this machine, and PostgreSQL refuses to run as it. "
                "Start as a named user, or set DATABASE_URL to a server of your own."
            ) from None
    for command in (
        ["useradd", "--system", "--user-group", "--no-create-home", "--shell", "/usr/sbin/nologin", SERVER_ACCOUNT],
        ["adduser", "-S", "-D", "-H", "-s", "/sbin/nologin", SERVER_ACCOUNT],
    ):
        if shutil.which(command[0]):
            subprocess.run(command, check=False, stdout=subprocess.DEVNULL)
            break
    try:
        return pwd.getpwnam(SERVER_ACCOUNT)
    except KeyError:
        raise Missing(
            f"PostgreSQL does not run as root. Make a system user named {SERVER_ACCOUNT} (useradd --system "
            f"{SERVER_ACCOUNT}), start as an ordinary user, or set DATABASE_URL to a server of your own."
        ) from None


def main(arguments: list[str]) -> int:
    """The command line: bring each purpose named. Returns the exit status."""
    if sys.version_info < OLDEST_PYTHON:
        print(f"Pairwright needs Python 3.11 or newer; this is {sys.version.split()[0]}.", file=sys.stderr)
        return 1
    try:
        for purpose in arguments:
            bring(purpose)
    except Missing as missing:
        print(missing, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
