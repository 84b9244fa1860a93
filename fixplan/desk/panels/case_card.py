"""The card of the case itself: label, side, size of the limb, how its joints are bent."""

from functools import partial
from typing import get_args

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QFormLayout, QLabel, QWidget

from fixplan.case import edits
from fixplan.case.growing import GROWTH_PLATES, growth_plates, with_growth_plates
from fixplan.case.limbs import bend_deg, limb_of_case
from fixplan.case.records import BoneSize, Case, Girth, LimbSize
from fixplan.case.scalars import LimbKind, Side
from fixplan.desk.bench import Bench
from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.panels.fields import Choice, Field
from fixplan.desk.panels.inputs import INPUTS, Input, OptionalNumberInput
from fixplan.desk.panels.ring_fields import RING_FIELDS, RING_NAMES, ring_values, ring_with
from fixplan.desk.panels.thing import next_turn
from fixplan.desk.sheet_hold import Attempt
from fixplan.limb.kinds import Joint, limb_kind

LABEL = Field("label", "Label", tip="What this case is called; leave the patient's name out")
STATURE = Field("stature", "Stature", "optional number", "cm", 50, 250, 1, "not given")
SEX = Field(
    "sex",
    "Sex",
    "choice",
    choices=(
        Choice("not given", "not given"),
        Choice("female", "female"),
        Choice("male", "male"),
    ),
)
MASS = Field("mass_kg", "Mass", "optional number", "kg", 10, 400, 1, "not given")
BENDS = {
    "knee": ("knee_flexion_deg", "Knee bent"),
    "elbow": ("elbow_flexion_deg", "Elbow bent"),
    "wrist": ("wrist_extension_deg", "Wrist extended"),
}
"""The property and the label of each joint that bends."""
GROWING = Field(
    "growth_plates",
    "Growth plates",
    "choice",
    choices=tuple(Choice(told, told) for told in GROWTH_PLATES),
    tip="Open: a child, whose bones still grow",
)
MM_PER_CM = 10.0


