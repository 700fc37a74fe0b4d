"""Reads and measures one scan in a process that cannot take more than it is given. Standard input and output only.

In: one line of JSON (`side`, `asked`), then the file. Out: JSON, with what was found under `measured` or a sentence
under `refused`, and under `peak_kb` the most memory it ever held.
"""

import json
import resource
import sys
from pathlib import Path

MEMORY_BYTES = 512 * 1024 * 1024
CPU_S = 20


def limit_this_process() -> None:
    """Once and for all: no more memory and computing time than the constants above, and no core file."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    # The softer of the two ends it with a signal of its own, by which the cause is known.
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S + 5))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def main() -> None:
    # Before anything heavy is imported: a limit does not take back what was already taken.
    limit_this_process()
    answer = _answer()
    answer["peak_kb"] = _peak_kb()
    json.dump(answer, sys.stdout, allow_nan=False)


def _answer() -> dict[str, object]:
    from cases.lasts.meshes.files import BadMesh
    from cases.lasts.meshes.measuring import measure

    request = json.loads(sys.stdin.buffer.readline())
    try:
        return {"measured": measure(sys.stdin.buffer.read(), side=request["side"], asked=request["asked"])}
    except BadMesh as bad:
        return {"refused": bad.message}
    except MemoryError:
        return {"refused": "This scan needs more memory than it is given: save it with fewer triangles."}


def _peak_kb() -> int | None:
    """The most memory this process ever held, of the process alone; None where the system does not say."""
    try:
        lines = Path("/proc/self/status").read_text().splitlines()
    except OSError:
        return None
    return next((int(line.split()[1]) for line in lines if line.startswith("VmHWM")), None)


if __name__ == "__main__":
    main()
