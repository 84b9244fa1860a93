"""The status bar: recovery copy, snapping and the place under the mouse; side, size and unit."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QStatusBar

from fixplan.desk.bench import Bench
from fixplan.desk.datum import has_rays, place_words, ray_words
from fixplan.desk.drawn import Place
from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.panels.case_card import side_words


class ShortenedLabel(QLabel):
    """Words that end in … where there is too little room for them; the tip tells them all."""

    def show_words(self, words: str) -> None:
        """Show other words."""
        self.setText(words)
        self.setToolTip(words)

    @guarded_with(QSize())
    def minimumSizeHint(self) -> QSize:
        """It gives way before the others do."""
        return QSize(0, super().minimumSizeHint().height())

    @guarded
    def paintEvent(self, event: QPaintEvent) -> None:
        """As many of the words as fit."""
        del event
        painter = QPainter(self)
        inner = self.contentsRect()
        words = self.fontMetrics().elidedText(
            self.text(), Qt.TextElideMode.ElideRight, inner.width()
        )
        painter.setPen(self.palette().windowText().color())
        painter.drawText(inner, Qt.AlignmentFlag.AlignVCenter, words)
        painter.end()


class StatusWords:
    """What the status bar says."""

    def __init__(self, bench: Bench, bar: QStatusBar) -> None:
        self._bench = bench
        self._recovery = QLabel()
        self._snap = ShortenedLabel()
        self._part = ShortenedLabel()
        self._hint = ShortenedLabel()
        self._limb = QLabel()
        for label, name in (
            (self._recovery, "Recovery copy"),
            (self._snap, "Snapping"),
            (self._part, "Part shown"),
            (self._hint, "Hint"),
        ):
            label.setAccessibleName(name)
        bar.setSizeGripEnabled(False)
        bar.addWidget(self._recovery)
        bar.addWidget(self._snap)
        bar.addWidget(self._part)
        bar.addWidget(self._hint, 1)
        bar.addPermanentWidget(self._limb)
        self._tool_hint = ""
        bench.document.case_changed.connect(self.refresh)
        bench.laid_anew.connect(self.refresh)

    @property
    def recovery_words(self) -> str:
        """What is said of the recovery copy."""
        return self._recovery.text()

    def refresh(self) -> None:
        """Say what holds now."""
        document = self._bench.document
        self._recovery.setText(document.recovery_words if document.is_open else "")
        is_snapping = self._bench.options.is_snapping
        self._snap.show_words(
            f"snap 1 mm {'on' if is_snapping else 'off'}" if document.is_open else ""
        )
        self._limb.setText(self._limb_words() if document.is_open else "")
        self._part.show_words(self._part_words() if document.is_open else "")
        if not document.is_open:
            self._hint.show_words("")

    def show_hint(self, hint: str) -> None:
        """How the tool in hand works."""
        self._tool_hint = hint
        self._hint.show_words(hint)

    def show_place(self, place: Place) -> None:
        """Bone and level under the mouse; outside the views, how the tool works."""
        self._hint.show_words(self._place_words(place) or self._tool_hint)

    def _place_words(self, place: Place) -> str:
        drawn = self._bench.drawn
        if place.frame is None or not drawn.shows_level(place):
            return ""
        level, segment = place.drawn[1], place.segment
        if not has_rays(drawn.limb, segment):
            return place_words(drawn.limb, segment, level)
        return ray_words(drawn.limb, segment, level, drawn.bone_at(place) or "")

    def _part_words(self) -> str:
        if self._bench.shows_whole_limb:
            return "whole limb shown"
        return "part keeps its place" if self._bench.is_kept else "part as printed"

    def _limb_words(self) -> str:
        case = self._bench.document.case
        stature = case.size.stature_mm
        size = "stature not given" if stature is None else f"stature {stature / 10:.0f} cm"
        return f"{side_words(case.limb, case.side)} · {size} · mm"
