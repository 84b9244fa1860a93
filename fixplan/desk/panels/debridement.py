"""The card "Debridement and cover": what was found and done, and how the wound is covered."""

from functools import partial

from msgspec.structs import replace
from PySide6.QtWidgets import QComboBox, QLabel, QPushButton, QVBoxLayout, QWidget

from fixplan.case import care_edits
from fixplan.case.dead_space_records import Cover
from fixplan.case.debridement_records import Debridement, MuscleSigns
from fixplan.case.records import Case
from fixplan.desk.bench import Bench
from fixplan.desk.panels.care_fields import cover_fields, debridement_fields, muscle_fields
from fixplan.desk.panels.editing_card import EditingCard, signed, told
from fixplan.desk.panels.inputs import ChoiceBox
from fixplan.desk.panels.record_form import RecordForm, RecordList
from fixplan.desk.sheet_hold import Attempt
from fixplan.errors import EditError
from fixplan.trips.care_words import cover_lines, debridement_lines
from fixplan.trips.cover import cover_prompts
from fixplan.trips.debridement import (
    carried_on,
    compartment_id,
    compartment_words,
    compartments,
    debridement_prompts,
    verdict,
)
from fixplan.trips.looking import look_after, with_look

TITLE = "Debridement and cover"
ASKED_OF: dict[str, tuple[str, ...]] = {
    "primary closure": ("tension", "degloving", "skin_loss"),
    "skin graft": ("degloving", "skin_loss", "bare_bone"),
    "flap": ("bulk_mm",),
    "vacuum": ("vacuum_over", "border_mm"),
    "bead pouch": ("border_mm",),
}
"""What each kind of cover asks beside kind and note; the others ask degloving and skin loss."""
HIDDEN = (
    "vacuum_over",
    "tension",
    "degloving",
    "skin_loss",
    "bare_bone",
    "bulk_mm",
    "border_mm",
)


