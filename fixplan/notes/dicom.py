"""The sheet as DICOM: an Encapsulated PDF, or a Secondary Capture of one page.

Needs pydicom (the extra `dicom`). Attributes follow DICOM PS3.3 A.45.1 (Encapsulated PDF) and A.8.1
(Secondary Capture Image). Identifiers come from what was typed for this export; every UID is new.
"""

from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING

import msgspec

from fixplan import __version__
from fixplan.errors import NotesError
from fixplan.notes.identity import Identity

if TYPE_CHECKING:
    from pydicom.dataset import Dataset

PDF_CLASS = "1.2.840.10008.5.1.4.1.1.104.1"
CAPTURE_CLASS = "1.2.840.10008.5.1.4.1.1.7"


class Picture(msgspec.Struct, frozen=True, kw_only=True):
    """A picture as red, green and blue bytes, row by row, without gaps."""

    width: int
    height: int
    rgb: bytes


def encapsulated_pdf(pdf: bytes, identity: Identity, title: str, at: datetime) -> bytes:
    """A DICOM file that holds the PDF. Raises NotesError without pydicom."""
    found = _common(PDF_CLASS, identity, at)
    found.Modality = "DOC"
    found.ConversionType = "WSD"
    found.AcquisitionDateTime = ""
    found.BurnedInAnnotation = "NO" if identity.is_empty else "YES"
    found.DocumentTitle = title[:1024]
    found.ConceptNameCodeSequence = []
    found.MIMETypeOfEncapsulatedDocument = "application/pdf"
    found.EncapsulatedDocument = pdf + b"\0" * (len(pdf) % 2)
    found.EncapsulatedDocumentLength = len(pdf)
    return _written(found)


def secondary_capture(picture: Picture, identity: Identity, title: str, at: datetime) -> bytes:
    """A DICOM file that holds one page as a picture. Raises NotesError without pydicom."""
    if len(picture.rgb) != 3 * picture.width * picture.height:
        raise NotesError("The picture's bytes do not fill its rows; draw the page again.")
    found = _common(CAPTURE_CLASS, identity, at)
    found.Modality = "OT"
    found.ConversionType = "WSD"
    found.PatientOrientation = ""
    found.BurnedInAnnotation = "NO" if identity.is_empty else "YES"
    found.SeriesDescription = title[:64]
    found.ImageType = ["DERIVED", "SECONDARY"]
    found.SamplesPerPixel = 3
    found.PhotometricInterpretation = "RGB"
    found.PlanarConfiguration = 0
    found.Rows, found.Columns = picture.height, picture.width
    found.BitsAllocated, found.BitsStored, found.HighBit = 8, 8, 7
    found.PixelRepresentation = 0
    found.PixelData = picture.rgb + b"\0" * (len(picture.rgb) % 2)
    found["PixelData"].VR = "OB"
    return _written(found)


def _common(sop_class: str, identity: Identity, at: datetime) -> "Dataset":
    """Patient, study, series, equipment and instance, alike for both kinds."""
    try:
        from pydicom.dataset import Dataset
        from pydicom.uid import generate_uid
    except ImportError as problem:
        raise NotesError(
            "DICOM needs the library pydicom; install it with: pip install 'fixplan[dicom]'"
        ) from problem
    found = Dataset()
    found.SpecificCharacterSet = "ISO_IR 192"
    found.SOPClassUID, found.SOPInstanceUID = sop_class, generate_uid(prefix=None)
    found.StudyInstanceUID = generate_uid(prefix=None)
    found.SeriesInstanceUID = generate_uid(prefix=None)
    found.StudyDate, found.StudyTime = f"{at:%Y%m%d}", f"{at:%H%M%S}"
    found.ContentDate, found.ContentTime = found.StudyDate, found.StudyTime
    found.StudyID = found.AccessionNumber = found.ReferringPhysicianName = ""
    found.StudyDescription = "Plan of a temporary external frame"
    found.SeriesNumber = found.InstanceNumber = 1
    found.Laterality = ""
    found.Manufacturer, found.ManufacturerModelName = "", "fixplan"
    found.SoftwareVersions = __version__
    _name_patient(found, identity)
    return found


def _name_patient(found: "Dataset", identity: Identity) -> None:
    name = f"{identity.family_name}^{identity.given_name}"
    found.PatientName = name.rstrip("^")
    found.PatientID = identity.number
    found.PatientBirthDate = identity.born.replace("-", "")
    found.PatientSex = identity.sex


def _written(found: "Dataset") -> bytes:
    from pydicom.dataset import FileDataset, FileMetaDataset
    from pydicom.uid import ExplicitVRLittleEndian

    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID = found.SOPClassUID
    meta.MediaStorageSOPInstanceUID = found.SOPInstanceUID
    meta.TransferSyntaxUID = ExplicitVRLittleEndian
    out = BytesIO()
    file = FileDataset(out, found, file_meta=meta, preamble=b"\0" * 128)
    file.save_as(out, enforce_file_format=True)
    return out.getvalue()
