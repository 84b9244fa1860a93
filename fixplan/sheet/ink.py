"""The sheet's inks, line widths and text sizes; all must survive a black-and-white printer.

Colours are '#rrggbb', widths and sizes millimetres on paper. ISO 128 line groups guided the widths.
"""

from fixplan.case.scalars import Severity
from fixplan.sheet.shapes import Dash, Stroke

INK = "#1f2933"
SOFT_INK = "#52606d"
FAINT_INK = "#9aa5b1"
PAPER = "#ffffff"
RULE_INK = "#c3cad2"

BONE_TINT = "#f4efe2"
BONE_INK = "#6f6752"
SKIN_TINT = "#fbf5f1"
SKIN_INK = "#ab9588"
METAL = "#46525e"
METAL_LIGHT = "#c9d1d8"

SEVERITY_INK: dict[Severity, str] = {
    "stop": "#a61b1b",
    "caution": "#8a5a00",
    "note": "#486581",
    "not assessed": "#52606d",
}
INJURY_INK = "#9c3d1f"
WOUND_INK = "#7b1e1e"
FRACTURE_INK = "#101820"
LATER_INK = "#2c5282"

DASHES_MM: dict[Dash, tuple[float, ...]] = {
    "dash": (2.0, 1.1),
    "dot": (0.35, 0.9),
    "dash-dot": (3.2, 0.9, 0.5, 0.9),
    "dash-dot-dot": (3.2, 0.9, 0.5, 0.9, 0.5, 0.9),
}

OUTLINE = Stroke(BONE_INK, 0.25)
SKIN = Stroke(SKIN_INK, 0.2)
THIN = Stroke(INK, 0.18)
SOFT = Stroke(SOFT_INK, 0.18)
HAIR = Stroke(FAINT_INK, 0.13)
TABLE_RULE = Stroke(RULE_INK, 0.18)
FRAME_RULE = Stroke(INK, 0.35)
BOLD = Stroke(INK, 0.5)

# Layers: small numbers lie below.
PAPER_LAYER = 0
LIMB_LAYER = 10
LATER_LAYER = 20
INJURY_LAYER = 26
WOUND_LAYER = 30
FRACTURE_LAYER = 34
LANDMARK_LAYER = 38
PIN_LAYER = 50
BAR_LAYER = 60
CLAMP_LAYER = 64
SUPPORT_LAYER = 66
LABEL_LAYER = 80
TABLE_LAYER = 90

SMALL_MM = 2.6
TEXT_MM = 2.8
HEAD_MM = 3.4
