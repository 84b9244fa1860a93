"""Starting frames of arm, hand, foot and pelvis, and the fracture that each one starts from."""

from fixplan.case.records import Case, Fracture, LimbSize
from fixplan.checks.run import judge_pin
from fixplan.frame.starting import LaidFrame, lay_frame

MAN = LimbSize(sex="male", stature_mm=1780)
WOMAN = LimbSize(sex="female", stature_mm=1640)


def broken(bone: str, low: float, high: float) -> tuple[Fracture, ...]:
    return (Fracture(id="fracture-1", bone=bone, from_mm=low, to_mm=high),)


FRAMES = [
    ("humerus-fragments", "arm", broken("humerus", 160, 205)),
    ("elbow-spanning", "arm", ()),
    ("forearm-fragments", "arm", broken("ulna", 110, 130)),
    ("wrist-spanning", "arm", broken("radius", 218, 244)),
    ("hand-ray", "arm", broken("metacarpal-2", 28, 38)),
    ("foot-columns", "leg", ()),
    ("foot-columns-leg", "leg", ()),
    ("pelvis-low", "pelvis", ()),
    ("pelvis-crest", "pelvis", ()),
]


def bare(limb: str, fractures=(), *, size=MAN, side: str = "right") -> Case:
    return Case(
        limb=limb, side="both" if limb == "pelvis" else side, size=size, fractures=fractures
    )


def laid(pattern: str, **fields) -> LaidFrame:
    limb, fractures = next(rest for name, *rest in FRAMES if name == pattern)
    return lay_frame(bare(limb, fractures, **fields), pattern, judge_pin)
