"""The sections that tell the frame: what is planned, kit, pins, bars, order, how it holds."""

from collections.abc import Iterator

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.checks.texts import listed, number
from fixplan.errors import TraysError
from fixplan.frame.hold_words import sheet_lines
from fixplan.frame.lengths import PinLength
from fixplan.frame.order import order_lines
from fixplan.frame.pin_words import place_lines
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.kit.answer import kit_for
from fixplan.kit.parts import needs_of
from fixplan.kit.tray_files import house_trays
from fixplan.notes.section import Column, Section, Told
from fixplan.sheet.tables import bar_cells, entry_texts, length_text
from fixplan.sheet.view_plan import pin_lengths

PIN_COLUMNS = (
    Column("No."),
    Column("Bone and level"),
    Column("Enters from", "enters from {}"),
    Column("Skin to tip, mm", "skin to tip, mm: {}"),
    Column("\u00d8, mm", "{} mm thick"),
    Column("Length, mm", "length {} mm"),
)
BAR_COLUMNS = (
    Column("No."),
    Column("Holds", "holds {}"),
    Column("\u00d8, mm", "{} mm thick"),
    Column("Length, mm", "length {} mm"),
    Column("Off the skin, mm", "{} mm off the skin"),
)


def procedure_section(told: Told) -> Section:
    """What is planned: pins, bars, supports, length and turn."""
    case = told.case
    counts = [(len(case.pins), "pin"), (len(case.bars), "bar")]
    frame = listed([f"{n} {word}{'' if n == 1 else 's'}" for n, word in counts])
    supports = [support.kind for support in case.supports]
    lines = [f"Temporary external frame: {frame}{', '.join(['', *supports])}."]
    if case.length.correction_mm is not None:
        lines.append(f"Length wanted at the fracture: {number(case.length.correction_mm)} mm.")
    if case.length.rotation_deg is not None:
        lines.append(f"Turn wanted of the distal part: {number(case.length.rotation_deg)}\u00b0.")
    return Section(heading="Procedure planned", lines=tuple(lines if case.pins else ()))


def kit_section(told: Told) -> Section:
    """Trays to open; the parts alone where the trays cannot be read."""
    try:
        trays = house_trays()
    except TraysError as problem:
        parts = [f"{need.count} \u00d7 {need.part.name}" for need in needs_of(told.case)]
        return Section(heading="Kit to open", lines=(f"Trays not known: {problem}", *parts))
    if not told.case.pins:
        return Section(heading="Kit to open")
    return Section(heading="Kit to open", lines=kit_for([told.case], trays).lines())


def pins_section(told: Told) -> Section:
    """The pins, a row each."""
    lengths = pin_lengths(told.case)
    return Section(heading="Pins", columns=PIN_COLUMNS, rows=tuple(_pin_rows(told.case, lengths)))


def _pin_rows(case: Case, lengths: dict[str, PinLength]) -> Iterator[tuple[str, ...]]:
    limb = limb_of_case(case)
    for pin in case.pins:
        if pin.id not in lengths:
            yield f"Pin {pin.number}", f"{pin.bone} is not a bone of this limb", "", "", "", ""
            continue
        path = pin_path(limb, pin)
        yield (
            f"Pin {pin.number}",
            ", ".join((limb.bones[pin.bone].title, _flat("\n".join(place_lines(limb, pin))))),
            _flat(entry_texts(limb, pin)),
            _depth_words(pin, path),
            f"{pin.diameter_mm:g}",
            _flat(length_text(lengths[pin.id])),
        )


def _depth_words(pin: Pin, path: PinPath) -> str:
    """From the skin to the tip; a through-pin's far end is skin again."""
    if not path.skin_known:
        return "skin not known"
    through = ", skin to skin" if pin.kind == "through" else ""
    return f"{number(path.depth_from_skin_mm)}{through}"


def _flat(text: str) -> str:
    return ", ".join(text.split("\n"))


def bars_section(told: Told) -> Section:
    """The bars, a row each."""
    rows = []
    for bar in told.case.bars:
        _, *cells = bar_cells(told.case, bar)
        rows.append((f"Bar {bar.number}", *cells))
    return Section(heading="Bars", columns=BAR_COLUMNS, rows=tuple(rows))


def order_section(told: Told) -> Section:
    """The steps in the order of building."""
    return Section(heading="Build order", lines=order_lines(told.case), is_counted=True)


def firmness_section(told: Told) -> Section:
    """How firmly it holds."""
    return Section(heading="How firmly it holds", lines=sheet_lines(told.case, with_advice=False))
