"""Files, two windows, recovery, crashes: what must never lose work."""

import os
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QLockFile, QTimer

from fixplan.case.file import read_case
from fixplan.case.recovery import copies, lock_of, recovery_folder
from fixplan.desk import recovery
from fixplan.desk.crash import CrashGuard


@pytest.fixture
def quick(monkeypatch):
    """Recovery copies after 30 ms, so that no test waits long."""
    monkeypatch.setattr(recovery, "AFTER_CHANGE_MS", 30)


def save_to(answer, path):
    return answer("ask_save_path", path)


def test_a_new_case_is_saved_and_opens_the_same(hand, answer, tmp_path):
    path = tmp_path / "shin.json"
    save_to(answer, path)
    hand.pin(level=120.0)
    assert hand.window.isWindowModified()
    hand.window.actions_by_name["save"].trigger()
    assert read_case(path) == hand.case
    assert not hand.window.isWindowModified()
    assert "shin" in hand.window.windowTitle()


def test_saved_again_without_a_question_and_listed_as_recent(hand, answer, tmp_path):
    path = tmp_path / "shin.json"
    asked = save_to(answer, path)
    hand.pin(level=120.0)
    hand.window.files.save()
    hand.pin(level=160.0)
    hand.window.files.save()
    assert len(asked) == 1
    assert len(read_case(path).pins) == 2
    recent = hand.window.listed_menus["recent"]
    recent.aboutToShow.emit()
    assert [action.text() for action in recent.actions()] == [str(path.resolve())]


def test_undo_back_to_the_saved_state_is_unchanged_again(hand, answer, tmp_path):
    save_to(answer, tmp_path / "shin.json")
    hand.pin(level=120.0)
    hand.window.files.save()
    hand.pin(level=160.0)
    assert hand.window.document.is_changed
    hand.window.document.undo()
    assert not hand.window.document.is_changed


@pytest.mark.parametrize(
    ("said", "closes", "writes"),
    [("save", True, True), ("discard", True, False), ("cancel", False, False)],
)
def test_closing_asks_about_unsaved_changes(hand, answer, tmp_path, said, closes, writes):
    path = tmp_path / "shin.json"
    save_to(answer, path)
    answer("ask_unsaved", said)
    hand.pin(level=120.0)
    assert hand.window.close() is closes
    assert path.exists() is writes


def test_an_unchanged_case_closes_without_a_question(hand, answer):
    asked = answer("ask_unsaved", "cancel")
    assert hand.window.close()
    assert asked == []


def read_only_folder(tmp_path):
    """A folder that nobody may write to; root may write nearly everywhere."""
    if os.geteuid() == 0:
        return Path("/proc")
    folder = tmp_path / "locked"
    folder.mkdir(mode=0o500)
    return folder


def test_a_folder_that_cannot_be_written_is_told_and_nothing_is_lost(hand, answer, tmp_path):
    folder = read_only_folder(tmp_path)
    save_to(answer, folder / "shin.json")
    hand.pin(level=120.0)
    hand.window.actions_by_name["save"].trigger()
    assert str(folder) in hand.window.said()
    assert hand.window.document.is_changed
    assert hand.window.document.path is None


def test_a_folder_that_is_not_there_is_told_and_nothing_is_lost(hand, answer, tmp_path):
    save_to(answer, tmp_path / "gone" / "shin.json")
    hand.pin(level=120.0)
    hand.window.actions_by_name["save"].trigger()
    assert "shin.json" in hand.window.said()
    assert hand.window.document.is_changed


def test_a_bad_file_is_told_in_one_sentence_and_the_open_case_stays(hand, tmp_path):
    bad = tmp_path / "bad.json"
    bad.write_text("{", encoding="utf-8")
    before = hand.case
    assert not hand.window.attempt(lambda: hand.window.open_path(bad))
    assert "bad.json" in hand.window.said()
    assert "Traceback" not in hand.window.said()
    assert hand.case is before


