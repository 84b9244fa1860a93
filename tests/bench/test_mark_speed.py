"""Marking a class: answers a second on two cores, growth with their number, memory.

Every answer is another frame (all pins moved at random), so nothing can be remembered from one to
the next. Yardsticks: of growth the same program with a tenth of the answers, of pace the whole
check of the same cases. The rate on two cores is told by processor time, which other people's work
on the machine lengthens less than the clock; both are printed.
"""

import json
import os
import random
import resource
import subprocess
import sys
import time
from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.teach.files import encode_answer
from fixplan.teach.records import Answer, Try
from fixplan.teach.shelf import shipped

ROOT = Path(__file__).parents[2]
EXERCISE = "leg-tibial-shaft"
MANY, FEW = 10_000, 1_000
LEAST_PER_S = 200
BUSY = 1.5
"""The rate is absolute: a factor in hand for a busy machine."""
CHECK_SHARE = 0.6
"""Marking an answer takes at most this share of the whole check of its case."""
MOST_MB = 300
LINEAR = 1.3


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    folder = tmp_path_factory.mktemp("answers")
    lesson, rng = shipped(EXERCISE), random.Random(7)
    model = lesson.teacher.good[0]
    for number in range(MANY):
        pins = tuple(
            replace(
                pin,
                level_mm=round(pin.level_mm + rng.uniform(-25, 25), 1),
                bearing_deg=round((pin.bearing_deg + rng.uniform(-40, 40)) % 360, 1),
            )
            for pin in model.case.pins
        )
        one = Try(case=replace(model.case, pins=pins), replies=model.replies, handed_in="")
        answer = Answer(exercise=EXERCISE, label=f"T{number:05d}", tries=(one,))
        (folder / f"{number:05d}.json").write_bytes(encode_answer(answer))
    return folder


def family_mb(process: int) -> float:
    """Memory that a process and its children have to themselves, shared pages split (PSS)."""
    total = 0
    for found in Path("/proc").glob("[0-9]*/stat"):
        try:
            parent = int(found.read_text().rsplit(")", 1)[1].split()[1])
            number = int(found.parent.name)
            if process in (number, parent):
                rollup = (found.parent / "smaps_rollup").read_text().splitlines()
                total += next(int(line.split()[1]) for line in rollup if line.startswith("Pss:"))
        except (OSError, ValueError):
            continue
    return total / 1024


def children_s() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def marked(folder: Path, count: int, out: Path) -> tuple[float, float, float]:
    """Seconds by clock and processor, highest memory in MB of `fixplan mark` on so many answers."""
    files = sorted(map(str, folder.glob("*.json")))[:count]
    script = "import sys; from fixplan.cli import run; run()"
    command = [sys.executable, "-c", script, "mark", EXERCISE, *files, "--csv", str(out)]
    start, used, most = time.perf_counter(), children_s(), 0.0
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL)
    while process.poll() is None:
        most = max(most, family_mb(process.pid))
        time.sleep(0.25)
    assert process.returncode == 0
    return time.perf_counter() - start, children_s() - used, most


def test_marking_is_quick_linear_and_small(answers, tmp_path, capsys) -> None:
    few_s, few_cpu_s, few_mb = marked(answers, FEW, tmp_path / "few.csv")
    many_s, many_cpu_s, many_mb = marked(answers, MANY, tmp_path / "many.csv")
    rate = 2 * MANY / many_cpu_s
    with capsys.disabled():
        print(
            f"\n{FEW} answers: {few_s:.1f} s ({few_cpu_s:.1f} s of processor), {few_mb:.0f} MB; "
            f"{MANY}: {many_s:.1f} s ({many_cpu_s:.1f} s), {many_mb:.0f} MB; "
            f"{MANY / many_s:.0f} a second by the clock on {os.cpu_count()} cores, {rate:.0f} by "
            f"processor time on two; growth {many_cpu_s / few_cpu_s / (MANY / FEW):.2f} of linear"
        )
    assert len((tmp_path / "many.csv").read_text().splitlines()) == MANY + 1
    assert rate > LEAST_PER_S / BUSY
    assert many_cpu_s < LINEAR * few_cpu_s * MANY / FEW
    assert many_mb < MOST_MB


def test_marking_beside_the_whole_check(answers, told) -> None:
    from fixplan.checks.run import check
    from fixplan.teach.files import read_answer
    from fixplan.teach.marking import mark_answer

    lesson = shipped(EXERCISE)
    files = sorted(answers.glob("*.json"))
    read = [read_answer(path) for path in files[:240]]
    mark_answer(lesson, read[0])
    check(read[1].tries[0].case)
    start = time.process_time()
    for one in read[2:120]:
        check(one.tries[0].case)
    whole_s = time.process_time() - start
    start = time.process_time()
    for one in read[122:240]:
        mark_answer(lesson, one)
    ours_s = time.process_time() - start
    ratio = told("one mark", ours_s / 118, "one check", whole_s / 118, CHECK_SHARE)
    assert ratio < CHECK_SHARE


def test_marks_are_those_of_one_process(answers) -> None:
    files = sorted(map(str, answers.glob("*.json")))[:60]
    script = "import sys; from fixplan.cli import run; run()"
    told = subprocess.run(
        [sys.executable, "-c", script, "mark", EXERCISE, *files, "--json"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    from fixplan.teach.many import row_of

    lesson = shipped(EXERCISE)
    rows = json.loads(told.stdout)["answers"]
    for file, row in zip(files, rows, strict=True):
        mark = row_of(lesson, file).mark
        assert mark is not None
        assert row["percent"] == mark.percent
