"""The sheet as PDF, findings ready to bytes, application running; and memory after 1,000 edits."""

import os
import time
from pathlib import Path

import pytest

from fixplan.case.file import read_case
from fixplan.checks.run import check
from fixplan.desk.document import CaseDocument
from fixplan.desk.recovery import Recovery
from fixplan.sheet.pages import compose
from fixplan.sheet.paint import application_without_window, pdf_bytes
from tests.bench.cases import busy_case, moved

CASE = Path(__file__).parents[2] / "sample_cases" / "bicondylar-plateau.json"
EDITS = 1000


@pytest.mark.usefixtures("qapp")
def test_sheet_to_pdf(told) -> None:
    application_without_window()
    case = read_case(CASE)
    findings = check(case)
    start = time.perf_counter()
    pdf_bytes(compose(case, findings, "A4"))
    told("sheet to PDF", time.perf_counter() - start, "the 300 ms aim", 0.3, 1)


def resident_mb() -> float:
    """Resident memory of this process, MB (Linux)."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


@pytest.mark.usefixtures("qapp")
def test_memory_after_1000_edits(tmp_path, capsys) -> None:
    document = CaseDocument(Recovery(tmp_path, lambda act: act()))
    case = busy_case()
    document.start(case)
    _ = document.findings
    before = resident_mb()
    for n in range(EDITS):
        document.commit("Move pin 3", moved(case, 0.02 * (n + 1)))
        _ = document.findings
    grown = resident_mb() - before
    with capsys.disabled():
        print(f"\nmemory after {EDITS} edits: {grown:.1f} MB more, aim under 40")
    document.close()