def two_on_one_file(hand, make_window, answer, path):
    save_to(answer, path)
    hand.pin(level=120.0)
    hand.window.files.save()
    other = make_window()
    other.open_path(path)
    other.edits.add_pin("tibia", 200.0)
    assert other.files.save()
    return other


def test_a_file_that_another_window_saved_is_not_overwritten_unasked(
    hand, make_window, answer, tmp_path
):
    path = tmp_path / "shin.json"
    other = two_on_one_file(hand, make_window, answer, path)
    asked = answer("ask_changed_on_disk", "cancel")
    hand.pin(level=160.0)
    assert not hand.window.files.save()
    assert [name for name, _ in asked] == ["ask_changed_on_disk"]
    assert read_case(path) == other.document.case
    assert hand.window.document.is_changed


def test_the_user_may_replace_it_or_save_elsewhere(hand, make_window, answer, tmp_path):
    path = tmp_path / "shin.json"
    two_on_one_file(hand, make_window, answer, path)
    hand.pin(level=160.0)
    answer("ask_changed_on_disk", "as")
    elsewhere = tmp_path / "mine.json"
    save_to(answer, elsewhere)
    assert hand.window.files.save()
    assert read_case(elsewhere) == hand.case
    hand.window.open_path(path)
    hand.window.edits.add_pin("tibia", 250.0)
    path.write_bytes(elsewhere.read_bytes())
    answer("ask_changed_on_disk", "replace")
    assert hand.window.files.save()
    assert read_case(path) == hand.case


def test_two_windows_do_not_share_undo_or_selection(hand, make_window, answer, tmp_path):
    other = two_on_one_file(hand, make_window, answer, tmp_path / "shin.json")
    other.document.undo()
    assert len(hand.case.pins) == 1
    assert hand.window.document.undo_text


@pytest.mark.usefixtures("quick")
def test_a_copy_is_written_after_a_change_and_dropped_on_saving(
    make_window, qtbot, answer, tmp_path
):
    window = started(make_window)
    window.edits.add_pin("tibia", 120.0)
    qtbot.waitUntil(lambda: len(copies(recovery_folder())) == 1)
    qtbot.waitUntil(lambda: "recovery copy written" in window.status.recovery_words)
    save_to(answer, tmp_path / "shin.json")
    window.files.save()
    assert copies(recovery_folder()) == ()
    assert window.status.recovery_words == "no unsaved changes"


def started(make_window):
    from fixplan.case.records import Case

    window = make_window()
    window.document.start(Case(side="left"))
    window.show_recovered()
    return window


def test_the_timer_is_not_put_off_by_further_changes(make_window, qtbot):
    window = started(make_window)
    timer = window.document._recovery.findChild(QTimer)
    window.edits.add_pin("tibia", 120.0)
    left = timer.remainingTime()
    qtbot.wait(60)
    window.edits.add_pin("tibia", 160.0)
    assert timer.remainingTime() <= left - 50


def lose(window):
    """As if the window's process had died: its lock is free, its copy stays."""
    window.document.write_recovery_now()
    copy = window.document._recovery.copy_path
    window.document._recovery._lock.unlock()
    window.document._recovery._copy = None
    window.document._recovery._lock = None
    return copy


def test_a_lost_windows_case_is_recovered_as_changed(make_window, answer):
    lost = started(make_window)
    lost.edits.add_pin("tibia", 120.0)
    case = lost.document.case
    copy = lose(lost)
    answer("ask_recovery", "recover")
    window = make_window()
    assert window.ask_about_copies()
    assert window.document.case == case
    assert window.document.is_changed
    assert not copy.exists()
    assert len(copies(recovery_folder())) == 1


def test_a_second_crash_loses_nothing(make_window, answer):
    lost = started(make_window)
    lost.edits.add_pin("tibia", 120.0)
    lose(lost)
    answer("ask_recovery", "recover")
    second = make_window()
    second.ask_about_copies()
    lose(second)
    third = make_window()
    assert third.ask_about_copies()
    assert third.document.case == lost.document.case


