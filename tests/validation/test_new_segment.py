"""A segment is added by data alone: an invented one in a copy of the resources."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NAME, BONE = "second-forearm", "invented-bone"
CASE = {
    "limb": "arm",
    "side": "left",
    "fractures": [{"id": "fracture-1", "bone": BONE, "from_mm": 120, "to_mm": 126}],
    "injuries": [
        {"id": "injury-1", "segment": NAME, "front": [[-30, 100], [40, 100], [40, 140], [-30, 140]]}
    ],
    "pins": [
        {
            "id": f"pin-{n}",
            "number": n,
            "bone": BONE,
            "level_mm": level,
            "bearing_deg": 275,
            "diameter_mm": 4,
        }
        for n, level in ((1, 60), (2, 90), (3, 160), (4, 190))
    ],
    "last_number": 4,
}


def changed_toml(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text, path
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program beside resources in which the arm has one segment more, made of the forearm."""
    folder = tmp_path_factory.mktemp("copy")
    shutil.copytree(ROOT / "fixplan", folder / "fixplan")
    shutil.copytree(ROOT / "resources", folder / "resources")
    anatomy = folder / "resources" / "anatomy"
    segment = json.loads((anatomy / "forearm.json").read_text(encoding="utf-8"))
    segment["segment"], segment["title"], segment["primary"] = NAME, "second forearm", BONE
    segment["bones"] = [bone for bone in segment["bones"] if bone["name"] == "radius"]
    segment["bones"][0]["name"], segment["bones"][0]["title"] = BONE, "invented bone"
    segment["hinge"] = None
    segment["spreads"] = []
    segment["girth_as"] = "forearm"
    for level in segment["levels"]:
        level["bones"] = [cut for cut in level["bones"] if cut["bone"] == "radius"]
        level["bones"][0]["bone"] = BONE
    (anatomy / f"{NAME}.json").write_text(json.dumps(segment), encoding="utf-8")
    limbs = json.loads((anatomy / "limbs.json").read_text(encoding="utf-8"))
    limbs["arm"]["segments"].append({"name": NAME, "hangs_on": "hand", "origin_mm": [0, 0, 180.0]})
    (anatomy / "limbs.json").write_text(json.dumps(limbs), encoding="utf-8")
    scaling = json.loads((anatomy / "scaling.json").read_text(encoding="utf-8"))
    scaling["bones"][BONE] = scaling["bones"]["radius"]
    (anatomy / "scaling.json").write_text(json.dumps(scaling), encoding="utf-8")
    resources = folder / "resources"
    changed_toml(resources / "margins.toml", "[margin_mm]", f"[margin_mm]\n{NAME} = 15")
    for name in ("customary.toml", "diameters.toml"):
        text = (resources / name).read_text(encoding="utf-8")
        start = text.index("[bones.radius]")
        entry = text[start : text.index("[bones.ulna]")].replace("radius", BONE)
        (resources / name).write_text(f"{text}\n{entry}", encoding="utf-8")
    return folder


def asked(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    environment = {
        **os.environ,
        "PYTHONPATH": str(folder),
        "XDG_CACHE_HOME": str(folder / "cache"),
        "FIXPLAN_HOUSE": "",
        "QT_QPA_PLATFORM": "offscreen",
    }
    return subprocess.run(
        [sys.executable, "-m", "fixplan", *words],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


def test_an_invented_segment_is_checked_and_drawn(copy: Path) -> None:
    from fixplan.case.file import encode
    from fixplan.case.records import Case

    whole = json.loads(encode(Case(limb="arm", side="left")))
    whole["case"].update(CASE)
    path = copy / "invented.json"
    path.write_text(json.dumps(whole), encoding="utf-8")
    told = asked(copy, "check", str(path))
    assert told.returncode in (0, 1), told.stderr
    assert "interosseous" in told.stdout
    assert "injury" in told.stdout
    drawn = asked(copy, "sheet", str(path), "-o", str(copy / "sheet.pdf"))
    assert drawn.returncode == 0, drawn.stderr
    assert (copy / "sheet.pdf").stat().st_size > 20_000
