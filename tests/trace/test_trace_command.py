"""`minisim boot --trace`: files, limits, the output, what can't be; a kill in the middle; recordings run again."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import jsonschema
import pytest
from tracing import KITTIWAKE

from minisim.cli import main
from minisim.trace.reader import TraceReader

DESK = str(KITTIWAKE / "desk.yaml")


def boot(*words: str, **more: object) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "minisim", "boot", *words]
    return subprocess.run(command, input=b"", capture_output=True, timeout=60, check=False, **more)  # type: ignore[call-overload,no-any-return]


def test_a_trace_beside_the_run_and_in_words(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    trace, words = str(tmp_path / "t"), str(tmp_path / "w")
    code = main(["boot", DESK, "--limit", "400", "--trace", trace, "--trace-words", words])
    told = capfd.readouterr().err.splitlines()
    assert code == 1
    assert told[-2].endswith("not finished after 400 instructions, the limit; next would be 173166")
    assert told[-1] == f"{trace} and {words}: 400 instructions traced"
    reader = TraceReader(trace)
    assert [one.count for one in reader] == list(range(1, 401))
    lines = Path(words).read_text("ascii").splitlines()
    assert len(lines) == 402
    assert lines[1].startswith("173000 MOV #001000,SP: ")
    assert told[-2].endswith(lines[-1])


def test_the_published_schema_is_that_of_the_lines(capfd: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "trace"]) == 0
    schema = json.loads(capfd.readouterr().out)
    done = boot(DESK, "--limit", "300", "--type", r"tide\r", "--trace", "-")
    lines = done.stdout.splitlines()
    assert len(lines) == 302
    for line in lines:
        jsonschema.Draft202012Validator(schema).validate(json.loads(line))


def test_what_the_guest_prints_goes_to_the_errors_where_the_trace_has_the_output(tmp_path: Path) -> None:
    words = ["--limit", "3000000", "--until", "Kittiwake", "--trace-count", "3"]
    shown = boot(DESK, *words, "--trace", str(tmp_path / "t"))
    done = boot(DESK, *words, "--trace", "-")
    assert b"Kittiwake" in shown.stdout
    assert b"Kittiwake" in done.stderr
    assert [next(iter(json.loads(line))) for line in done.stdout.splitlines()] == ["trace", "at", "at", "at", "end"]
    assert b"the output: 3 instructions traced, as many as were asked for; the run went on without" in done.stderr


def test_a_reader_that_goes_away_ends_the_run() -> None:
    command = f"{sys.executable} -m minisim boot {DESK} --trace - 2>&1 >/dev/stdout | head -c 100"
    begun = time.monotonic()
    done = subprocess.run(["sh", "-c", command], capture_output=True, timeout=60, check=False)
    assert len(done.stdout) == 100
    assert time.monotonic() - begun < 30


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--trace-count", "5"], "give one of them"),
        (["--trace-after", "5"], "give one of them"),
        (["--json", "--trace", "-"], "can't both go to the output"),
        (["--trace", "-", "--trace-words", "-"], "can't both go to the same place"),
        (["--trace", "/nowhere/t"], "/nowhere/t:1:1: no trace can be made here: no such file or directory"),
        (["--trace", DESK], f"{DESK}:1:1: no trace can be made here: there is such a file already; name a new one"),
        (["--trace", ""], "no trace can be made here"),
    ],
)
def test_what_cannot_be_is_told_before_the_run(words: list[str], said: str, capfd: pytest.CaptureFixture[str]) -> None:
    before = Path(DESK).read_bytes()
    assert main(["boot", DESK, "--limit", "5", *words]) == 2
    told = capfd.readouterr()
    assert said in told.err
    assert told.out == ""
    assert Path(DESK).read_bytes() == before


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_is_told_and_the_run_goes_to_its_end(capfd: pytest.CaptureFixture[str]) -> None:
    assert main(["boot", DESK, "--limit", "5000", "--trace", "/dev/full"]) == 2
    told = capfd.readouterr().err
    assert "not finished after 5000 instructions, the limit" in told
    assert "/dev/full:1:1: the trace ends after 0 instructions: no space left on device" in told


def test_a_killed_run_leaves_whole_lines(tmp_path: Path) -> None:
    path = tmp_path / "t"
    command = [sys.executable, "-m", "minisim", "boot", DESK, "--trace", str(path)]
    process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        deadline = time.monotonic() + 30
        while (not path.exists() or path.stat().st_size < 2_000_000) and time.monotonic() < deadline:
            time.sleep(0.01)
        process.send_signal(signal.SIGKILL)
    finally:
        process.wait()
    reader = TraceReader(path)
    counts = [one.count for one in reader]
    assert counts == list(range(1, len(counts) + 1))
    assert len(counts) > 5_000
    assert reader.end is None


def test_an_interrupt_leaves_a_trace_with_its_end(tmp_path: Path) -> None:
    path = tmp_path / "t"
    command = [sys.executable, "-m", "minisim", "boot", DESK, "--trace", str(path), "--trace-count", "10000000"]
    process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    while not path.exists() or path.stat().st_size < 1_000_000:
        time.sleep(0.01)
    process.send_signal(signal.SIGINT)
    assert process.wait() == 130
    reader = TraceReader(path)
    counts = [one.count for one in reader]
    assert counts == list(range(1, len(counts) + 1))
    assert reader.end is not None
    assert (reader.end.reason, reader.end.instructions, reader.end.lines) == ("REQUEST", len(counts), len(counts))


def test_a_recorded_run_is_traced_when_it_is_run_again(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    record, first, again = (str(tmp_path / name) for name in ("r", "first", "again"))
    words = ["boot", DESK, "--type", r"tide\r", "--limit", "2000", "--record", record, "--trace", first]
    assert main(words) == 1
    assert main(["boot", DESK, "--replay", record, "--trace", again]) == 0
    assert "ended as recorded" in capfd.readouterr().err
    one, other = (Path(path).read_text("ascii").splitlines() for path in (first, again))
    assert one[:-1] == other[:-1]
    assert Path(record).stat().st_size > 0
