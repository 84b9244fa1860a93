"""Two independent frame solvers from the registry, fed with the program's own models.

calfem-python takes springs as 12 x 12 matrices, written here anew by loops; PyNiteFEA takes none,
so its models have their spring's two nodes made one. Euler-Bernoulli beams in both.
"""

import calfem.core as cfc
import numpy as np
from Pynite import FEModel3D

from fixplan.frame.elements import Model, Spring

DIRECTIONS = ("FX", "FY", "FZ", "MX", "MY", "MZ")


def calfem_movement(model: Model, loads: np.ndarray) -> np.ndarray:
    """Movement (nodes, 6, cases) under loads (6 n, cases), by calfem's beam3e and solveq."""
    names = list(model.nodes)
    dof = {name: np.arange(6 * n + 1, 6 * n + 7) for n, name in enumerate(names)}
    whole = np.zeros((6 * len(names), 6 * len(names)))
    for beam in model.beams:
        ends = np.array([model.nodes[beam.i], model.nodes[beam.j]], dtype=float)
        p = beam.profile
        second = p.second_moment_mm4
        section = [p.e_mpa, p.g_mpa, p.area_mm2, second, second, p.polar_mm4]
        matrix = cfc.beam3e(ends[:, 0], ends[:, 1], ends[:, 2], _square(ends), np.array(section))
        whole = cfc.assem(np.concatenate([dof[beam.i], dof[beam.j]]), whole, matrix)
    for spring in model.springs:
        places = np.concatenate([dof[spring.i], dof[spring.j]])
        whole = cfc.assem(places, whole, spring_matrix(spring))
    held = [
        int(dof[name][k]) for name, fixed in model.supports.items() for k in range(6) if fixed[k]
    ]
    out = np.empty((len(names), 6, loads.shape[1]))
    for case in range(loads.shape[1]):
        moved, _ = cfc.solveq(whole, loads[:, case : case + 1], np.array(held))
        out[:, :, case] = np.asarray(moved).reshape(len(names), 6)
    return out


def _square(ends: np.ndarray) -> np.ndarray:
    """Any direction that is not along the beam."""
    run = ends[1] - ends[0]
    return np.eye(3)[int(np.abs(run).argmin())]


def spring_matrix(spring: Spring) -> np.ndarray:
    """A 6-way spring between two nodes over rigid arms, term by term."""
    stretch = np.zeros((6, 12))
    for row in range(3):
        axis = np.array(spring.axes[row])
        for start, arm, sign in ((0, spring.arm_i, -1.0), (6, spring.arm_j, 1.0)):
            stretch[row, start : start + 3] = sign * axis
            stretch[row, start + 3 : start + 6] = sign * np.cross(np.array(arm), axis)
            stretch[row + 3, start + 3 : start + 6] = sign * axis
    return stretch.T @ np.diag(spring.k) @ stretch


def with_rigid_joints(model: Model) -> Model:
    """The model with both nodes of every spring made one; springs must have no arms."""
    one: dict[str, str] = {}

    def root(name: str) -> str:
        while name in one:
            name = one[name]
        return name

    for spring in model.springs:
        i, j = root(spring.i), root(spring.j)
        if i != j:
            one[j] = i
    beams = tuple(
        type(beam)(root(beam.i), root(beam.j), beam.profile, beam.owner, beam.role)
        for beam in model.beams
    )
    nodes = {name: at for name, at in model.nodes.items() if name not in one}
    supports = {root(name): fixed for name, fixed in model.supports.items()}
    return Model(nodes, beams, (), supports)


def pynite_model(model: Model) -> FEModel3D:
    """The same frame for PyNiteFEA; it must have no springs."""
    frame = FEModel3D()
    for name, at in model.nodes.items():
        frame.add_node(name, *map(float, at))
    for number, beam in enumerate(model.beams):
        p, name = beam.profile, f"m{number}"
        second = p.second_moment_mm4
        frame.add_material(name, p.e_mpa, p.g_mpa, 0.3, 0.0)
        frame.add_section(name, p.area_mm2, second, second, p.polar_mm4)
        frame.add_member(name, beam.i, beam.j, name, name)
    for name, fixed in model.supports.items():
        frame.def_support(name, *fixed)
    return frame


def pynite_movement(model: Model, loads: np.ndarray) -> np.ndarray:
    """Movement (nodes, 6, cases) under loads (6 n, cases), by PyNiteFEA's linear analysis."""
    frame = pynite_model(model)
    names = list(model.nodes)
    for case in range(loads.shape[1]):
        frame.add_load_combo(f"c{case}", {f"c{case}": 1.0})
        for n, name in enumerate(names):
            for k, direction in enumerate(DIRECTIONS):
                if loads[6 * n + k, case]:
                    frame.add_node_load(name, direction, float(loads[6 * n + k, case]), f"c{case}")
    frame.analyze_linear(sparse=False)
    out = np.empty((len(names), 6, loads.shape[1]))
    for n, name in enumerate(names):
        node = frame.nodes[name]
        for case in range(loads.shape[1]):
            moved = [node.DX, node.DY, node.DZ, node.RX, node.RY, node.RZ]
            out[n, :, case] = [one[f"c{case}"] for one in moved]
    return out