class DebridementCard(EditingCard):
    """Each change is one edit of the case; what follows from it stands below."""

    def __init__(self, bench: Bench, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__(TITLE, bench, attempt, parent)
        self.listed = RecordList("debridement", self._change, self.add, self.take_out, self.refresh)
        self.rows.addWidget(QLabel("Debridement"))
        self.rows.addWidget(self.listed)
        self._add_muscle()
        self.lines = told("What the debridement found")
        self.prompts = told("What the debridement leaves open", is_soft=False)
        self.carry = QPushButton("Take grade, injury and space into the plan")
        self.carry.setAutoDefault(False)
        self.carry.clicked.connect(self.carry_on)
        self.look = QPushButton("Plan the further look as a trip")
        self.look.setAutoDefault(False)
        self.look.setToolTip("A second look at the earliest published time after this debridement")
        self.look.clicked.connect(self.plan_look)
        for widget in (self.lines, self.prompts, self.look, self.carry):
            self.rows.addWidget(widget)
        self._add_cover()

    def _add_muscle(self) -> None:
        """One compartment at a time, with its four signs."""
        self._muscle = QWidget()
        column = QVBoxLayout(self._muscle)
        column.setContentsMargins(0, 4, 0, 0)
        self.compartment = ChoiceBox()
        self.compartment.setAccessibleName("Compartment of muscle")
        self.compartment.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.compartment.setMinimumContentsLength(12)
        self.compartment.activated.connect(lambda _: self.refresh())
        self.signs = RecordForm(self._change_sign)
        column.addWidget(QLabel("Muscle, by compartment"))
        column.addWidget(self.compartment)
        column.addWidget(self.signs)
        self.rows.addWidget(self._muscle)

    def _add_cover(self) -> None:
        self.covers = RecordList(
            "cover", self._change_cover, self.add_cover, self.take_cover_out, self.refresh
        )
        self.cover_told = told("Planned cover")
        self.cover_asks = told("What the cover asks", is_soft=False)
        self.rows.addWidget(QLabel("Cover"))
        self.rows.addWidget(self.covers)
        self.rows.addWidget(self.cover_told)
        self.rows.addWidget(self.cover_asks)

    def take_focus(self) -> None:
        """Give the keys to the first control."""
        self.listed.add.setFocus()

    def add(self) -> None:
        """Add a debridement, about the first fracture and injury."""
        first = self.case.fractures[0].id if self.case.fractures else None
        injury = self.case.injuries[0].id if self.case.injuries else None
        new = Debridement(id="debridement-1", fracture=first, injury=injury)
        self.edit("Add a debridement", lambda: care_edits.add_care(self.case, new))

    def take_out(self) -> None:
        """Take the chosen debridement out."""
        id_ = self.listed.chosen
        self.edit("Take out a debridement", lambda: care_edits.remove_care(self.case, id_))

    def add_cover(self) -> None:
        """Add planned cover."""
        self.edit("Add cover", lambda: care_edits.add_care(self.case, Cover(id="cover-1")))

    def take_cover_out(self) -> None:
        """Take the chosen cover out."""
        id_ = self.covers.chosen
        self.edit("Take out cover", lambda: care_edits.remove_care(self.case, id_))

    def carry_on(self) -> None:
        """Take what the debridement found into the plan."""
        self.edit("Take a debridement into the plan", lambda: carried_on(self.case, self._chosen()))

    def plan_look(self) -> None:
        """Add the trip that the record asks for."""
        self.edit("Plan the further look", lambda: with_look(self.case, self._chosen()))

    def refresh(self) -> None:
        """Show the case as it is now."""
        if self._document.is_open:
            self._show_debridement()
            self._show_cover()
            self._show_title()

    def _show_title(self) -> None:
        count, covers = len(self.case.debridements), self.case.cover
        told_ = "1 recorded" if count == 1 else f"{count} recorded"
        self.entitle(TITLE, f"{told_}; {covers[-1].kind if covers else 'no cover planned'}")

    def _show_debridement(self) -> None:
        case = self.case
        self.listed.show_list([(one.id, one.id.replace("-", " ")) for one in case.debridements])
        record = self._record()
        for part in (self._muscle, self.lines, self.prompts, self.carry):
            part.setVisible(record is not None)
        self.look.setVisible(
            record is not None and record.look_again == "yes" and look_after(case, record) is None
        )
        if record is None:
            return
        self.listed.form.show_record(debridement_fields(case), record)
        self._list_compartments(record)
        self.signs.show_record(muscle_fields(), self._signs(record))
        self.lines.setText("\n".join(debridement_lines(case, record)))
        self.prompts.setText(signed(debridement_prompts(case, record)))

    def _show_cover(self) -> None:
        case = self.case
        self.covers.show_list([(one.id, f"{one.kind} ({one.id})") for one in case.cover])
        cover = self._cover()
        self.cover_told.setVisible(cover is not None)
        self.cover_asks.setVisible(cover is not None)
        if cover is None:
            return
        self.covers.form.show_record(cover_fields(case), cover)
        asked = ASKED_OF.get(cover.kind, ("degloving", "skin_loss"))
        self.covers.form.show_only([name for name in HIDDEN if name not in asked])
        self.cover_told.setText("\n".join(cover_lines(cover)))
        self.cover_asks.setText(signed(cover_prompts(case, cover)))
        self.cover_asks.setVisible(bool(self.cover_asks.text()))

    def _list_compartments(self, record: Debridement) -> None:
        """All compartments of the limb, those already judged with their verdict."""
        found = {one.compartment: verdict(one) for one in record.muscles}
        kept = self.compartment.currentData()
        self.compartment.clear()
        for group in compartments(self.case):
            for name in group.names:
                id_ = compartment_id(group.segment, name)
                verdict_ = f": {found[id_]}" if id_ in found else ""
                self.compartment.addItem(f"{compartment_words(id_)}{verdict_}", id_)
        at = self.compartment.findData(kept if kept is not None else self._first())
        self.compartment.setCurrentIndex(max(at, 0))

    def _first(self) -> str:
        """The first compartment of the segment that is broken."""
        from fixplan.case.limbs import segment_of

        broken = [segment_of(self.case, one.bone) for one in self.case.fractures]
        for group in compartments(self.case):
            if group.segment in broken:
                return compartment_id(group.segment, group.names[0])
        return ""

    def _signs(self, record: Debridement) -> MuscleSigns:
        id_ = str(self.compartment.currentData())
        known = (one for one in record.muscles if one.compartment == id_)
        return next(known, MuscleSigns(compartment=id_))

    def _change_sign(self, name: str, value: object) -> None:
        def changed() -> Case:
            record = self._chosen()
            signs = self._signs(record)
            others = tuple(one for one in record.muscles if one.compartment != signs.compartment)
            muscles = (*others, replace(signs, **{name: value}))
            return care_edits.change_care(self.case, record.id, muscles=muscles)

        self.edit("Judge muscle", changed)

    def _record(self) -> Debridement | None:
        chosen = self.listed.chosen
        return next((one for one in self.case.debridements if one.id == chosen), None)

    def _chosen(self) -> Debridement:
        record = self._record()
        if record is None:
            raise EditError("There is no debridement; add one first")
        return record

    def _cover(self) -> Cover | None:
        return next((one for one in self.case.cover if one.id == self.covers.chosen), None)

    def _change(self, name: str, value: object) -> None:
        self._change_of(self.listed.chosen, "Change a debridement", name, value)

    def _change_cover(self, name: str, value: object) -> None:
        self._change_of(self.covers.chosen, "Change cover", name, value)

    def _change_of(self, id_: str, text: str, name: str, value: object) -> None:
        work = partial(care_edits.change_care, self.case, id_, **{name: value})
        self.edit(text, work, f"{id_}.{name}")
