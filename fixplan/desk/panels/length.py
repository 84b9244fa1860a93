"""The card about length and turn: how short, how far to pull, and against what the frame holds."""

from functools import partial

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFormLayout, QLabel, QWidget

from fixplan.case import edits
from fixplan.desk.bench import Bench
from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.panels.fields import Field
from fixplan.desk.panels.inputs import INPUTS, Input
from fixplan.desk.panels.thing import next_turn
from fixplan.desk.sheet_hold import Attempt
from fixplan.frame.limb_length import length_lines

NOT_GIVEN = "not given"
FIELDS = (
    Field("shortening_mm", "Short on arrival", "optional number", "mm", -300, 300, 1, NOT_GIVEN),
    Field(
        "correction_mm",
        "Pull out by",
        "optional number",
        "mm",
        -300,
        300,
        1,
        NOT_GIVEN,
        tip="Below 0: shortened on purpose, for a vessel or a wound",
    ),
    Field(
        "rotation_deg",
        "Turn outward by",
        "optional number",
        "°",
        -180,
        180,
        1,
        NOT_GIVEN,
        tip="The distal part; below 0: inward",
    ),
    Field("other_limb_mm", "Other limb measures", "optional number", "mm", 50, 1500, 1, NOT_GIVEN),
    Field(
        "traction_n",
        "Hold against",
        "optional number",
        "N",
        0,
        1000,
        5,
        "usual pull",
        tip="The pull along the limb that the frame is to hold",
    ),
)


class LengthCard(Card):
    """Each change is one edit of the case."""

    def __init__(self, bench: Bench, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__("Length and turn", parent)
        self._bench, self._attempt = bench, attempt
        self._inputs: dict[str, Input] = {}
        form = QFormLayout()
        form.setVerticalSpacing(5)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        for field in FIELDS:
            made = INPUTS[field.kind](field, partial(self._change, field.name))
            self._inputs[field.name] = made
            label = QLabel(field.label)
            label.setBuddy(made.editor())
            form.addRow(label, made)
        self.body.addLayout(form)
        self.words = soft_label("")
        self.body.addWidget(self.words)
        self._later = next_turn(self, self.refresh)
        bench.document.case_changed.connect(self._later.start)

    def input_of(self, name: str) -> Input:
        """The input of a property, for those who need to find it."""
        return self._inputs[name]

    def refresh(self) -> None:
        """Show the case as it is now."""
        if self._bench.document.is_open:
            case = self._bench.document.case
            for name, made in self._inputs.items():
                made.show_value(getattr(case.length, name))
            self.words.setText(" ".join(length_lines(case)))

    def _change(self, name: str, value: object) -> None:
        document = self._bench.document

        def work() -> None:
            number = float(value) if isinstance(value, int | float) else None
            length = replace(document.case.length, **{name: number})
            case = edits.change_case(document.case, length=length)
            document.commit("Change length and turn", case, merge_key=f"length.{name}")

        if not self._attempt(work):
            self.refresh()
