"""The question with which a case begins: which limb, which side, how large."""

from typing import get_args

from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QRadioButton,
    QWidget,
)

from fixplan.case.growing import GROWTH_PLATES, with_growth_plates
from fixplan.case.records import Case, LimbSize
from fixplan.case.ring_records import RingInjury
from fixplan.case.rings import ring_patterns
from fixplan.case.scalars import LimbKind, Sex, Side
from fixplan.frame.growing import is_asked
from fixplan.limb.kinds import limb_kind

KINDS: tuple[LimbKind, ...] = get_args(LimbKind)
LEAST_CM, MOST_CM = 50.0, 250.0
MM_PER_CM = 10.0


class NewCaseDialog(QDialog):
    """Limb, side and stature of a new case; the rest comes later."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("New case")
        form = QFormLayout(self)
        form.setVerticalSpacing(9)
        self.limb = QComboBox()
        for name in KINDS:
            self.limb.addItem(limb_kind(name).words or limb_kind(name).title, name)
        self.limb.setAccessibleName("Limb")
        form.addRow("Limb", self.limb)
        self.right, self.left, self.both = map(QRadioButton, ("&Right", "&Left", "&Both"))
        form.addRow("Side", self._sides())
        self.stature = QLineEdit()
        self.stature.setPlaceholderText("cm; leave open if not known")
        self.stature.setAccessibleName("Stature in cm")
        form.addRow("Stature, cm", self.stature)
        self.sex = QComboBox()
        self.sex.setAccessibleName("Sex")
        self.sex.addItems(["not given", "female", "male"])
        form.addRow("Sex", self.sex)
        self._add_growth(form)
        self.ring = QComboBox()
        self.ring.setAccessibleName("Ring")
        self.ring.addItem("not told yet", "")
        for key, pattern in ring_patterns().items():
            self.ring.addItem(pattern.name, key)
        self.ring_label = QLabel("Ring")
        form.addRow(self.ring_label, self.ring)
        self.said = QLabel("")
        self.said.setWordWrap(True)
        form.addRow(self.said)
        self.buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        self.start = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        self.start.setText("Start")
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        form.addRow(self.buttons)
        self.stature.textChanged.connect(self._judge)
        self.limb.currentIndexChanged.connect(self._offer_sides)
        self.setMinimumWidth(380)
        self._offer_sides()

    def _add_growth(self, form: QFormLayout) -> None:
        """The question that a small patient raises."""
        self.growth = QComboBox()
        self.growth.setAccessibleName("Growth plates")
        self.growth.addItems(GROWTH_PLATES)
        self.growth_label = QLabel("&Growth plates")
        self.growth_label.setBuddy(self.growth)
        form.addRow(self.growth_label, self.growth)

    @classmethod
    def ask(cls, parent: QWidget | None) -> Case | None:
        """The new case, or None."""
        dialog = cls(parent)
        return dialog.case() if dialog.exec() == QDialog.DialogCode.Accepted else None

    def case(self) -> Case:
        """What was chosen. Raises ValueError while no side is."""
        side = self._side()
        if side is None:
            raise ValueError("no side is chosen")
        sexes: tuple[Sex, ...] = ("not given", "female", "male")
        stature = self._stature_cm()
        size = LimbSize(
            sex=sexes[self.sex.currentIndex()],
            stature_mm=None if stature is None else MM_PER_CM * stature,
        )
        case = Case(limb=self._limb(), side=side, size=size, ring=self._ring())
        asked = is_asked(size.stature_mm)
        return with_growth_plates(case, self.growth.currentText()) if asked else case

    def _ring(self) -> RingInjury:
        """What of the ring is torn, where the limb has one and it was told."""
        key = self.ring.currentData()
        has_ring = limb_kind(self._limb()).has_both_sides
        return ring_patterns()[key].ring if has_ring and key else RingInjury()

    def _limb(self) -> LimbKind:
        return KINDS[self.limb.currentIndex()]

    def _side(self) -> Side | None:
        return next((side for side, button in self._buttons() if button.isChecked()), None)

    def _buttons(self) -> tuple[tuple[Side, QRadioButton], ...]:
        return ("right", self.right), ("left", self.left), ("both", self.both)

    def _sides(self) -> QWidget:
        """No side is chosen beforehand: the wrong one must not slip through."""
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        self._group = QButtonGroup(self)
        for _, button in self._buttons():
            self._group.addButton(button)
            row.addWidget(button)
            button.toggled.connect(self._judge)
        row.addStretch(1)
        return holder

    def _offer_sides(self) -> None:
        """The sides that the limb has; one that it lacks is not kept."""
        offered = limb_kind(self._limb()).sides
        for part in (self.ring, self.ring_label):
            part.setVisible(limb_kind(self._limb()).has_both_sides)
        self._group.setExclusive(False)
        for side, button in self._buttons():
            button.setVisible(side in offered)
            if side not in offered:
                button.setChecked(False)
        self._group.setExclusive(True)
        self._judge()

    def _stature_cm(self) -> float | None:
        text = self.stature.text().strip().replace(",", ".")
        return float(text) if text else None

    def _ask_growth(self, stature_cm: float | None) -> None:
        """Ask for the growth plates of a patient who may still grow."""
        asked = stature_cm is not None and is_asked(MM_PER_CM * stature_cm)
        for part in (self.growth, self.growth_label):
            part.setVisible(asked)

    def _judge(self) -> None:
        """Say what is still missing; only then can the case start."""
        words = "" if self._side() in get_args(Side) else "Choose the side."
        try:
            stature = self._stature_cm()
        except ValueError:
            words = "The stature is not a number."
        else:
            if stature is not None and not LEAST_CM <= stature <= MOST_CM:
                words = f"The stature is in cm, from {LEAST_CM:.0f} to {MOST_CM:.0f}."
            self._ask_growth(None if words else stature)
        self.said.setText(words)
        self.start.setEnabled(not words)
