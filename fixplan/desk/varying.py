"""The card "Vary one thing": choose a thing of the frame, see stiffness against it."""

from collections.abc import Sequence
from typing import get_args

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QWidget

from fixplan.checks.texts import listed
from fixplan.desk.feature import Feature, Room
from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.panels.inputs import ChoiceBox
from fixplan.desk.panels.vary_plot import VaryPlot
from fixplan.errors import UnstableFrame
from fixplan.frame.bodies import gaps
from fixplan.frame.hold import has_frame
from fixplan.frame.hold_words import NO_FRAME
from fixplan.frame.varying import Thing, varied

WAIT_MS = 350
NOTHING = "choose one thing"
HELP = (
    "All else stays as drawn; 100 % is the present frame. Hollow: so would not be done. "
    "Comparison only, within the limits told under How firmly it holds."
)


class DeskFeature(Feature):
    """One card; nothing is worked out until a thing is chosen."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        self.card = VaryCard()
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(WAIT_MS)
        self._later.timeout.connect(self.refresh)
        self.card.thing.currentIndexChanged.connect(self.refresh)
        self.card.gap.currentIndexChanged.connect(self.refresh)
        room.bench.document.case_changed.connect(self._later.start)

    def cards(self) -> Sequence[QWidget]:
        """The card."""
        return (self.card,)

    def begin(self) -> None:
        """Another case has been opened."""
        self.card.thing.setCurrentIndex(0)
        self.refresh()

    def vary_one_thing(self) -> None:
        """Give the card the keys; what is varied first is the pins' diameter."""
        if self.card.thing.currentIndex() == 0:
            self.card.thing.setCurrentIndex(1)
        self.card.thing.setFocus()
        QTimer.singleShot(0, self.card.come_into_view)

    def refresh(self) -> None:
        """Work out what is chosen, for the case as it stands."""
        document = self.room.bench.document
        thing: Thing | None = self.card.thing.currentData()
        if thing is None or not document.is_open:
            self.card.show_nothing("")
            return
        case = document.case
        if not has_frame(case):
            self.card.show_nothing(NO_FRAME)
            return
        try:
            found = varied(case, thing)
        except UnstableFrame as problem:
            self.card.show_nothing(str(problem))
            return
        if len(found.points) < 2:
            self.card.show_nothing("This frame has nothing of the kind to vary.")
            return
        self.card.show_gaps([gap.words for gap in gaps(case)])
        self.card.plot.show_varied(found, max(self.card.gap.currentIndex(), 0))
        self.card.said.setText(f"{HELP} {self.card.against()}".strip())
        self.card.said.setVisible(True)


class VaryCard(Card):
    """The choice, the gap where there is more than one, the plot and what speaks against."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Vary one thing", parent)
        self.thing = ChoiceBox()
        self.thing.setAccessibleName("Vary")
        self.thing.addItem(NOTHING, None)
        for name in get_args(Thing):
            self.thing.addItem(name, name)
        self.gap = ChoiceBox()
        self.gap.setAccessibleName("Of the gap")
        self.gap.hide()
        row = QHBoxLayout()
        row.addWidget(self.thing)
        row.addWidget(self.gap, 1)
        self.body.addLayout(row)
        self.plot = VaryPlot()
        self.plot.hide()
        self.body.addWidget(self.plot)
        self.said = soft_label("")
        self.said.hide()
        self.body.addWidget(self.said)

    def come_into_view(self) -> None:
        """Scroll the card into sight, wherever it is held."""
        holder = self.parentWidget()
        while holder is not None and not isinstance(holder, QScrollArea):
            holder = holder.parentWidget()
        if holder is not None:
            holder.ensureWidgetVisible(self)

    def show_nothing(self, why: str) -> None:
        """No plot, and why there is none."""
        self.plot.show_varied(None, 0)
        self.gap.hide()
        self.said.setText(why)
        self.said.setVisible(bool(why))

    def show_gaps(self, words: list[str]) -> None:
        """Offer the gaps of the frame; one alone is not offered."""
        listed = [self.gap.itemText(n) for n in range(self.gap.count())]
        if listed != words:
            self.gap.blockSignals(True)
            self.gap.clear()
            self.gap.addItems(words)
            self.gap.blockSignals(False)
        self.gap.setVisible(len(words) > 1)

    def against(self) -> str:
        """What speaks against some variants, those with the same reason together."""
        found = self.plot.varied
        reasons: dict[str, list[str]] = {}
        for point in () if found is None else found.points:
            if point.variant.against:
                reasons.setdefault(point.variant.against, []).append(point.variant.words)
        return " ".join(f"{listed(words)}: {why}." for why, words in reasons.items())
