"""What lists the entries of each menu that is listed when it opens."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from fixplan.desk.menus import ListedMenu, list_colours, list_frames, list_papers, list_recent

if TYPE_CHECKING:
    from fixplan.desk.window import DeskWindow


def listings(window: "DeskWindow") -> dict[str, Callable[[ListedMenu], None]]:
    """What lists the entries of each menu that is listed when it opens."""
    return {
        "recent": partial(
            list_recent, paths=window.settings.recent, work=window.runs(window.open_path)
        ),
        "starting_frame": partial(
            list_frames,
            limb=lambda: window.bench.document.case.limb,
            work=window.runs(window.lay_frame),
        ),
        "colours": partial(
            list_colours,
            shown=lambda: window.settings.colours,
            work=window.runs(window.set_colours),
        ),
        "paper": partial(
            list_papers, shown=lambda: window.bench.paper, work=window.runs(window.set_paper)
        ),
    }
