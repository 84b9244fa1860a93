"""Frames drawn at random: two or three pieces of bone, pins, one to three bars, links, clamps."""

import itertools

import numpy as np

from fixplan.frame.elements import Beam, Model, Spring, round_profile

FIXED = (True,) * 6
STEEL, CARBON, BONE = (193000.0, 74230.0), (120000.0, 5000.0), (17000.0, 4500.0)


def random_frame(seed: int, *, with_arms: bool = False) -> tuple[Model, tuple[str, str]]:
    """A model and the two face nodes of its gap; arms: the bars run beside the pins."""
    rng = np.random.default_rng(seed)
    nodes: dict[str, tuple[float, float, float]] = {}
    beams: list[Beam] = []
    springs: list[Spring] = []
    gap = rng.uniform(5, 40)
    pins: list[tuple[str, np.ndarray]] = []
    for piece, way in (("p", 1.0), ("d", -1.0)):
        levels = np.sort(rng.uniform(gap, 200, int(rng.integers(2, 5))))
        levels += 6 * np.arange(len(levels))
        stops = [gap / 2, *levels, levels[-1] + rng.uniform(20, 80)]
        names = [f"{piece}{k}" for k in range(len(stops))]
        sway = rng.normal(0, 1.5, (len(stops), 2))
        for name, level, (x, y) in zip(names, stops, sway, strict=True):
            nodes[name] = (float(x), float(y), float(way * level))
        bone = round_profile(float(rng.uniform(20, 32)), *BONE, bore_mm=float(rng.uniform(6, 14)))
        beams += [Beam(a, b, bone, piece, "bone") for a, b in itertools.pairwise(names)]
        pins += [(name, np.array(nodes[name])) for name in names[1:-1]]
    bars = int(rng.integers(1, 4))
    line = np.array([rng.uniform(40, 70), rng.uniform(-30, 30), 0.0])
    for number, (root, at) in enumerate(pins):
        _add_pin(rng, number, root, at, line, bars, with_arms, nodes, beams, springs)
    for k in range(bars):
        on = sorted((n for n in nodes if n.startswith(f"b{k}@")), key=lambda n: nodes[n][2])
        bar = round_profile(float(rng.choice([8.0, 11.0])), *CARBON)
        beams += [Beam(a, b, bar, f"bar-{k}", "bar") for a, b in itertools.pairwise(on)]
    supports = {max((n for n in nodes if n[0] == "p"), key=lambda n: nodes[n][2]): FIXED}
    return Model(nodes, tuple(beams), tuple(springs), supports), ("p0", "d0")


def _add_pin(
    rng: np.random.Generator,
    number: int,
    root: str,
    at: np.ndarray,
    line: np.ndarray,
    bars: int,
    with_arms: bool,
    nodes: dict,
    beams: list,
    springs: list,
) -> None:
    """A pin sprung in its bone node, clamped to every bar on its way out."""
    out = line + np.array([0.0, 0.0, rng.normal(0, 3)])
    pin = round_profile(float(rng.choice([4.0, 5.0, 6.0])), *STEEL)
    last = f"pin{number}"
    nodes[last] = tuple(float(v) for v in at)
    springs.append(Spring(root, last, _stiff(rng, 3e4, 8e5), owner=f"pin-{number}"))
    for k in range(bars):
        tip = at + out * (1 + 0.35 * k)
        aside = rng.normal(0, 8, 3) if with_arms else np.zeros(3)
        node, seat = f"pin{number}.{k}", f"b{k}@{number}"
        nodes[node] = tuple(float(v) for v in tip)
        nodes[seat] = tuple(float(v) for v in tip + aside)
        beams.append(Beam(last, node, pin, f"pin-{number}", "pin"))
        arm = tuple(float(v) for v in -aside)
        springs.append(
            Spring(
                seat,
                node,
                _stiff(rng, 5e4, 2e5),
                _axes(rng),
                arm_i=arm,
                owner=f"clamp-{number}",
                role="clamp",
            )
        )
        last = node


def _stiff(rng: np.random.Generator, shift: float, turn: float) -> tuple[float, ...]:
    factors = rng.uniform(0.3, 3.0, 6)
    return tuple(float(v) for v in factors * np.array([shift] * 3 + [turn] * 3))


def _axes(rng: np.random.Generator) -> tuple:
    square, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    if np.linalg.det(square) < 0:
        square[2] *= -1
    return tuple(tuple(float(v) for v in row) for row in square)
