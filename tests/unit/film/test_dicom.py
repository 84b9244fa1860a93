"""DICOM pictures: pixels, spacing and its kind. Files come from pydicom, read back by ours."""

from pathlib import Path

import numpy as np
import pytest
from pydicom.data import get_testdata_file
from pydicom.dataset import Dataset, FileMetaDataset
from pydicom.uid import ExplicitVRLittleEndian, generate_uid

from fixplan.errors import FilmError
from fixplan.film.dicom import read_dicom, spacing_of
from fixplan.film.scaling import scale_from_spacing


def written(path: Path, pixels: np.ndarray, **fields: object) -> Path:
    data = Dataset()
    data.file_meta = FileMetaDataset()
    data.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    data.file_meta.MediaStorageSOPClassUID = "1.2.840.10008.5.1.4.1.1.7"
    data.file_meta.MediaStorageSOPInstanceUID = generate_uid()
    data.Rows, data.Columns = pixels.shape
    data.SamplesPerPixel, data.PhotometricInterpretation = 1, "MONOCHROME2"
    data.BitsAllocated = data.BitsStored = 16
    data.HighBit, data.PixelRepresentation = 15, 0
    for name, value in fields.items():
        setattr(data, name, value)
    data.PixelData = pixels.astype(np.uint16).tobytes()
    data.save_as(path, enforce_file_format=True)
    return path


def test_spacing_of_pydicoms_own_slice() -> None:
    """CT_small.dcm of pydicom's test files: pixel spacing 0.661468 mm both ways, 128 x 128."""
    found = read_dicom(Path(str(get_testdata_file("CT_small.dcm"))))
    assert found.spacing_mm == pytest.approx((0.661468, 0.661468))
    assert found.spacing_kind == "in the patient"
    assert found.pixels.shape == (128, 128)
    scale = scale_from_spacing(found.spacing_mm, found.spacing_kind)
    assert scale is not None
    assert scale.mm_per_px == pytest.approx(0.661468)


def test_down_comes_first_in_the_file_and_across_first_here() -> None:
    data = Dataset()
    data.Modality, data.PixelSpacing = "CT", [0.5, 0.25]
    assert spacing_of(data)[0] == (0.25, 0.5)


def test_spacing_at_the_detector_says_that_it_magnifies() -> None:
    data = Dataset()
    data.Modality, data.ImagerPixelSpacing = "DX", [0.15, 0.15]
    spacing, kind, problem = spacing_of(data)
    assert (spacing, kind, problem) == ((0.15, 0.15), "at the detector", "")


def test_a_spacing_corrected_and_said_to_be_is_used() -> None:
    data = Dataset()
    data.Modality, data.ImagerPixelSpacing = "DX", [0.15, 0.15]
    data.PixelSpacing, data.PixelSpacingCalibrationType = [0.13, 0.13], "FIDUCIAL"
    assert spacing_of(data)[:2] == ((0.13, 0.13), "corrected")


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"PixelSpacing": [0.13, 0.13], "ImagerPixelSpacing": [0.15, 0.15]}, "disagree"),
        ({"ImagerPixelSpacing": [0.0, 0.0]}, "not above 0"),
    ],
)
def test_spacing_that_cannot_be_trusted_is_not_used(fields, words) -> None:
    data = Dataset()
    data.Modality = "DX"
    for name, value in fields.items():
        setattr(data, name, value)
    spacing, kind, problem = spacing_of(data)
    assert (spacing, kind) == (None, "none")
    assert words in problem


def test_sixteen_bits_are_windowed_and_negatives_turned(tmp_path: Path) -> None:
    pixels = np.array([[0, 1000, 2000], [3000, 4000, 4095]])
    plain = read_dicom(written(tmp_path / "a.dcm", pixels, WindowCenter=2048, WindowWidth=4096))
    turned = read_dicom(
        written(
            tmp_path / "b.dcm",
            pixels,
            WindowCenter=2048,
            WindowWidth=4096,
            PhotometricInterpretation="MONOCHROME1",
        )
    )
    assert plain.pixels[0, 0] == 0
    assert plain.pixels[1, 2] == 255
    assert abs(int(plain.pixels[0, 1]) - round(255 * 1000 / 4095)) <= 1
    assert np.abs(plain.pixels.astype(int) + turned.pixels - 255).max() <= 1


def test_burnt_in_words_are_said(tmp_path: Path) -> None:
    path = written(tmp_path / "a.dcm", np.zeros((2, 2)), BurnedInAnnotation="YES")
    assert any("burnt" in remark for remark in read_dicom(path).remarks)


def test_a_file_that_is_none_is_told(tmp_path: Path) -> None:
    path = tmp_path / "a.dcm"
    path.write_bytes(b"\0" * 128 + b"DICM" + b"\x08\0\x05")
    with pytest.raises(FilmError, match=r"a\.dcm: "):
        read_dicom(path)
