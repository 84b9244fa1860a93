"""The features of the desk as data: which module brings each, and its commands.

A feature's module is imported after the first paint, or when one of its commands is first used;
it holds a class `DeskFeature`, a `fixplan.desk.feature.Feature`.
"""

from collections.abc import Callable
from functools import partial
from importlib import import_module
from typing import NamedTuple

from PySide6.QtCore import QTimer

from fixplan.desk.actions import SEPARATOR, Command
from fixplan.desk.column import Column
from fixplan.desk.feature import Feature, Room
from fixplan.desk.guard import guarded


class FeatureEntry(NamedTuple):
    """A module, and the commands that methods of its class run, in the order of the menus."""

    module: str
    commands: tuple[Command, ...]


PICTURES: tuple[Command, ...] = (
    Command("add_picture", "&Add a picture…", "&Pictures", ("Ctrl+Shift+I",)),
    Command("paste_picture", "&Paste a picture", "&Pictures", ("Ctrl+Alt+V",)),
    Command("hide_pictures", "&Hide or show the pictures", "&Pictures", ("H",)),
    SEPARATOR._replace(menu="&Pictures"),
    Command("move_picture", "&Move and turn by hand", "&Pictures"),
    Command("mirror_picture", "Mi&rror…", "&Pictures"),
    Command("scale_two_points", "Scale from &two points…", "&Pictures"),
    Command("scale_ball", "Scale from a marker &ball…", "&Pictures"),
    Command("match_landmarks", "Match two &landmarks…", "&Pictures"),
    Command("match_photograph", "Match a p&hotograph to a face", "&Pictures"),
    Command(
        "measure_bone",
        "Meas&ure the bone…",
        "&Pictures",
        tip="Its length or width on the picture wins over the guess from stature",
    ),
    SEPARATOR._replace(menu="&Pictures"),
    Command("black_out", "Blac&k out…", "&Pictures", tip="Names and numbers burnt into it"),
    Command("remove_picture", "R&emove", "&Pictures", tip="Its file stays"),
    SEPARATOR._replace(menu="&Pictures"),
    Command("click_built", "Pin as b&uilt", "&Pictures", tip="Entry and tip on the film"),
    Command("list_built", "&Frame as built…", "&Pictures"),
)

