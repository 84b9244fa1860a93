"""Every tool by its name."""

from fixplan.desk.tools.bars import BarTool
from fixplan.desk.tools.base import Tool
from fixplan.desk.tools.fracture import FractureTool
from fixplan.desk.tools.pins import PinTool
from fixplan.desk.tools.points import InjuryTool, LaterTool, WoundTool
from fixplan.desk.tools.select import SelectTool
from fixplan.desk.tools.tape import TapeTool

TOOL_KINDS: dict[str, type[Tool]] = {
    kind.name: kind
    for kind in (
        SelectTool,
        FractureTool,
        WoundTool,
        InjuryTool,
        LaterTool,
        PinTool,
        BarTool,
        TapeTool,
    )
}
