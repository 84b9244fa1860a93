"""Every command of the desk as data: name, words, keys, menu. The window ties them to its slots."""

from typing import NamedTuple


class Command(NamedTuple):
    """One command: the window's method of that name runs it.

    `keys` as Qt writes them, the first shown in the menu. `needs_case`: grey without an open case.
    `starts_on`: a switch that is on at the start.
    """

    name: str
    words: str
    menu: str
    keys: tuple[str, ...] = ()
    needs_case: bool = True
    is_switch: bool = False
    starts_on: bool = False
    tip: str = ""


class ToolChoice(NamedTuple):
    """One tool in the bar, in the order of thought; `short` is its word where room is scarce."""

    name: str
    words: str
    keys: tuple[str, ...]
    short: str = ""


SEPARATOR = Command("", "", "")
MENUS = ("&File", "&Edit", "F&rame", "&Kit", "T&rips", "Te&ach", "&Pictures", "&View", "&Help")

TOOLS = (
    ToolChoice("select", "Select", ("S",)),
    ToolChoice("fracture", "Fracture", ("F",)),
    ToolChoice("wound", "Wound", ("W",)),
    ToolChoice("injury", "Injury", ("I",)),
    ToolChoice("later", "Later fixation", ("L",), "Later"),
    ToolChoice("pin", "Pin", ("P",)),
    ToolChoice("bar", "Bar", ("B",)),
    ToolChoice("tape", "Distance", ("R",)),
)

