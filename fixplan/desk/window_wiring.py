"""Which signal of the window's parts leads to which work."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fixplan.desk.window import DeskWindow


def wire(window: "DeskWindow") -> None:
    """Let the signals of document, sheet, cards and first page do their work."""
    window.document.state_changed.connect(window.show_state)
    window.document.case_changed.connect(window.forget_what_is_gone)
    window.document.case_changed.connect(window.strip.hide)
    window.document.case_changed.connect(window.statusBar().clearMessage)
    window.selection.changed.connect(window.show_state)
    window.view.hovered.connect(window.status.show_place)
    window.view.context_asked.connect(window.open_context_menu)
    findings, asked = window.column.findings, window.panel_commands
    findings.subject_asked.connect(window.show_subject)
    findings.accept_asked.connect(lambda finding: window.run(partial(asked.ask_to_accept, finding)))
    findings.withdraw_asked.connect(
        lambda finding: window.run(partial(window.edits.withdraw, finding))
    )
    findings.why_asked.connect(lambda finding: window.run(partial(asked.show_why, finding)))
    window.column.thing.delete_asked.connect(lambda: window.run(window.edits.delete))
    window.column.thing.line_up_asked.connect(lambda: window.run(window.edits.line_up))
    tool = window.column.tool
    tool.preset_asked.connect(lambda name: window.run(partial(window.edits.add_preset, name)))
    tool.numbers_asked.connect(partial(_draw_by_numbers, window))
    tool.bar_asked.connect(
        lambda first, second: window.run(partial(window.zones.lay_bar, first, second))
    )
    window.view.card_asked.connect(window.column.take_focus)
    window.column.sheet_asked.connect(window.view.setFocus)
    window.start.new_asked.connect(lambda: window.run(window.new_case))
    window.start.open_asked.connect(lambda: window.run(window.open_case))
    window.start.path_asked.connect(lambda path: window.run(partial(window.open_path, path)))


def _draw_by_numbers(
    window: "DeskWindow", tool: str, where: str, numbers: tuple[float, ...]
) -> None:
    """What the card of a drawing tool asks for."""
    works: dict[str, Callable[..., None]] = {
        "pin": window.edits.add_pin,
        "fracture": window.edits.add_fracture,
    }
    work = works.get(tool) or partial(window.zones.add_zone, tool)
    window.run(partial(work, where, *numbers))
