"""Every form in which the plan leaves the desk for the case notes, entered by name.

Qt is imported when pages are painted; a running application is needed then.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path

import msgspec

from fixplan.case.file import snapshot_id
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.errors import NotesError
from fixplan.notes.dicom import Picture, encapsulated_pdf, secondary_capture
from fixplan.notes.fhir import document_reference
from fixplan.notes.files import write_documents
from fixplan.notes.identity import NOBODY, Identity
from fixplan.notes.labelled import labelled
from fixplan.notes.plain import as_markdown, as_text
from fixplan.notes.section import Told
from fixplan.sheet.pages import compose
from fixplan.sheet.paper import Page, Paper

CAPTURE_DPI = 150.0
Files = Mapping[str, bytes]
"""What is written, by what stands between the stem and nothing: "" or "-2", with the ending."""


class Order(msgspec.Struct, frozen=True, kw_only=True, eq=False):
    """What is to be exported: the plan, whose it is, on which paper, and when.

    `lay` puts into the pages what is laid on them outside the drawing: the patient's pictures that
    were chosen for printing.
    """

    case: Case
    findings: tuple[Finding, ...]
    at: datetime
    identity: Identity = NOBODY
    paper: Paper = "A4"
    dpi: float = 200.0
    lay: Callable[[tuple[Page, ...]], tuple[Page, ...]] = tuple

    @property
    def dated(self) -> str:
        """The date as it is printed."""
        return f"{self.at:%Y-%m-%d %H:%M %Z}"

    @property
    def title(self) -> str:
        """The document's title: no patient in it."""
        return f"Plan {snapshot_id(self.case)}, {self.case.side} {self.case.limb}"

    @property
    def told(self) -> Told:
        """What the words are made from."""
        return Told(
            case=self.case,
            findings=self.findings,
            identity=self.identity,
            dated=self.dated,
            at=self.at,
        )

    def pages(self) -> tuple[Page, ...]:
        """The sheet with what was typed in the field for the patient's label."""
        pages = compose(self.case, self.findings, self.paper, printed_at=self.dated, now=self.at)
        return self.lay(labelled(pages, self.identity))


class Form(msgspec.Struct, frozen=True, kw_only=True, eq=False):
    """One form: its words, its ending, what makes it, and whether pages are painted."""

    words: str
    ending: str
    make: Callable[[Order], Files]
    is_painted: bool = True


def _text(order: Order) -> Files:
    return {".txt": as_text(order.told).encode()}


def _markdown(order: Order) -> Files:
    return {".md": as_markdown(order.told).encode()}


def _pdf(order: Order) -> Files:
    from fixplan.sheet.paint import pdf_bytes

    return {".pdf": pdf_bytes(order.pages(), order.title)}


def _archival(order: Order) -> Files:
    return {".pdf": archival_pdf(order)}


def archival_pdf(order: Order) -> bytes:
    """The sheet as PDF/A-1b."""
    from fixplan.sheet.paint import pdf_bytes

    return pdf_bytes(order.pages(), order.title, is_archival=True)


def _svg(order: Order) -> Files:
    from fixplan.sheet.paint import svg_bytes

    pages = order.pages()
    return _each(".svg", [svg_bytes(page, order.title) for page in pages])


def _png(order: Order) -> Files:
    from fixplan.sheet.paint import png_bytes

    return _each(".png", [png_bytes(page, order.dpi) for page in order.pages()])


def _dicom_pdf(order: Order) -> Files:
    return {".dcm": encapsulated_pdf(archival_pdf(order), order.identity, order.title, order.at)}


def _dicom_pictures(order: Order) -> Files:
    from fixplan.sheet.paint import page_rgb

    made = []
    for page in order.pages():
        width, height, rgb = page_rgb(page, CAPTURE_DPI)
        picture = Picture(width=width, height=height, rgb=rgb)
        made.append(secondary_capture(picture, order.identity, order.title, order.at))
    return _each(".dcm", made)


def _fhir(order: Order) -> Files:
    pdf = archival_pdf(order)
    return {".json": document_reference(pdf, order.identity, order.title, order.at)}


def _each(ending: str, contents: Sequence[bytes]) -> Files:
    """One file a page, numbered where there are several."""
    if len(contents) == 1:
        return {ending: contents[0]}
    return {f"-{number}{ending}": one for number, one in enumerate(contents, start=1)}


FORMS: dict[str, Form] = {
    "pdf": Form(words="PDF", ending=".pdf", make=_pdf),
    "pdf-a": Form(words="PDF/A-1b, for archives", ending=".pdf", make=_archival),
    "text": Form(words="Plain text", ending=".txt", make=_text, is_painted=False),
    "markdown": Form(words="Markdown", ending=".md", make=_markdown, is_painted=False),
    "png": Form(words="Pictures, PNG", ending=".png", make=_png),
    "svg": Form(words="Drawings, SVG", ending=".svg", make=_svg),
    "dicom-pdf": Form(words="DICOM, the PDF inside", ending=".dcm", make=_dicom_pdf),
    "dicom-picture": Form(words="DICOM, pages as pictures", ending=".dcm", make=_dicom_pictures),
    "fhir": Form(words="FHIR DocumentReference, the PDF inside", ending=".json", make=_fhir),
}


def export(order: Order, form: str, path: Path) -> tuple[Path, ...]:
    """Write the plan in a form; returns the files. Nothing typed for it is kept anywhere.

    Raises NotesError for a wrong ending, a missing library or a file that may only be read,
    CaseFileError when a file cannot be written; no file is then half there.
    """
    found = FORMS[form]
    if path.suffix.lower() != found.ending:
        raise NotesError(f"{path.name}: {found.words} ends in {found.ending}; give it that ending.")
    written = {
        path.with_name(f"{path.stem}{rest}"): content for rest, content in found.make(order).items()
    }
    return write_documents(written)


def suggested_name(case: Case, stem: str, form: str) -> str:
    """A file name without anything about the patient: the case file's own, else the plan's id."""
    return f"{stem or f'plan-{snapshot_id(case)}'}-notes{FORMS[form].ending}"