COMMANDS = (
    Command("new_case", "&New case…", "&File", ("Ctrl+N",), needs_case=False),
    Command("open_case", "&Open…", "&File", ("Ctrl+O",), needs_case=False),
    Command("recent", "Open &recent", "&File", needs_case=False),
    Command("new_window", "New &window", "&File", ("Ctrl+Shift+N",), needs_case=False),
    SEPARATOR._replace(menu="&File"),
    Command("save", "&Save", "&File", ("Ctrl+S",)),
    Command("save_as", "Save &as…", "&File", ("Ctrl+Shift+S",)),
    SEPARATOR._replace(menu="&File"),
    Command("export_pdf", "Sheet as &PDF…", "&File", ("Ctrl+E",)),
    Command("export_svg", "Sheet as S&VG…", "&File"),
    Command("export_png", "Sheet as P&NG…", "&File"),
    Command("print_sheet", "P&rint…", "&File", ("Ctrl+P",)),
    SEPARATOR._replace(menu="&File"),
    Command("offer_recovery", "Recovery &copies…", "&File", needs_case=False),
    Command("close", "&Close window", "&File", ("Ctrl+W", "Ctrl+Q"), needs_case=False),
    Command("undo", "&Undo", "&Edit", ("Ctrl+Z",)),
    Command("redo", "&Redo", "&Edit", ("Ctrl+Shift+Z", "Ctrl+Y")),
    SEPARATOR._replace(menu="&Edit"),
    Command("copy", "&Copy", "&Edit", ("Ctrl+C",), tip="The selected pin, bar or outline"),
    Command("paste", "&Paste", "&Edit", ("Ctrl+V",), tip="As a new thing, a step further along"),
    Command(
        "paste_mirrored",
        "Paste m&irrored",
        "&Edit",
        ("Ctrl+Shift+V",),
        tip="Medial and lateral change places; on a pelvis the other half",
    ),
    Command("duplicate", "D&uplicate", "&Edit", ("D",), tip="The selected pin, bar or outline"),
    Command("delete", "&Delete", "&Edit", ("Delete",)),
    Command("turn_back", "Turn pin b&ack", "&Edit", ("[",), tip="5° towards lateral (radial)"),
    Command(
        "turn_on", "Turn pin &on", "&Edit", ("]",), tip="5° towards medial (ulnar), by the front"
    ),
    Command(
        "turn_to_middle",
        "Turn pin to the &middle of its band",
        "&Edit",
        ("M",),
        tip="The middle of the nearest customary band of the section",
    ),
    Command(
        "other_view",
        "Draw the &other view too",
        "&Edit",
        ("O",),
        tip="The selected zone in its other view: at its levels, across the limb",
    ),
    Command("tilt_down", "Tilt pin &down", "&Edit", ("Ctrl+[",), tip="1°: outer end more distal"),
    Command("tilt_up", "Tilt pin &up", "&Edit", ("Ctrl+]",), tip="1°: outer end more proximal"),
    SEPARATOR._replace(menu="&Edit"),
    Command("accept_finding", "&Accept finding…", "&Edit", ("Ctrl+R",)),
    Command("withdraw_finding", "&Withdraw acceptance", "&Edit"),
    SEPARATOR._replace(menu="&Edit"),
    Command("edit_limb", "&Limb and case…", "&Edit", ("Ctrl+L",)),
    Command("mirror", "Change to the other &side", "&Edit", ("Ctrl+M",)),
    Command("starting_frame", "&Starting frame", "F&rame"),
    SEPARATOR._replace(menu="F&rame"),
    Command("line_up", "&Line up pin with bar", "F&rame", ("Ctrl+G",)),
    Command("renumber", "&Renumber pins from proximal", "F&rame"),
    SEPARATOR._replace(menu="F&rame"),
    Command(
        "keep_variant",
        "&Keep for comparison",
        "F&rame",
        ("Ctrl+K",),
        tip="Keep how firmly this frame holds, to compare it with others",
    ),
    SEPARATOR._replace(menu="F&rame"),
    Command("add_splint", "Add &splint", "F&rame"),
    Command("add_foot_bar", "Add &foot bar", "F&rame"),
    Command("add_heel_stand", "Add &heel stand", "F&rame"),
    Command(
        "fit",
        "Lay out anew and &fit the sheet",
        "&View",
        ("Ctrl+0",),
        tip="While you draw, the limb keeps its place and size; this gives it what it now needs",
    ),
    Command("zoom_in", "Zoom &in", "&View", ("Ctrl++", "Ctrl+=")),
    Command("zoom_out", "Zoom &out", "&View", ("Ctrl+-",)),
    Command("zoom_drawing", "Fit the &drawing", "&View", ("Ctrl+1",)),
    Command(
        "whole_limb",
        "&Whole limb",
        "&View",
        ("Ctrl+2",),
        is_switch=True,
        tip="Show the whole limb to draw on; printed is the part that is planned",
    ),
    SEPARATOR._replace(menu="&View"),
    Command("paper", "&Paper", "&View"),
    Command("colours", "&Colours of the desk", "&View", needs_case=False),
    Command(
        "side_panel",
        "Side pa&nel",
        "&View",
        ("F9",),
        is_switch=True,
        starts_on=True,
        tip="Findings and cards at the right; without them the sheet has the whole window",
    ),
    Command("snap", "&Snap to whole millimetres", "&View", is_switch=True),
    Command(
        "rest_in_middle",
        "Turns &rest in the middle of a band",
        "&View",
        ("Shift+M",),
        is_switch=True,
        starts_on=True,
    ),
    SEPARATOR._replace(menu="&View"),
    Command("section_up", "Section &up the limb", "&View", ("PgUp",), tip="5 mm"),
    Command("section_down", "Section dow&n the limb", "&View", ("PgDown",), tip="5 mm"),
    Command("section_up_fine", "Section up 1 mm", "&View", ("Shift+PgUp",)),
    Command("section_down_fine", "Section down 1 mm", "&View", ("Shift+PgDown",)),
    SEPARATOR._replace(menu="&View"),
    Command("check_list", "Go to the &check list", "&View", ("C",)),
    Command("go_to_sheet", "Go to the sh&eet", "&View", ("Ctrl+D",)),
    Command("go_to_firmness", "Go to ho&w firmly it holds", "&View", ("Ctrl+H",)),
    Command("go_to_selected", "Go to the se&lected thing", "&View", ("Ctrl+T",)),
    Command("show_keys", "&Keys and mouse", "&Help", ("F1",), needs_case=False),
    Command("show_conventions", "Conventions of the &drawing", "&Help", needs_case=False),
    Command(
        "show_hold_against_experiments",
        "&Firmness beside experiments",
        "&Help",
        needs_case=False,
    ),
    Command("show_cautions", "&Cautions", "&Help", needs_case=False),
    Command("show_about", "&About fixplan", "&Help", needs_case=False),
)
