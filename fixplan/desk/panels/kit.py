"""The card "Kit to open": trays, what is missing and clashes in sight, the details unfolded."""

from collections.abc import Iterable, Iterator
from functools import partial
from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from fixplan.desk.bench import Bench
from fixplan.desk.kit_watch import KitWatch
from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.sheet_hold import Attempt
from fixplan.kit.answer import KitAnswer, OpenTray
from fixplan.kit.clashes import FRAME
from fixplan.kit.offers import NOTHING_MENDS, Offer, mixing_taken_back, taken_back
from fixplan.kit.replacing import Replacement

TITLE = "Kit to open"
INDENT_PX = 14
SIGNS = {"stop": "\u25a0 Stop", "caution": "\u25b2 Caution", "note": "\u25cb Note"}


class KitCard(Card):
    """What to open, live with the drawing; each offered change has a button that accepts it."""

    def __init__(
        self, bench: Bench, watch: KitWatch, attempt: Attempt, parent: QWidget | None = None
    ) -> None:
        super().__init__(TITLE, parent)
        self._document, self._watch, self._attempt = bench.document, watch, attempt
        self.headline = QLabel()
        self.headline.setWordWrap(True)
        self.body.addWidget(self.headline)
        self._lines = QVBoxLayout()
        self._lines.setSpacing(5)
        self._held = QWidget()
        self._held.setLayout(self._lines)
        self._lines.setContentsMargins(0, 0, 0, 0)
        self.body.addWidget(self._held)
        self.details = soft_label("")
        self.details.setAccessibleName("What is taken from which tray")
        self.details.setTextFormat(Qt.TextFormat.RichText)
        self.body.addWidget(self.details)
        self._fold = self.add_fold(self.details)
        watch.changed.connect(self.refresh)
        bench.document.shown_changed.connect(self._show_age)

    @property
    def is_folded(self) -> bool:
        """Whether what is taken from which tray is hidden."""
        return self.details.isHidden()

    def unfold(self) -> None:
        """Show what is taken from which tray."""
        self._fold.setChecked(True)

    def refresh(self) -> None:
        """Show what is known now."""
        watch = self._watch
        self._clear()
        if watch.answer is None:
            self.headline.setText(watch.problem or "No case is open.")
            self.details.setText("")
        else:
            self.entitle(TITLE, watch.answer.source)
            self.headline.setText(f"{watch.answer.headline}.")
            self._show_lines(watch.answer)
            self.details.setText(indented(detail_lines(watch.answer)))
        self._show_age()

    def take_focus(self) -> None:
        """Give the keys to the first button of the card."""
        button: QWidget | None = self._held.findChild(QPushButton)
        (button or self._fold).setFocus()

    def _show_age(self) -> None:
        """Grey while the drawing moves on."""
        for part in (self.headline, self._held, self.details):
            part.setEnabled(self._watch.is_current)

    def _clear(self) -> None:
        while (item := self._lines.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()

    def _show_lines(self, answer: KitAnswer) -> None:
        for missing in answer.missing:
            self._say(f"\u25a0 Missing: {missing.words}.")
        for clash in answer.clashes:
            self._say(f"{SIGNS[clash.severity]}: {_upper(clash.message)}.{_kept(clash.accepted)}")
            if clash.accepted is not None and clash.subjects == FRAME:
                self._add_button("Take mixed families back", "", self._unmix)
        for offer in self._watch.offers:
            self._add_offer(offer)
        if self._watch.is_trying and not self._watch.offers:
            self._say("Other parts are being tried.", is_soft=True)
        elif answer.missing and not self._watch.offers:
            self._say(NOTHING_MENDS, is_soft=True)
        if self._watch.problem:
            self._say(f"Other parts could not be tried: {self._watch.problem}")
        for used in answer.replaced:
            self._add_replaced(used)

    def _add_offer(self, offer: Offer) -> None:
        self._say(offer.sentence)
        self._add_button("Accept this change", offer.sentence, partial(self._take, offer))

    def _add_replaced(self, used: Replacement) -> None:
        self._say(f"{used.words}.")
        self._add_button("Take this change back", used.words, partial(self._give_back, used))

    def _say(self, words: str, *, is_soft: bool = False) -> None:
        kept = words.replace(" mm", "\u00a0mm")
        label = soft_label(kept) if is_soft else QLabel(kept)
        label.setWordWrap(True)
        self._lines.addWidget(label)

    def _add_button(self, words: str, described: str, work: object) -> None:
        button = QPushButton(words)
        button.setAccessibleDescription(described)
        button.clicked.connect(work)
        self._lines.addWidget(button)

    def _take(self, offer: Offer) -> None:
        """Accept a change; it is one step of undo."""
        if self._watch.is_current:
            self._document.commit("Accept another part", offer.changed)

    def _give_back(self, used: Replacement) -> None:
        def work() -> None:
            case = taken_back(self._document.case, used.owner, used.used)
            self._document.commit("Take another part back", case)

        self._attempt(work)

    def _unmix(self) -> None:
        def work() -> None:
            case = mixing_taken_back(self._document.case)
            self._document.commit("Take mixed clamps back", case)

        self._attempt(work)


def indented(lines: Iterable[str]) -> str:
    """Lines as rich text; one that begins with spaces is set in, with all that it wraps to."""
    return "".join(
        f'<div style="margin-left: {INDENT_PX if line.startswith(" ") else 0}px">'
        f"{escape(line.strip())}</div>"
        for line in lines
    )


def detail_lines(answer: KitAnswer) -> Iterator[str]:
    """What is taken from which tray, what lies ready, what is left; then other kit of the trip."""
    for tray in answer.opened:
        yield from _tray_lines(tray)
    for pack in answer.packs:
        verb = "Have ready, unopened" if pack.is_ready else "Single pack"
        yield f"{verb}: {pack.amount.words} ({pack.shelf})"
    if answer.unspared:
        yield f"No spare in the house: {', '.join(answer.unspared)}"
    if answer.lacking:
        yield f"No caps in what is opened: {', '.join(answer.lacking)}"
    if not answer.is_proven:
        yield "Fewer trays may do: not every choice could be tried"
    yield f"Other kit: {'; '.join(answer.other)}"


def _tray_lines(tray: OpenTray) -> Iterator[str]:
    family = f", clamps of family {tray.family}" if tray.family else ""
    last = ", the last of its kind in the house" if tray.is_last else ""
    yield f"{tray.name} ({tray.kind}{family}{last}) takes:"
    yield from (f"   {one.words}" for one in tray.taken)
    if tray.spare:
        yield "   as spare:"
        yield from (f"   {one.words}" for one in tray.spare)
    if tray.left:
        yield f"   {sum(one.count for one in tray.left)} other parts stay in it"


def _upper(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _kept(reason: str | None) -> str:
    return "" if reason is None else f" Accepted: {reason}."
