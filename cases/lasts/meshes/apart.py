"""Has a scan measured in a process of its own: whatever is in the file, this one goes on."""

import json
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from cases.lasts.meshes.files import MOST_BYTES, BadMesh

PATIENCE_S = 40.0
"""By the clock; the process also has a limit of its own on the time it may compute."""

ROOT = Path(__file__).resolve().parents[3]
ONE_THREAD = dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1")
"""Each thread of the linear algebra would reserve memory of its own."""

_one_at_a_time = threading.Lock()

TOO_SLOW = "This scan takes too long to measure: save it with fewer triangles, 100,000 are plenty for a foot."
ENDED_BADLY = "This file could not be measured: reading it came to a bad end. Is it a whole STL or OBJ file?"


def measure_apart(
    file: bytes, *, side: str, asked: Mapping[str, Any], patience_s: float = PATIENCE_S
) -> dict[str, Any]:
    """What `measuring.measure` gives, with a bound on memory and time. Raises `BadMesh`, also where it crashed."""
    if len(file) > MOST_BYTES:
        raise BadMesh(f"A scan is at most {MOST_BYTES // (1024 * 1024)} MB long.")
    request = json.dumps({"side": side, "asked": dict(asked)}).encode() + b"\n"
    with _one_at_a_time:
        try:
            done = subprocess.run(
                [sys.executable, "-m", "cases.lasts.meshes.child"],
                input=request + file,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                cwd=ROOT,
                env=ONE_THREAD,
                timeout=patience_s,
                check=False,
            )
        except subprocess.TimeoutExpired:
            raise BadMesh(TOO_SLOW) from None
    return read_answer(done)


def read_answer(done: subprocess.CompletedProcess[bytes]) -> dict[str, Any]:
    """What the child found. Raises `BadMesh` where it refused, was too slow or came to a bad end."""
    if done.returncode == -signal.SIGXCPU:
        raise BadMesh(TOO_SLOW)
    try:
        answer = json.loads(done.stdout)
    except ValueError:
        raise BadMesh(ENDED_BADLY) from None
    if "refused" in answer:
        raise BadMesh(answer["refused"])
    measured: dict[str, Any] = answer["measured"]
    return measured
