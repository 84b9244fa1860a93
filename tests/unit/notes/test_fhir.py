"""The DocumentReference, judged by two libraries that follow the published definitions.

fhirclient has those of R4 (4.0.1), fhir.resources those of R4B.
"""

import base64
import hashlib
import json
from datetime import UTC, datetime

import pytest
from fhir.resources.R4B.documentreference import DocumentReference
from fhirclient.models.documentreference import DocumentReference as InR4
from fhirclient.models.fhirabstractbase import FHIRValidationError

from fixplan.notes.fhir import document_reference
from fixplan.notes.identity import NOBODY, Identity

AT = datetime(2030, 1, 2, 3, 4, 5, tzinfo=UTC)
PDF = b"%PDF-1.4 \x00\xff"
SOMEBODY = Identity(family_name="D\u00f6e", given_name="Jo", number="12-3", born="1980-01-31")


def made(identity: Identity = NOBODY) -> bytes:
    return document_reference(PDF, identity, "Plan ABCDEF, right leg", AT)


@pytest.mark.parametrize("identity", [NOBODY, SOMEBODY, Identity(number="7")])
def test_the_outside_library_takes_it(identity: Identity) -> None:
    found = DocumentReference.model_validate_json(made(identity))
    (content,) = found.content
    assert content.attachment.contentType == "application/pdf"
    assert found.status == "current"


def test_the_outside_library_would_refuse_one() -> None:
    broken = json.loads(made())
    broken["status"] = 5
    del broken["content"]
    with pytest.raises(ValueError, match="content"):
        DocumentReference.model_validate(broken)


@pytest.mark.parametrize("identity", [NOBODY, SOMEBODY, Identity(number="7")])
def test_r4_takes_it_strictly_and_gives_back_the_same(identity: Identity) -> None:
    told = json.loads(made(identity))
    assert InR4(told, strict=True).as_json() == told


@pytest.mark.parametrize(
    "change",
    [
        {"status": 5},
        {"content": None},
        {"unknown": "x"},
        {"date": "2 January"},
        {"subject": {"identifier": "12-3"}},
    ],
)
def test_r4_would_refuse_one(change: dict[str, object]) -> None:
    told = json.loads(made(SOMEBODY)) | change
    kept = {key: value for key, value in told.items() if value is not None}
    with pytest.raises((FHIRValidationError, ValueError)):
        InR4(kept, strict=True).as_json()


def test_the_pdf_is_inside_with_its_size_and_hash() -> None:
    attachment = json.loads(made())["content"][0]["attachment"]
    assert base64.b64decode(attachment["data"]) == PDF
    assert attachment["size"] == len(PDF)
    assert base64.b64decode(attachment["hash"]) == hashlib.sha1(PDF).digest()


def test_the_patient_is_there_only_when_typed() -> None:
    assert "subject" not in json.loads(made())
    subject = json.loads(made(SOMEBODY))["subject"]
    assert subject["identifier"] == {"value": "12-3"}
    assert subject["display"] == "D\u00f6e, Jo"


def test_dates_have_a_time_zone() -> None:
    assert json.loads(made())["date"] == "2030-01-02T03:04:05+00:00"