def test_a_living_windows_copy_is_not_offered(make_window, answer):
    living = started(make_window)
    living.edits.add_pin("tibia", 120.0)
    living.document.write_recovery_now()
    asked = answer("ask_recovery", "discard")
    assert not make_window().ask_about_copies()
    assert asked == []


def test_later_is_remembered_and_the_menu_still_offers_it(make_window, answer):
    lost = started(make_window)
    lost.edits.add_pin("tibia", 120.0)
    copy = lose(lost)
    answer("ask_recovery", "later")
    assert make_window().ask_about_copies()
    assert not make_window().ask_about_copies()
    assert copy.exists()
    answer("ask_recovery", "discard")
    make_window().actions_by_name["offer_recovery"].trigger()
    assert not copy.exists()


def test_a_damaged_copy_is_told_and_does_not_stop_the_start(make_window, answer):
    folder = recovery_folder()
    folder.mkdir(parents=True)
    (folder / "damaged.json").write_text("{", encoding="utf-8")
    answer("ask_recovery", "recover")
    window = make_window()
    assert window.ask_about_copies()
    assert "damaged.json" in window.said()
    assert not window.document.is_open


def test_a_lock_is_held_while_the_copy_lives(make_window):
    window = started(make_window)
    window.edits.add_pin("tibia", 120.0)
    window.document.write_recovery_now()
    lock = QLockFile(str(lock_of(window.document._recovery.copy_path)))
    assert not lock.tryLock(10)


def test_a_copy_that_cannot_be_written_is_told_in_the_status_bar(make_window, qtbot, monkeypatch):
    monkeypatch.setattr(recovery, "AFTER_CHANGE_MS", 10)
    window = started(make_window)
    folder = recovery_folder()
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.write_text("not a folder", encoding="utf-8")
    window.edits.add_pin("tibia", 120.0)
    qtbot.waitUntil(lambda: "NO RECOVERY COPY" in window.status.recovery_words)
    assert window.said()


def test_an_exception_in_a_slot_saves_first_and_is_told_once(make_window, qtbot, tmp_path):
    window = started(make_window)
    window.edits.add_pin("tibia", 120.0)
    told = []
    guard = CrashGuard(lambda: [window.document], told.append, tmp_path, before=lambda *_: None)
    before, sys.excepthook = sys.excepthook, guard
    window.column.thing.delete_asked.connect(_fail)
    with qtbot.capture_exceptions():
        sys.excepthook = guard
        window.column.thing.delete_asked.emit()
        window.document.undo()
        window.column.thing.delete_asked.emit()
        sys.excepthook = before
    assert len(told) == 1
    assert "recovery copy" in told[0]
    assert len(copies(recovery_folder())) == 1
    (report,) = tmp_path.glob("report-*.txt")
    assert "ZeroDivisionError" in report.read_text(encoding="utf-8")


LABEL = "secret label"


def _fail():
    raise ZeroDivisionError(LABEL)


def test_the_report_holds_nothing_of_the_case(tmp_path):
    guard = CrashGuard(list, lambda _: None, tmp_path, before=lambda *_: None)
    try:
        _fail()
    except ZeroDivisionError as problem:
        guard(type(problem), problem, problem.__traceback__)
    (report,) = tmp_path.glob("report-*.txt")
    assert "secret" not in report.read_text(encoding="utf-8")


def test_when_no_copy_can_be_written_the_user_is_told_to_save(tmp_path):
    class Stuck:
        def write_recovery_now(self):
            raise OSError("disk full")

    told = []
    guard = CrashGuard(lambda: [Stuck()], told.append, tmp_path, before=lambda *_: None)
    guard(ValueError, ValueError(), None)
    assert "could not be copied" in told[0]