class CaseCard(Card):
    """Side and size of the limb, each change one edit."""

    def __init__(self, bench: Bench, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__("Limb", parent)
        self._bench = bench
        self._attempt = attempt
        self._inputs: dict[str, Input] = {}
        self._form = QFormLayout()
        self._form.setVerticalSpacing(5)
        self._form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self._form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self._form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self.body.addLayout(self._form)
        self.keep_mm = QCheckBox("Keep millimetres when the size changes")
        self.keep_mm.setToolTip("Not ticked: what is drawn keeps its place on the limb")
        self._notes = soft_label("")
        self.body.addWidget(self.keep_mm)
        self.body.addWidget(self._notes)
        self._limb: LimbKind | None = None
        self._later = next_turn(self, self.refresh)
        bench.document.case_changed.connect(self._later.start)

    def input_of(self, name: str) -> Input:
        """The input of a property, for those who need to find it."""
        return self._inputs[name]

    def refresh(self) -> None:
        """Show the case as it is now."""
        if not self._bench.document.is_open:
            return
        case = self._bench.document.case
        if self._limb != case.limb:
            self._build(case)
        self.entitle("Limb", side_words(case.limb, case.side))
        for name, value in self._values(case).items():
            self._inputs[name].show_value(value)
        self._suggest(case)
        self._notes.setText(self._notes_of(case))

    def _add(self, form: QFormLayout, name: str, field: Field) -> None:
        made = INPUTS[field.kind](field, partial(self._change, name))
        self._inputs[name] = made
        label = QLabel("" if field.kind == "flag" else field.label)
        label.setBuddy(made.editor())
        form.addRow(label, made)

    def _build(self, case: Case) -> None:
        """Inputs for the limb of the case: its sides, its joints, its bones and girths."""
        self._limb = case.limb
        self._inputs.clear()
        while self._form.rowCount():
            self._form.removeRow(0)
        bends = (bend_field(joint) for joint in limb_kind(case.limb).bending)
        torn = RING_FIELDS if limb_kind(case.limb).has_both_sides else ()
        for field in (LABEL, side_field(case.limb), STATURE, SEX, MASS, GROWING, *bends, *torn):
            self._add(self._form, field.name, field)
        self._add_sizes()

    def _add_sizes(self) -> None:
        """Inputs for the bones and girths that this limb has."""
        limb = limb_of_case(self._bench.document.case)
        self._form.addRow(
            soft_label("Measured on the patient; a typed size wins over the stature.")
        )
        for bone in _measured_bones(self._bench.document.case):
            for what, low, high in (("length", 10, 800), ("width", 3, 150)):
                label = f"{limb.bones[bone].title.capitalize()} {what}"
                field = Field(what, label, "optional number", "mm", low, high, 1, "from stature")
                self._add(self._form, f"{bone} {what}", field)
        for name, segment in limb.segments.items():
            label, place = f"{segment.title.capitalize()} girth", segment.girth_place
            field = Field(
                "girth", label, "optional number", "mm", 50, 1500, 5, "from size", tip=place
            )
            self._add(self._form, f"{name} girth", field)

    def _values(self, case: Case) -> dict[str, object]:
        size = case.size
        stature = None if size.stature_mm is None else size.stature_mm / MM_PER_CM
        bones = {bone.bone: bone for bone in size.bones}
        girths = {girth.segment: girth.girth_mm for girth in size.girths}
        values: dict[str, object] = {
            "label": case.label,
            "side": case.side,
            "stature": stature,
            "sex": size.sex,
            "mass_kg": size.mass_kg,
            "growth_plates": growth_plates(case),
        }
        for joint in limb_kind(case.limb).bending:
            values[BENDS[joint.id][0]] = getattr(case, BENDS[joint.id][0])
        if limb_kind(case.limb).has_both_sides:
            values |= ring_values(case.ring)
        for name in self._inputs.keys() - values.keys():
            part, what = name.rsplit(" ", 1)
            if what == "girth":
                values[name] = girths.get(part)
            else:
                values[name] = getattr(bones.get(part), f"{what}_mm", None)
        return values

    def _suggest(self, case: Case) -> None:
        """What a tick begins with: the size that the limb is drawn at."""
        limb = limb_of_case(case)
        suggestions = {
            "stature": 170.0,
            "mass_kg": 75.0,
        }
        for joint in limb_kind(case.limb).bending:
            suggestions[BENDS[joint.id][0]] = bend_deg(case, joint.id)
        for name, made in self._inputs.items():
            if not isinstance(made, OptionalNumberInput):
                continue
            bone = name.removesuffix(" length")
            if name.endswith(" length") and limb.bones[bone].length_mm is not None:
                suggestions[name] = float(round(limb.bones[bone].length_mm or 0.0))
            made.suggest(suggestions.get(name, made.field.low))

    def _notes_of(self, case: Case) -> str:
        limb = limb_of_case(case)
        lines = []
        for bone in _measured_bones(case):
            length, error = limb.bones[bone].length_mm, limb.length_error_mm(bone)
            doubt = "typed" if error is None else f"± {error:.0f}"
            if length is not None:
                lines.append(f"{limb.bones[bone].title} {length:.0f} mm ({doubt})")
        return "Drawn: " + ", ".join(lines) + ". " + " ".join(limb.notes)

    def _change(self, name: str, value: object) -> None:
        document = self._bench.document

        def work() -> None:
            case = self._changed(document.case, name, value)
            words = name.removesuffix("_deg").removesuffix("_mm").replace("_", " ")
            document.commit(f"Change {words}", case, merge_key=f"case.{name}")

        if not self._attempt(work):
            self.refresh()

    def _changed(self, case: Case, name: str, value: object) -> Case:
        if name == "side":
            return edits.set_side(case, next(one for one in get_args(Side) if one == value))
        if name == GROWING.name:
            return with_growth_plates(case, str(value))
        if name in ("label", *(field for field, _ in BENDS.values())):
            return edits.change_case(case, **{name: value})
        if name in RING_NAMES:
            return edits.change_case(case, ring=ring_with(case.ring, name, value))
        return edits.set_size(case, size_with(case.size, name, value), keep_mm=self._keeps_mm())

    def _keeps_mm(self) -> bool:
        return self.keep_mm.isChecked()


def side_words(limb: LimbKind, side: Side) -> str:
    """A limb and its side: "left arm", "pelvis, both sides"."""
    return f"{limb}, both sides" if side == "both" else f"{side} {limb}"


def side_field(limb: LimbKind) -> Field:
    """The sides that a limb can have."""
    sides = limb_kind(limb).sides
    choices = tuple(Choice(side, side_words(limb, side)) for side in sides)
    return Field("side", "Side", "choice", choices=choices)


def bend_field(joint: Joint) -> Field:
    """The angle of a joint, left open: as the limb's data say."""
    name, label = BENDS[joint.id]
    unset = f"{joint.spanned_deg:.0f}° if spanned"
    return Field(name, label, "optional number", "°", joint.least_deg, joint.most_deg, 5, unset)


def size_with(size: LimbSize, name: str, value: object) -> LimbSize:
    """The size with one property changed; `name` as on the card, None: not given."""
    if name == "stature":
        stature = value * MM_PER_CM if isinstance(value, float | int) else None
        return replace(size, stature_mm=stature)
    if name in ("sex", "mass_kg"):
        return replace(size, **{name: value})
    part, what = name.rsplit(" ", 1)
    number = float(value) if isinstance(value, float | int) else None
    if what == "girth":
        return replace(size, girths=_with_girth(size.girths, part, number))
    return replace(size, bones=_with_bone(size.bones, part, f"{what}_mm", number))


def _with_girth(girths: tuple[Girth, ...], segment: str, value: float | None) -> tuple[Girth, ...]:
    others = tuple(girth for girth in girths if girth.segment != segment)
    return others if value is None else (*others, Girth(segment=segment, girth_mm=value))


def _with_bone(
    bones: tuple[BoneSize, ...], bone: str, field: str, value: float | None
) -> tuple[BoneSize, ...]:
    others = tuple(size for size in bones if size.bone != bone)
    known = next((size for size in bones if size.bone == bone), BoneSize(bone=bone))
    changed = replace(known, **{field: value})
    if all(one is None for one in (changed.length_mm, changed.width_mm, changed.canal_mm)):
        return others
    return (*others, changed)


def _measured_bones(case: Case) -> tuple[str, ...]:
    """The long bones, whose length can be typed."""
    bones = limb_of_case(case).bones.values()
    return tuple(bone.name for bone in bones if bone.length_mm is not None)
