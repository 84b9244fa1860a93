"""The card of the selected thing: every property, by mouse and keyboard, and its figures."""

from functools import partial

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QWidget,
)

from fixplan.case import edits
from fixplan.case.limbs import limb_of_case
from fixplan.case.meaning import Drawn
from fixplan.case.records import Candidate, Case, Fracture, Pin
from fixplan.case.scalars import Record
from fixplan.case.within import refuse_beyond
from fixplan.desk.bench import Bench
from fixplan.desk.datum import counted_from_mm, counted_words
from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.panels.fields import FIELDS, Field
from fixplan.desk.panels.figures import beside_title, figures_of
from fixplan.desk.panels.inputs import INPUTS, Input, OptionalNumberInput
from fixplan.desk.panels.points import PointsTable, outlines_of
from fixplan.desk.sheet_hold import Attempt
from fixplan.desk.subjects import thing_of, title_of
from fixplan.desk.tab_order import give_keys

Part = int | None
LEVELS = ("level_mm", "from_mm", "to_mm")
CHANGES = {"bearing_deg": "Turn", "tilt_deg": "Tilt", "level_mm": "Move"}


class ThingCard(Card):
    """Properties of the selected thing. `delete_asked` and `line_up_asked` go to the window."""

    delete_asked = Signal()
    line_up_asked = Signal()

    def __init__(self, bench: Bench, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__("Selected", parent)
        self._bench = bench
        self._attempt = attempt
        self._built_for: object = None
        self._inputs: dict[tuple[Part, str], Input] = {}
        self._tables: list[PointsTable] = []
        self._figures: dict[str, QLabel] = {}
        self._form = QWidget()
        self._lines = QFormLayout()
        self._lines.setVerticalSpacing(2)
        self._lines.setHorizontalSpacing(10)
        self.body.addLayout(self._lines)
        self.body.addWidget(self._form)
        self._line_up = QPushButton("Line up with bar")
        self._delete = QPushButton("Delete")
        self.body.addLayout(self._buttons())
        self._later = next_turn(self, self.refresh)
        bench.document.shown_changed.connect(self._later.start)
        bench.selection.changed.connect(self.refresh)

    def input_of(self, name: str, part: Part = None) -> Input:
        """The input of a property, for those who need to find it."""
        return self._inputs[(part, name)]

    def take_focus(self) -> None:
        """Give the keys to the first input."""
        for made in self._inputs.values():
            give_keys(made.editor())
            return

    def refresh(self) -> None:
        """Show the selected thing as it is now."""
        thing = thing_of(self._bench.document.shown, self._bench.selection.subject)
        if thing is None:
            return
        shape = _shape_of(thing)
        if shape != self._built_for:
            self._built_for = shape
            self._build(thing)
        self.entitle(title_of(thing), beside_title(self._bench.document.shown, thing))
        for (part, name), shown in self._inputs.items():
            shown.show_value(self._shown_value(_piece(thing, part), name))
        for table in self._tables:
            table.show_thing(thing)
        self._show_figures(thing)
        self._line_up.setVisible(isinstance(thing, Pin))

    def _shown_value(self, record: Record, name: str) -> object:
        """A property as it is shown: a level from where its bone's levels are counted."""
        value: object = getattr(record, name)
        if name in LEVELS and isinstance(value, float):
            return value - self._counted_from_mm(record)
        return value

    def _counted_from_mm(self, record: Record) -> float:
        limb = limb_of_case(self._bench.document.shown)
        return counted_from_mm(limb, str(getattr(record, "bone", "")))

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        self._line_up.setToolTip("Move this pin so that a bar's clamp reaches it")
        self._delete.setToolTip("Take this away (Delete)")
        self._line_up.clicked.connect(self.line_up_asked)
        self._delete.clicked.connect(self.delete_asked)
        row.addWidget(self._line_up)
        row.addStretch(1)
        row.addWidget(self._delete)
        return row

    def _build(self, thing: Drawn) -> None:
        """Lay out the inputs for this kind of thing."""
        self._inputs, self._tables = {}, []
        fresh = QWidget()
        form = QFormLayout(fresh)
        form.setContentsMargins(0, 0, 0, 0)
        form.setVerticalSpacing(5)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self._add_fields(form, thing, None)
        if isinstance(thing, Candidate):
            for number, piece in enumerate(thing.parts):
                form.addRow(soft_label(_part_words(thing, number)))
                self._add_fields(form, piece, number)
        for outline in outlines_of(thing):
            table = PointsTable(self._bench, self._attempt, outline)
            self._tables.append(table)
            form.addRow(table)
        self.body.replaceWidget(self._form, fresh)
        self._form.hide()
        self._form.deleteLater()
        self._form = fresh

    def _add_fields(self, form: QFormLayout, record: Record, part: Part) -> None:
        counted = _counted_words(self._bench.document.shown, record)
        if counted:
            form.addRow(soft_label(counted))
        for field in _fields_of(record):
            made = INPUTS[field.kind](field, partial(self._change, field, part))
            if isinstance(made, OptionalNumberInput):
                made.suggest(150.0 if field.name == "length_mm" else 20.0)
            self._inputs[(part, field.name)] = made
            label = QLabel("" if field.kind == "flag" else field.label)
            label.setBuddy(made.editor())
            form.addRow(label, made)

    def _change(self, field: Field, part: Part, value: object) -> None:
        """Make the user's change to one property; one that cannot be made is shown as it was."""
        subject = self._bench.selection.subject
        if subject is None:
            return
        document = self._bench.document
        if field.name in LEVELS and isinstance(value, float):
            value += self._counted_from_mm(_piece(edits.found(document.case, subject), part))

        def work() -> None:
            if part is None:
                _refuse_off_bone(document.case, subject, field, value)
                case = edits.change(document.case, subject, **{field.name: value})
            else:
                case = edits.change_part(document.case, subject, part, **{field.name: value})
            text = f"{CHANGES.get(field.name, 'Change')} {subject.replace('-', ' ')}"
            document.commit(text, case, merge_key=f"{subject}.{part}.{field.name}")

        if not self._attempt(work):
            self.refresh()

    def _show_figures(self, thing: Drawn) -> None:
        """Derived figures, one line each; labels are kept and only their words change."""
        lines = figures_of(self._bench.document.shown, thing)
        for name in [name for name in self._figures if name not in lines]:
            self._lines.removeRow(self._figures.pop(name))
        for name, words in lines.items():
            if name not in self._figures:
                self._figures[name] = _wrapping_label()
                self._lines.addRow(soft_label(name), self._figures[name])
            self._figures[name].setText(words)


def _wrapping_label() -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    return label


def next_turn(owner: QObject, work: object) -> QTimer:
    """A timer that runs work once, when Qt has nothing else to do."""
    timer = QTimer(owner)
    timer.setSingleShot(True)
    timer.setInterval(0)
    timer.timeout.connect(work)
    return timer


def _shape_of(thing: Drawn) -> object:
    """What decides which inputs are laid out: the kind of thing, its bone, parts and outlines."""
    parts = (
        tuple((type(piece), getattr(piece, "bone", "")) for piece in thing.parts)
        if isinstance(thing, Candidate)
        else ()
    )
    kind = getattr(thing, "kind", "") if not isinstance(thing, Pin | Candidate) else ""
    return (
        type(thing),
        str(getattr(thing, "bone", "")),
        parts,
        kind if type(thing).__name__ == "Support" else "",
        outlines_of(thing),
    )


def _refuse_off_bone(case: Case, subject: str, field: Field, value: object) -> None:
    """Raises EditError for a level of a pin or fracture that is not on its bone."""
    thing = edits.found(case, subject)
    if field.name in LEVELS and isinstance(thing, Pin | Fracture) and isinstance(value, float):
        refuse_beyond(case, thing.bone, value)


def _piece(thing: Drawn, part: Part) -> Record:
    return thing.parts[part] if isinstance(thing, Candidate) and part is not None else thing


def _fields_of(record: Record) -> tuple[Field, ...]:
    fields = FIELDS[type(record)]
    if type(record).__name__ == "Support" and getattr(record, "kind", "") != "splint":
        return ()
    return fields


def _counted_words(case: Case, record: Record) -> str:
    """From where the levels of a thing are counted; empty for one without levels."""
    if not any(field.name in LEVELS for field in _fields_of(record)):
        return ""
    limb = limb_of_case(case)
    bone = limb.bones.get(str(getattr(record, "bone", "")))
    if bone is not None:
        return counted_words(limb, bone.segment, bone.name)
    return counted_words(limb, str(getattr(record, "segment", "")))


def _part_words(candidate: Candidate, number: int) -> str:
    """A part by its kind, and which of that kind where there are several: "Plate 2 of 2"."""
    kind = type(candidate.parts[number])
    words = {"FreeOutline": "Free outline"}.get(kind.__name__, kind.__name__)
    alike = [index for index, part in enumerate(candidate.parts) if type(part) is kind]
    return f"{words} {alike.index(number) + 1} of {len(alike)}" if len(alike) > 1 else words