ENTRIES: tuple[FeatureEntry, ...] = (
    FeatureEntry("fixplan.desk.dropping", ()),
    FeatureEntry(
        "fixplan.desk.linked_cases",
        (
            Command(
                "link_case",
                "&Link a case…",
                "&Edit",
                tip="Another case of the same patient: counted together for the kit to open",
            ),
        ),
    ),
    FeatureEntry(
        "fixplan.desk.varying",
        (
            Command(
                "vary_one_thing",
                "&Vary one thing",
                "F&rame",
                tip="Stiffness against diameter, spread, number of pins, bar distance, second bar",
            ),
        ),
    ),
    FeatureEntry(
        "fixplan.desk.sitting",
        (
            Command("sit_exercise", "&Sit an exercise…", "Te&ach", needs_case=False),
            Command("resume_sitting", "&Go on with a sitting…", "Te&ach", needs_case=False),
            Command(
                "pause_sitting",
                "Save the sitting, to go &on later…",
                "Te&ach",
                tip="Plan, replies, tries and the time used so far",
            ),
            Command("hand_in", "&Hand in", "Te&ach", tip="Keep this plan as a try and mark it"),
            Command("see_mark", "Show the &mark", "Te&ach"),
            Command("save_answer", "Sa&ve the answer…", "Te&ach"),
            Command("leave_exercise", "&Leave the exercise", "Te&ach"),
        ),
    ),
    FeatureEntry(
        "fixplan.desk.making",
        (
            Command("", "", "Te&ach"),
            Command("make_exercise", "M&ake an exercise from this case…", "Te&ach"),
            Command("edit_exercise", "&Change an exercise…", "Te&ach", needs_case=False),
        ),
    ),
    FeatureEntry(
        "fixplan.desk.class_marking",
        (
            Command(
                "mark_class",
                "Ma&rk a class…",
                "Te&ach",
                needs_case=False,
                tip="Many answers at once: a report as PDF and the marks as CSV",
            ),
        ),
    ),
    FeatureEntry(
        "fixplan.desk.explaining",
        (
            Command(
                "rules_and_sources",
                "&Rules and sources…",
                "&Help",
                ("F2",),
                needs_case=False,
                tip="Every rule: what it protects, its limits, what it rests on; with a search",
            ),
            Command(
                "why_control",
                "&Why this control?",
                "&Help",
                ("Shift+F1",),
                needs_case=False,
                tip="What the control with the keys is for; else click one with the pointer",
            ),
        ),
    ),
    FeatureEntry(
        "fixplan.desk.sheet_choice",
        (
            Command(
                "choose_blocks",
                "What the &sheet shows…",
                "&View",
                ("Ctrl+B",),
                tip="Blocks of the wall and detail side, with a preview; kept for the next start",
            ),
            SEPARATOR._replace(menu="&File"),
            Command("print_a4", "Preview and print on &A4…", "&File", ("Ctrl+Shift+P",)),
            Command("print_a3", "Preview and print on A&3…", "&File"),
            Command(
                "print_two_a4",
                "Preview and print on &two A4…",
                "&File",
                tip="The A3 sheet as two A4, to be hung side by side",
            ),
        ),
    ),
    FeatureEntry(
        "fixplan.desk.kit_feature",
        (
            Command("go_to_kit", "Go to the &kit to open", "&Kit", ("K",)),
            Command(
                "edit_trays",
                "&Trays of this hospital…",
                "&Kit",
                needs_case=False,
                tip="What is in each tray, which is out; import and export for a spreadsheet",
            ),
        ),
    ),
    FeatureEntry(
        "fixplan.desk.trips_feature",
        (
            Command("go_to_trips", "Go to the &trips", "T&rips", ("Ctrl+J",)),
            Command("add_trip", "&Add a trip", "T&rips"),
            Command(
                "go_to_prompts",
                "Go to the &prompts",
                "T&rips",
                tip="Pressure gap, artery, resuscitation, tetanus, pin sites",
            ),
            Command("write_ward_page", "&Ward page as PDF…", "T&rips"),
        ),
    ),
    FeatureEntry(
        "fixplan.desk.care_feature",
        (
            Command(
                "go_to_debridement",
                "Go to &debridement and cover",
                "T&rips",
                tip="What was found and done, and how the wound is covered",
            ),
            Command(
                "go_to_dead_space",
                "Go to dead &space",
                "T&rips",
                tip="Beads or spacer, cement, drug with published ranges",
            ),
            Command(
                "draw_fasciotomy",
                "Draw &fasciotomy lines",
                "T&rips",
                tip="Of what is broken or hurt: leg, thigh, foot, forearm or hand",
            ),
            Command(
                "draw_extension",
                "Draw the &extension of a wound",
                "T&rips",
                tip="Along the limb through the selected wound, both ways",
            ),
            Command(
                "mark_perforators",
                "Mark &perforators",
                "T&rips",
                tip="Where they are looked for on leg, thigh or forearm; a probe finds them",
            ),
        ),
    ),
    FeatureEntry("fixplan.desk.film.feature", PICTURES),
    FeatureEntry(
        "fixplan.desk.notes_feature",
        (
            SEPARATOR._replace(menu="&Kit"),
            Command(
                "write_notes",
                "Plan for the case &notes…",
                "&Kit",
                ("Ctrl+Shift+E",),
                tip="PDF, PDF/A, text, Markdown, pictures, DICOM or FHIR",
            ),
            Command(
                "hand_over",
                "&Handover\u2026",
                "&Kit",
                tip="What changed since another version, what was agreed, and pages for it",
            ),
            SEPARATOR._replace(menu="&Kit"),
            Command(
                "build_steps",
                "&Build order, step by step",
                "&Kit",
                ("F11",),
                tip="Over the whole screen, for theatre; Space turns to the next step",
            ),
            Command(
                "mark_built",
                "Frame as b&uilt\u2026",
                "&Kit",
                tip="Built as drawn or otherwise; parts opened, used and wasted",
            ),
        ),
    ),
)


def feature_commands() -> tuple[Command, ...]:
    """The commands of all features."""
    return tuple(command for entry in ENTRIES for command in entry.commands)


PAUSE_MS = 15
"""Between two features that are made: what the user does comes first."""


class Features:
    """The features of one window."""

    def __init__(self, room: Room, column: Column) -> None:
        self._room = room
        self._column = column
        self._by_module: dict[str, Feature] = {}
        self._waiting = QTimer(room.window)
        self._waiting.setInterval(PAUSE_MS)
        self._waiting.timeout.connect(self._load_next)

    def load_soon(self) -> None:
        """Make them one by one while nothing else is to do, so that the sheet is seen first."""
        if len(self._by_module) < len(ENTRIES):
            self._waiting.start()

    @guarded
    def _load_next(self) -> None:
        missing = [entry.module for entry in ENTRIES if entry.module not in self._by_module]
        if missing:
            self.of(missing[0])
        if len(missing) < 2:
            self._waiting.stop()

    def load(self) -> None:
        """Make every feature that is not made yet, with its cards. Repeating does nothing."""
        for entry in ENTRIES:
            self.of(entry.module)

    def of(self, module: str) -> Feature:
        """The feature of a module; made when first asked for."""
        found = self._by_module.get(module)
        if found is None:
            made: type[Feature] = import_module(module).DeskFeature
            found = self._by_module[module] = made(self._room)
            for card in found.cards():
                self._column.add_card(card)
            if self._room.bench.document.is_open:
                found.begin()
        return found

    def begin(self) -> None:
        """Another case has been opened."""
        for feature in self._by_module.values():
            feature.begin()

    def work_of(self, command: str) -> Callable[[], object] | None:
        """What runs a command; None when no feature has it."""
        for entry in ENTRIES:
            if any(own.name == command for own in entry.commands):
                return partial(self._run, entry.module, command)
        return None

    def _run(self, module: str, command: str) -> None:
        getattr(self.of(module), command)()
