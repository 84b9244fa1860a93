"""The DocumentReference, judged by fhir.resources, which follows the published definitions.

It has R4B, in which DocumentReference is that of R4.
"""

import base64
import hashlib
import json
from datetime import UTC, datetime

import pytest
from fhir.resources.R4B.documentreference import DocumentReference

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
