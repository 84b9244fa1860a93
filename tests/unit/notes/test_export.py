"""Every form on disk: what a reader finds in it, and that nothing typed is kept."""

import re
import shutil
import subprocess
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pydicom
import pytest
from msgspec.structs import replace

from fixplan.case.file import encode
from fixplan.case.records import Case
from fixplan.errors import CaseFileError, NotesError
from fixplan.notes.export import FORMS, Order, export, suggested_name
from fixplan.notes.identity import Identity

pytestmark = pytest.mark.usefixtures("qapp")
needs_poppler = pytest.mark.skipif(shutil.which("pdfinfo") is None, reason="no poppler-utils")
AT = datetime(2030, 1, 2, 3, 4, tzinfo=UTC)
SOMEBODY = Identity(
    family_name="Zzyzx", given_name="Quentinella", number="NHS 998877", born="1980-01-31"
)
TYPED = ("Zzyzx", "Quentinella", "998877", "1980-01-31", "19800131")


@pytest.fixture
def order(tibia: Case, findings) -> Order:
    return Order(case=tibia, findings=findings, at=AT, dpi=40.0)


def tool(*words: str) -> str:
    return subprocess.run(words, capture_output=True, text=True, check=True).stdout


@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_written(form: str, order: Order, tmp_path: Path) -> None:
    written = export(order, form, tmp_path / f"plan{FORMS[form].ending}")
    assert written
    assert all(path.stat().st_size > 500 for path in written)
    assert {path.suffix for path in written} == {FORMS[form].ending}
    assert sorted(tmp_path.iterdir()) == sorted(written)


@pytest.mark.parametrize("form", FORMS)
def test_with_nothing_typed_the_same_order_holds_no_patient(
    form: str, order: Order, tmp_path: Path
) -> None:
    """First for somebody, then for nobody: nothing stays from the first."""
    ending = FORMS[form].ending
    export(replace(order, identity=SOMEBODY), form, tmp_path / f"first{ending}")
    for path in export(order, form, tmp_path / f"second{ending}"):
        content = path.read_bytes()
        assert not [word for word in TYPED if word.encode() in content]
        assert not [word for word in TYPED if word in path.name]


@pytest.mark.parametrize("form", ["text", "markdown", "svg", "fhir"])
def test_what_is_typed_is_in_the_export(form: str, order: Order, tmp_path: Path) -> None:
    path = tmp_path / f"plan{FORMS[form].ending}"
    written = export(replace(order, identity=SOMEBODY), form, path)
    assert any("Zzyzx" in one.read_text(encoding="utf-8") for one in written)


def test_the_case_has_no_field_for_a_patient(order: Order) -> None:
    before = encode(order.case)
    FORMS["text"].make(replace(order, identity=SOMEBODY))
    after = encode(order.case)
    assert after == before
    assert not [word for word in TYPED if word.encode() in after]


@needs_poppler
def test_the_archival_pdf_says_so_and_embeds_every_font(order: Order, tmp_path: Path) -> None:
    (path,) = export(order, "pdf-a", tmp_path / "plan.pdf")
    meta = "".join(tool("pdfinfo", "-meta", str(path)).split())
    assert 'pdfaid:part="1"' in meta
    assert 'pdfaid:conformance="B"' in meta
    told = tool("pdfinfo", str(path))
    assert "Encrypted:       no" in told
    assert "JavaScript:      no" in told
    content = path.read_bytes()
    assert b"/GTS_PDFA1" in content
    assert set(re.findall(rb"/SMask\s*(/\w+|\d+)", content)) <= {b"/None"}  # nothing shines through
    fonts = tool("pdffonts", str(path)).splitlines()[2:]
    assert fonts
    assert all("yes" in line.split()[-5] for line in fonts)


@needs_poppler
def test_the_plain_pdf_holds_the_typed_name_as_text(order: Order, tmp_path: Path) -> None:
    (path,) = export(replace(order, identity=SOMEBODY), "pdf", tmp_path / "plan.pdf")
    assert "Zzyzx, Quentinella" in tool("pdftotext", "-layout", str(path), "-")
    assert "Zzyzx" not in tool("pdfinfo", str(path))


def test_pictures_in_dicom_are_the_pages(order: Order, tmp_path: Path) -> None:
    written = export(order, "dicom-picture", tmp_path / "plan.dcm")
    assert len(written) == len(order.pages())
    found = pydicom.dcmread(written[0])
    assert (found.Columns, found.Rows) == (round(210 / 25.4 * 150), round(297 / 25.4 * 150))
    assert found.pixel_array.max() == 255
    assert found.pixel_array.min() < 60


def test_the_pdf_in_dicom_is_the_archival_one(order: Order, tmp_path: Path) -> None:
    (path,) = export(order, "dicom-pdf", tmp_path / "plan.dcm")
    content = pydicom.dcmread(BytesIO(path.read_bytes())).EncapsulatedDocument
    assert content.startswith(b"%PDF")
    assert b"pdfaid:part" in content


def test_another_ending_is_refused(order: Order, tmp_path: Path) -> None:
    with pytest.raises(NotesError, match=r"plan.doc: PDF ends in .pdf"):
        export(order, "pdf", tmp_path / "plan.doc")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_told_in_one_sentence(order: Order, tmp_path: Path) -> None:
    with pytest.raises(CaseFileError) as problem:
        export(order, "text", tmp_path / "none" / "plan.txt")
    assert len(str(problem.value).splitlines()) == 1


def test_a_file_that_may_only_be_read_is_not_written_over(order: Order, tmp_path: Path) -> None:
    path = tmp_path / "plan.txt"
    path.write_text("old", encoding="utf-8")
    path.chmod(0o444)
    with pytest.raises(NotesError, match="may only be read; write it under another name"):
        export(order, "text", path)
    assert path.read_text(encoding="utf-8") == "old"


def test_a_suggested_name_never_comes_from_the_label(tibia: Case) -> None:
    case = replace(tibia, label="Zzyzx")
    assert "zzyzx" not in suggested_name(case, "", "pdf").lower()
    assert suggested_name(case, "leg", "fhir") == "leg-notes.json"
