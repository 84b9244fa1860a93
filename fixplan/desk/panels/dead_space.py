"""The card "Dead space": beads or spacer, cement, drug with published ranges, what to ask."""

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fixplan.case import care_edits
from fixplan.case.dead_space_records import DeadSpace, DrugInCement
from fixplan.case.records import Case
from fixplan.desk.bench import Bench
from fixplan.desk.panels.care_fields import answer_fields, space_fields
from fixplan.desk.panels.editing_card import EditingCard, clear, signed, told
from fixplan.desk.panels.inputs import ChoiceBox
from fixplan.desk.panels.record_form import RecordForm, RecordList
from fixplan.desk.sheet_hold import Attempt
from fixplan.errors import EditError
from fixplan.trips.drugs import antibiotics, drug_name, typed_amount
from fixplan.trips.space_prompts import space_prompts
from fixplan.trips.space_words import headline, space_lines

TITLE = "Dead space"
BEADS_ONLY = ("strand_mm", "strands", "bead_mm", "packing_percent", "beads_in", "beads_out")
SPACER_ONLY = ("bears_load",)
FORMS = (("powder", "powder"), ("solution", "solution"), ("not known", "form not known"))


class DeadSpaceCard(EditingCard):
    """Each change is one edit of the case; what follows from it stands below."""

    def __init__(self, bench: Bench, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__(TITLE, bench, attempt, parent)
        self.listed = RecordList("dead space", self._change, self.add, self.take_out, self.refresh)
        self.rows.addWidget(self.listed)
        self._add_drugs()
        self._add_answers()
        self.lines = told("What is worked out for this dead space")
        self.prompts = told("What this dead space asks", is_soft=False)
        self.rows.addWidget(self.lines)
        self.rows.addWidget(self.prompts)

    def take_focus(self) -> None:
        """Give the keys to the first control."""
        (self.listed.chooser if self._spaces() else self.listed.add).setFocus()

    def add(self) -> None:
        """Add a dead space."""
        new = DeadSpace(id="dead-space-1")
        self.edit("Add a dead space", lambda: care_edits.add_care(self.case, new))

    def take_out(self) -> None:
        """Take the chosen dead space out."""
        id_ = self.listed.chosen
        self.edit("Take out a dead space", lambda: care_edits.remove_care(self.case, id_))

    def refresh(self) -> None:
        """Show the case as it is now."""
        if not self._document.is_open:
            return
        case, spaces = self.case, self._spaces()
        self.listed.show_list([(one.id, f"{one.id.replace('-', ' ')}") for one in spaces])
        space = self._space()
        self.entitle(TITLE, headline(case, space) if space else "none planned")
        for part in (self._drugs, self._asked, self.lines, self.prompts):
            part.setVisible(space is not None)
        if space is None:
            return
        self.listed.form.show_record(space_fields(case), space)
        self.listed.form.show_only(SPACER_ONLY if space.device == "beads" else BEADS_ONLY)
        self._show_drugs(space)
        self.answers.show_record(answer_fields(), case.answers)
        self.lines.setText("\n".join(space_lines(case, space)))
        self.prompts.setText(signed(space_prompts(case, space)))

    def _spaces(self) -> tuple[DeadSpace, ...]:
        return self._document.case.dead_spaces if self._document.is_open else ()

    def _space(self) -> DeadSpace | None:
        return next((one for one in self._spaces() if one.id == self.listed.chosen), None)

    def _add_drugs(self) -> None:
        """The drugs in one packet, and a line to add one."""
        self._drugs = QWidget()
        column = QVBoxLayout(self._drugs)
        column.setContentsMargins(0, 4, 0, 0)
        head = QLabel("Drug in one packet")
        column.addWidget(head)
        self._drug_rows = QVBoxLayout()
        column.addLayout(self._drug_rows)
        self.drug = ChoiceBox()
        self.drug.setAccessibleName("Drug to add")
        self.drug.setEditable(False)
        for one in antibiotics().drug:
            self.drug.addItem(one.name, one.id)
        self.amount = QLineEdit()
        self.amount.setAccessibleName("Amount in one packet, with g or mg")
        self.amount.setPlaceholderText("such as 2.4 g")
        self.amount.returnPressed.connect(self.add_drug)
        self.form = ChoiceBox()
        self.form.setAccessibleName("Powder or solution")
        for value, words in FORMS:
            self.form.addItem(words, value)
        self.bought = QCheckBox("in the cement as bought")
        self.bought.setAccessibleName("In the cement as bought")
        self.put_in = QPushButton("Put in")
        self.put_in.setAccessibleName("Put the drug in")
        self.put_in.setAutoDefault(False)
        self.put_in.clicked.connect(self.add_drug)
        grid = QGridLayout()
        grid.addWidget(self.drug, 0, 0)
        grid.addWidget(self.amount, 0, 1)
        grid.addWidget(self.form, 1, 0)
        grid.addWidget(self.put_in, 1, 1)
        grid.addWidget(self.bought, 2, 0, 1, 2)
        column.addLayout(grid)
        self.rows.addWidget(self._drugs)

    def _add_answers(self) -> None:
        """Questions about the patient, folded away under a button."""
        self._asked = QWidget()
        column = QVBoxLayout(self._asked)
        column.setContentsMargins(0, 4, 0, 0)
        self.ask = QPushButton("About the patient…")
        self.ask.setCheckable(True)
        self.ask.setAutoDefault(False)
        self.ask.setAccessibleName("Questions about the patient")
        self.answers = RecordForm(self._answer)
        self.answers.hide()
        self.ask.toggled.connect(self.answers.setVisible)
        column.addWidget(self.ask, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.answers)
        self.rows.addWidget(self._asked)

    def add_drug(self) -> None:
        """Put the typed amount of the chosen drug into the chosen dead space."""

        def changed() -> Case:
            space = self._chosen()
            name = str(self.drug.currentData())
            amount, unit = typed_amount(self.amount.text(), drug_name(name))
            new = DrugInCement(
                drug=name,
                amount=amount,
                unit=unit,
                preloaded=self.bought.isChecked(),
                form=self.form.currentData(),
            )
            return care_edits.change_care(self.case, space.id, drugs=(*space.drugs, new))

        if self.edit("Put a drug in", changed):
            self.amount.clear()
            self.bought.setChecked(False)

    def _show_drugs(self, space: DeadSpace) -> None:
        clear(self._drug_rows)
        for place, one in enumerate(space.drugs):
            self._drug_rows.addWidget(self._drug_row(place, one))

    def _drug_row(self, place: int, one: DrugInCement) -> QWidget:
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        how = "in the cement as bought" if one.preloaded else one.form
        words = QLabel(f"{drug_name(one.drug)} {one.amount:g} {one.unit}, {how}")
        words.setWordWrap(True)
        out = QPushButton("Take out")
        out.setAutoDefault(False)
        out.setAccessibleName(f"Take {drug_name(one.drug)} out")
        out.clicked.connect(partial(self._take_drug_out, place))
        line.addWidget(words, 1)
        line.addWidget(out)
        return row

    def _take_drug_out(self, place: int, _: bool = False) -> None:
        def changed() -> Case:
            space = self._chosen()
            kept = space.drugs[:place] + space.drugs[place + 1 :]
            return care_edits.change_care(self.case, space.id, drugs=kept)

        self.edit("Take a drug out", changed)

    def _chosen(self) -> DeadSpace:
        space = self._space()
        if space is None:
            raise EditError("There is no dead space; add one first")
        return space

    def _change(self, name: str, value: object) -> None:
        id_ = self.listed.chosen
        fields = {name: value}
        if name == "volume_ml" and value is not None:
            fields["drawn"] = None
        if name == "drawn" and value is not None:
            fields["volume_ml"] = None
        self.edit(
            "Change a dead space",
            lambda: care_edits.change_care(self.case, id_, **fields),
            f"{id_}.{name}",
        )

    def _answer(self, name: str, value: object) -> None:
        self.edit(
            "Answer about the patient",
            lambda: care_edits.change_answers(self.case, **{name: value}),
        )
