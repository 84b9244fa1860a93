"""The archival PDF against ISO 19005-1 (PDF/A-1b), clause by clause, by pikepdf."""

from collections.abc import Callable
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from msgspec.structs import replace

from fixplan.checks.run import open_case
from fixplan.notes.export import Order, archival_pdf
from fixplan.notes.identity import Identity
from fixplan.sheet.paint import pdf_bytes
from fixplan.sheet.shapes import Picture
from tests.validation.pdf_a import CLAUSES, problems, problems_of

ROOT = Path(__file__).parents[2]


def order() -> Order:
    opened = open_case(ROOT / "sample_cases" / "open-tibial-shaft.json")
    at = datetime(2030, 1, 2, 3, 4, 5, tzinfo=UTC)
    who = Identity(family_name="D\u00f6e", given_name="J\u014d", number="12-3")
    return Order(case=opened.case, findings=opened.findings, at=at, identity=who)


@pytest.fixture(scope="module")
def archival() -> bytes:
    return archival_pdf(order())


@pytest.fixture(scope="module")
def told(archival: bytes) -> dict[str, list[str]]:
    return problems(archival)


@pytest.mark.parametrize("number", CLAUSES)
def test_the_archival_pdf_keeps_to(number: str, told: dict[str, list[str]]) -> None:
    assert told.get(number, []) == []


def test_with_a_picture_it_still_does() -> None:
    picture = Picture(
        owner="film-1", at=(20, 40), size_mm=(30, 60), width_px=3, height_px=6, rgb=bytes(54)
    )
    page = replace(order().pages()[0], laid={"limb": (picture,)})
    content = pdf_bytes((page,), "Plan", is_archival=True)
    assert content.count(b"/Subtype /Image") == 1
    assert problems(content) == {}


def test_a_plain_pdf_would_be_found_out() -> None:
    found = problems(pdf_bytes(order().pages()[:1], "Plan"))
    assert {"6.2.2 Output intent", "6.7.11 Version and conformance"} <= set(found)


def _script(pdf: pikepdf.Pdf) -> None:
    pdf.Root.OpenAction = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="1")


def _see_through(pdf: pikepdf.Pdf) -> None:
    pdf.pages[0].Resources.ExtGState["/X"] = pikepdf.Dictionary(Type=pikepdf.Name.ExtGState, ca=0.5)


def _other_title(pdf: pikepdf.Pdf) -> None:
    pdf.trailer.Info.Title = "Another"


def _no_profile(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.OutputIntents[0]["/DestOutputProfile"]


def _not_embedded(pdf: pikepdf.Pdf) -> None:
    for one in pdf.objects:
        if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/FontDescriptor":
            del one["/FontFile2"]
            one.FontName = pikepdf.Name("/Plain")


def _other_widths(pdf: pikepdf.Pdf) -> None:
    for one in pdf.objects:
        if isinstance(one, pikepdf.Dictionary) and one.get("/Subtype") == "/CIDFontType2":
            one.W[1][3] = 1


def _trapped(pdf: pikepdf.Pdf) -> None:
    old = pdf.Root.Metadata.read_bytes()
    pdf.Root.Metadata.write(old.replace(b"pdf:Producer", b'pdf:Trapped="False" pdf:Producer'))


@pytest.mark.parametrize(
    ("number", "spoil"),
    [
        ("6.6 Actions", _script),
        ("6.4 Transparency", _see_through),
        ("6.7.3 Document information dictionary", _other_title),
        ("6.2.2 Output intent", _no_profile),
        ("6.3.4 Embedded font programs", _not_embedded),
        ("6.3.6 Font metrics", _other_widths),
        ("6.7.9 Known XMP properties", _trapped),
    ],
)
def test_a_spoilt_file_is_found_out(
    number: str, spoil: Callable[[pikepdf.Pdf], None], archival: bytes
) -> None:
    with pikepdf.open(BytesIO(archival)) as pdf:
        spoil(pdf)
        out = BytesIO()
        pdf.save(out, object_stream_mode=pikepdf.ObjectStreamMode.disable, static_id=True)
    assert problems_of(number, out.getvalue())


def test_an_encrypted_file_and_one_with_a_tail_are_found_out(archival: bytes) -> None:
    out = BytesIO()
    with pikepdf.open(BytesIO(archival)) as pdf:
        pdf.save(out, encryption=pikepdf.Encryption(owner="x", user="", R=4))
    assert "encrypted" in problems_of("6.1.3 File trailer", out.getvalue())
    assert problems_of("6.1.3 File trailer", archival + b"more")
