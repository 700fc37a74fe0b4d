"""Measuring in a process of its own: bounded, and whatever happens there is a sentence here."""

import json
import struct
import subprocess
import sys
from typing import Any

import numpy as np
import pytest

from cases.lasts.meshes import apart
from cases.lasts.meshes.apart import ENDED_BADLY, ONE_THREAD, ROOT, TOO_SLOW, measure_apart
from cases.lasts.meshes.child import MEMORY_BYTES
from cases.lasts.meshes.files import MEGABYTE, MOST_FACES, BadMesh
from cases.lasts.meshes.measuring import measure
from tests.lasts.meshes.shapes import ROUND, binary_stl, elliptic_tube, obj


def answer_of_the_child(file: bytes) -> dict[str, Any]:
    request = json.dumps({"side": "left", "asked": {}}).encode() + b"\n"
    command = [sys.executable, "-m", "cases.lasts.meshes.child"]
    done = subprocess.run(command, input=request + file, capture_output=True, cwd=ROOT, env=ONE_THREAD, check=True)
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def test_apart_gives_what_is_given_here() -> None:
    file = binary_stl(ROUND)
    assert measure_apart(file, side="left", asked={}) == measure(file, side="left", asked={})


def test_a_sentence_comes_back_as_it_was_said() -> None:
    with pytest.raises(BadMesh, match=r"^This file is empty\.$"):
        measure_apart(b"", side="left", asked={})


LARGEST = elliptic_tube(across_mm=50, up_mm=20, corners=500, rings=499)


@pytest.mark.slow
@pytest.mark.parametrize("written", [binary_stl, obj])
def test_the_largest_scan_that_is_allowed_is_measured_within_the_memory_promised(written: Any) -> None:
    assert MOST_FACES - 5000 < len(LARGEST) <= MOST_FACES
    answer = answer_of_the_child(written(LARGEST))
    assert ("measured" in answer, answer["peak_kb"] < 400 * 1024) == (True, True)


def test_the_limit_is_that_of_the_promise() -> None:
    assert MEMORY_BYTES == 512 * MEGABYTE


@pytest.mark.parametrize(("megabytes", "ends_with"), [(100, ""), (600, "MemoryError")])
def test_a_process_that_limited_itself_is_given_no_more(megabytes: int, ends_with: str) -> None:
    code = f"from cases.lasts.meshes.child import limit_this_process as limit; limit(); bytearray({megabytes} << 20)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=False)
    assert (done.returncode, done.stderr.strip().split("\n")[-1]) == (1 if ends_with else 0, ends_with)


def test_a_file_longer_than_allowed_does_not_reach_the_child(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "/nowhere")
    with pytest.raises(BadMesh, match="at most 30 MB"):
        measure_apart(bytes(30 * MEGABYTE + 1), side="left", asked={})


def test_a_scan_that_is_not_done_in_time_is_given_up() -> None:
    with pytest.raises(BadMesh) as refused:
        measure_apart(binary_stl(ROUND), side="left", asked={}, patience_s=0.01)
    assert refused.value.message == TOO_SLOW


def test_a_child_that_ends_itself_for_its_computing_time_was_too_slow() -> None:
    ended = subprocess.CompletedProcess([], returncode=-24, stdout=b"")
    with pytest.raises(BadMesh) as refused:
        apart.read_answer(ended)
    assert refused.value.message == TOO_SLOW


@pytest.mark.parametrize("stdout", [b"", b'{"measured": {', b"\xff\xfe"])
def test_a_child_that_crashed_is_a_sentence(stdout: bytes) -> None:
    with pytest.raises(BadMesh) as refused:
        apart.read_answer(subprocess.CompletedProcess([], returncode=-11, stdout=stdout))
    assert refused.value.message == ENDED_BADLY


@pytest.mark.slow
def test_a_mesh_made_to_be_slow_ends_in_a_sentence() -> None:
    """Every triangle crosses every plane."""
    mesh = np.random.default_rng(0).uniform(0, 1, (MOST_FACES, 3, 3)) * [250, 90, 100]
    with pytest.raises(BadMesh) as refused:
        measure_apart(binary_stl(mesh), side="left", asked={}, patience_s=8)
    assert refused.value.message == TOO_SLOW


def test_a_head_that_lies_takes_no_memory() -> None:
    answer = answer_of_the_child(bytes(80) + struct.pack("<I", 4_294_967_295) + bytes(5000))
    assert ("would hold 4,294,967,295 triangles" in answer["refused"], answer["peak_kb"] < 200 * 1024) == (True, True)
