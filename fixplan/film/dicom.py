"""A DICOM picture as grey pixels, with its spacing and what kind of spacing that is.

Tags by DICOM PS3.3: Pixel Spacing (0028,0030), Imager Pixel Spacing (0018,1164), Nominal Scanned
Pixel Spacing (0018,2010). Imager spacing is at the detector, so a bone on it is magnified; pixel
spacing beside it that differs was corrected for magnification only if the file says how.
"""

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import msgspec
import numpy as np
import numpy.typing as npt

from fixplan.errors import FilmError
from fixplan.film.limits import film_limits

if TYPE_CHECKING:
    from pydicom.dataset import Dataset

Grey = npt.NDArray[np.uint8]
SpacingKind = Literal[
    "in the patient", "corrected", "at the detector", "of the scanned film", "none"
]
PROJECTIONS = ("CR", "DX", "RF", "XA", "RG", "MG", "IO", "PX")
SPACING_WORDS: dict[SpacingKind, str] = {
    "in the patient": "spacing in the patient, from a slice",
    "corrected": "spacing that the file says was corrected for magnification",
    "at the detector": "spacing at the detector: the limb shows larger than it is",
    "of the scanned film": "spacing of a scanned film: the limb shows larger than it is",
    "none": "no spacing: no millimetres without a scale",
}


class DicomPicture(msgspec.Struct, frozen=True, eq=False):
    """Pixels (rows, columns) 0 to 255, and the spacing in mm across and down, if any is usable."""

    pixels: Grey
    spacing_mm: tuple[float, float] | None
    spacing_kind: SpacingKind
    remarks: tuple[str, ...]


def read_dicom(path: Path) -> DicomPicture:
    """A DICOM picture; of several frames the first.

    Raises:
        FilmError: the optional library is missing, or the file holds no picture it can decode.
    """
    data = _dataset(path)
    remarks: list[str] = []
    frames = int(data.get("NumberOfFrames", 1) or 1)
    if frames > 1:
        remarks.append(f"Frame 1 of {frames} is shown")
    spacing, kind, problem = spacing_of(data)
    if problem:
        remarks.append(problem)
    if str(data.get("BurnedInAnnotation", "")).upper() == "YES":
        remarks.append("The file says that words are burnt into the picture")
    return DicomPicture(_grey(path, data), spacing, kind, tuple(remarks))


def spacing_of(data: "Dataset") -> tuple[tuple[float, float] | None, SpacingKind, str]:
    """The spacing across and down, its kind, and what is wrong with it, if anything."""
    own = _pair(data, "PixelSpacing")
    imager = _pair(data, "ImagerPixelSpacing")
    scanned = _pair(data, "NominalScannedPixelSpacing")
    told = [one for one in (own, imager, scanned) if one is not None]
    if any(not value > 0 for pair in told for value in pair):
        return None, "none", "The file's pixel spacing is not above 0, so it is not used"
    if str(data.get("Modality", "")) not in PROJECTIONS and own is not None:
        return own, "in the patient", ""
    detector = imager or scanned
    if own is not None and detector is not None and not _agree(own, detector):
        if data.get("PixelSpacingCalibrationType"):
            return own, "corrected", ""
        return (
            None,
            "none",
            ("The file's two pixel spacings disagree and it does not say why, so neither is used"),
        )
    kind: SpacingKind = "of the scanned film" if imager is None and scanned else "at the detector"
    found = detector or own
    return found, kind if found else "none", ""


def _pair(data: "Dataset", name: str) -> tuple[float, float] | None:
    """Across and down; the file tells down (between rows) first."""
    value = data.get(name)
    if value is None or len(value) != 2:
        return None
    return float(value[1]), float(value[0])


def _agree(one: tuple[float, float], other: tuple[float, float]) -> bool:
    within = film_limits().spacing_agrees_within
    return all(abs(a - b) <= within * max(a, b) for a, b in zip(one, other, strict=True))


def _dataset(path: Path) -> "Dataset":
    try:
        from pydicom import dcmread
        from pydicom.errors import InvalidDicomError
    except ImportError as missing:
        raise FilmError(
            f"{path.name}: DICOM pictures need the extra library; install 'fixplan[dicom]'."
        ) from missing
    try:
        return dcmread(path)
    except (InvalidDicomError, OSError, ValueError, EOFError, KeyError) as problem:
        raise FilmError(f"{path.name}: is no whole DICOM file; export it again.") from problem


def _grey(path: Path, data: "Dataset") -> Grey:
    rows, columns = int(data.get("Rows", 0) or 0), int(data.get("Columns", 0) or 0)
    if rows < 1 or columns < 1 or rows * columns > film_limits().most_pixels:
        raise FilmError(f"{path.name}: claims {columns} x {rows} pixels; export another picture.")
    try:
        pixels = np.asarray(data.pixel_array)
    except (AttributeError, ValueError, RuntimeError, NotImplementedError, ImportError) as problem:
        raise FilmError(
            f"{path.name}: its pixels cannot be decoded here; export it as PNG or as plain DICOM."
        ) from problem
    if int(data.get("NumberOfFrames", 1) or 1) > 1:
        pixels = pixels[0]
    if pixels.ndim == 3:
        grey: Grey = pixels[..., :3].mean(axis=2).round().astype(np.uint8)
        return grey
    return _windowed(pixels.astype(float), data)


def _windowed(values: npt.NDArray[np.float64], data: "Dataset") -> Grey:
    """Grey by the file's own window, else by its whole range (DICOM PS3.3 C.11.2, linear)."""
    values = values * float(data.get("RescaleSlope", 1) or 1)
    values = values + float(data.get("RescaleIntercept", 0) or 0)
    centre, width = _first(data, "WindowCenter"), _first(data, "WindowWidth")
    if centre is None or width is None or width < 1:
        low, high = float(values.min()), float(values.max())
    else:
        low, high = centre - 0.5 - (width - 1) / 2, centre - 0.5 + (width - 1) / 2
    share = np.clip((values - low) / max(high - low, 1e-9), 0.0, 1.0)
    if str(data.get("PhotometricInterpretation", "")) == "MONOCHROME1":
        share = 1.0 - share
    return np.rint(255 * share).astype(np.uint8)


def _first(data: "Dataset", name: str) -> float | None:
    value = data.get(name)
    if value is None:
        return None
    return float(value if isinstance(value, int | float | str) else value[0])
