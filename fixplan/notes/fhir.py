"""The sheet as a FHIR R4 DocumentReference in JSON, with the PDF inside.

Source: FHIR R4, DocumentReference (status and content are the only fields that must be there);
LOINC 18776-5 "Plan of care note", in the value set CarePlanDocumentType of C-CDA on FHIR.
"""

import base64
import json
from datetime import datetime
from hashlib import sha1
from uuid import uuid4

from fixplan.notes.identity import Identity

TYPE = {
    "coding": [{"system": "http://loinc.org", "code": "18776-5", "display": "Plan of care note"}],
    "text": "Plan of a temporary external frame",
}


def document_reference(pdf: bytes, identity: Identity, title: str, at: datetime) -> bytes:
    """The resource as JSON; `at` needs a time zone."""
    told: dict[str, object] = {
        "resourceType": "DocumentReference",
        "identifier": [{"system": "urn:ietf:rfc:3986", "value": f"urn:uuid:{uuid4()}"}],
        "status": "current",
        "docStatus": "preliminary",
        "type": TYPE,
        "date": at.isoformat(timespec="seconds"),
        "description": title,
        "content": [{"attachment": _attachment(pdf, title, at)}],
    }
    subject = _subject(identity)
    if subject:
        told["subject"] = subject
    return json.dumps(told, indent=2, ensure_ascii=False).encode() + b"\n"


def _attachment(pdf: bytes, title: str, at: datetime) -> dict[str, object]:
    """The PDF in base 64; FHIR takes its hash as SHA-1, which guards against damage only."""
    return {
        "contentType": "application/pdf",
        "language": "en-GB",
        "data": base64.b64encode(pdf).decode(),
        "size": len(pdf),
        "hash": base64.b64encode(sha1(pdf, usedforsecurity=False).digest()).decode(),
        "title": title,
        "creation": at.isoformat(timespec="seconds"),
    }


def _subject(identity: Identity) -> dict[str, object]:
    """The patient by what was typed; nothing where nothing was."""
    subject: dict[str, object] = {}
    if identity.number:
        subject["identifier"] = {"value": identity.number}
    if identity.name:
        subject["display"] = identity.name
    return {"type": "Patient", **subject} if subject else {}
