"""DICOM files, read by pydicom and judged by dciodvfy and dcmdump where these are installed."""

import shutil
import subprocess
import sys
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pydicom
import pytest

from fixplan.errors import NotesError
from fixplan.notes.dicom import Picture, encapsulated_pdf, secondary_capture
from fixplan.notes.identity import NOBODY, Identity

AT = datetime(2030, 1, 2, 3, 4, 5, tzinfo=UTC)
PDF = b"%PDF-1.4 odd"[:-1]
SOMEBODY = Identity(
    family_name="D\u00f6e", given_name="Jo", number="12-3", born="1980-01-31", sex="F"
)
PICTURE = Picture(width=3, height=1, rgb=bytes(range(9)))
FILES = {
    "pdf": lambda identity: encapsulated_pdf(PDF, identity, "Plan ABCDEF, right leg", AT),
    "picture": lambda identity: secondary_capture(PICTURE, identity, "Plan ABCDEF, right leg", AT),
}
both_kinds = pytest.mark.parametrize("kind", FILES)
both_people = pytest.mark.parametrize("identity", [NOBODY, SOMEBODY], ids=["nobody", "somebody"])


def read(content: bytes) -> pydicom.Dataset:
    return pydicom.dcmread(BytesIO(content))


def test_the_pdf_comes_out_as_it_went_in() -> None:
    found = read(FILES["pdf"](NOBODY))
    assert found.EncapsulatedDocument[: found.EncapsulatedDocumentLength] == PDF
    assert found.MIMETypeOfEncapsulatedDocument == "application/pdf"
    assert len(found.EncapsulatedDocument) % 2 == 0


def test_the_picture_comes_out_as_it_went_in() -> None:
    found = read(FILES["picture"](NOBODY))
    assert found.pixel_array.reshape(-1).tolist() == list(range(9))


@both_kinds
def test_identifiers_are_those_typed(kind: str) -> None:
    found = read(FILES[kind](SOMEBODY))
    assert (str(found.PatientName), found.PatientID) == ("D\u00f6e^Jo", "12-3")
    assert (found.PatientBirthDate, found.PatientSex) == ("19800131", "F")
    assert found.BurnedInAnnotation == "YES"


@both_kinds
def test_with_nothing_typed_there_is_no_patient(kind: str) -> None:
    found = read(FILES[kind](NOBODY))
    fields = (found.PatientName, found.PatientID, found.PatientBirthDate, found.PatientSex)
    assert not any(str(one) for one in fields)
    assert found.BurnedInAnnotation == "NO"


@both_kinds
def test_two_exports_share_no_uid(kind: str) -> None:
    one, other = (read(FILES[kind](NOBODY)) for _ in range(2))
    for name in ("SOPInstanceUID", "StudyInstanceUID", "SeriesInstanceUID"):
        assert one[name].value != other[name].value


@pytest.mark.skipif(shutil.which("dciodvfy") is None, reason="no dicom3tools")
@both_kinds
@both_people
def test_the_outside_validator_finds_no_error(
    kind: str, identity: Identity, tmp_path: Path
) -> None:
    path = tmp_path / "x.dcm"
    path.write_bytes(FILES[kind](identity))
    told = subprocess.run(["dciodvfy", str(path)], capture_output=True, text=True, check=False)
    said = (told.stdout + told.stderr).splitlines()
    assert [line for line in said if line.startswith("Error")] == []
    assert any(line in ("EncapsulatedPDF", "SCImage") for line in said)


@pytest.mark.skipif(shutil.which("dciodvfy") is None, reason="no dicom3tools")
def test_the_outside_validator_would_find_one(tmp_path: Path) -> None:
    broken = read(FILES["pdf"](NOBODY))
    del broken.MIMETypeOfEncapsulatedDocument
    broken.save_as(tmp_path / "x.dcm")
    told = subprocess.run(
        ["dciodvfy", str(tmp_path / "x.dcm")], capture_output=True, text=True, check=False
    )
    assert "Error" in told.stdout + told.stderr


@pytest.mark.skipif(shutil.which("dcmdump") is None, reason="no dcmtk")
@both_kinds
@both_people
def test_another_reader_reads_it(kind: str, identity: Identity, tmp_path: Path) -> None:
    path = tmp_path / "x.dcm"
    path.write_bytes(FILES[kind](identity))
    told = subprocess.run(
        ["dcmdump", "+U8", str(path)], capture_output=True, text=True, check=False
    )
    assert told.returncode == 0
    assert told.stderr == ""
    if not identity.is_empty:
        assert "[D\u00f6e^Jo]" in told.stdout


def test_a_picture_whose_bytes_do_not_fill_it_is_refused() -> None:
    short = Picture(width=3, height=2, rgb=bytes(9))
    with pytest.raises(NotesError, match="do not fill its rows"):
        secondary_capture(short, NOBODY, "x", AT)


def test_without_pydicom_one_sentence_says_what_to_install(monkeypatch) -> None:
    for name in [*(one for one in sys.modules if one.split(".")[0] == "pydicom"), "pydicom"]:
        monkeypatch.setitem(sys.modules, name, None)
    with pytest.raises(NotesError, match=r"pip install 'fixplan\[dicom\]'"):
        encapsulated_pdf(PDF, NOBODY, "x", AT)
