"""What a machine lacks is found, and where it may not be installed the one command is named."""

import subprocess
import sys
from pathlib import Path

from workshop.machine import opens


def test_a_library_is_there_when_the_linker_opens_it() -> None:
    assert (opens("libc.so.6"), opens("libabsent-from-every-machine.so.1")) == (True, False)


def test_where_nothing_can_be_installed_the_one_command_is_named(tmp_path: Path) -> None:
    nothing_in_reach = {"PATH": str(tmp_path)}
    tried = subprocess.run(
        [sys.executable, "-m", "workshop.machine", "browser"],
        env=nothing_in_reach,
        capture_output=True,
        text=True,
        check=False,
    )
    assert tried.returncode == 1
    assert 'sudo sh -c "apt-get update && apt-get install -y --no-install-recommends chromium"' in tried.stderr
