"""What the frame model assumes beside the drawing: mechanics.toml and materials.toml."""

import msgspec

from fixplan.limb.library import load_toml


class Modulus(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Elastic values of one kind of part, MPa; `yield_mpa` 0 where none may be quoted."""

    shear_share: float
    source: str
    e_mpa: float = 0.0
    g_mpa: float = 0.0
    yield_mpa: float = 0.0
    outer_mm: float = 0.0
    bore_mm: float = 0.0


class InBone(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Springs of a pin in bone, N/mm and N*mm per radian; poor: soft bone, or one cortex only."""

    translation_n_per_mm: float
    rotation_nmm_per_rad: float
    poor_rotation_nmm_per_rad: float
    poor_bones: tuple[str, ...]
    source: str


class ClampGive(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Springs of a clamp, N/mm and N*mm per radian, with the band that is tried."""

    translation_n_per_mm: float
    rotation_nmm_per_rad: float
    low_rotation_nmm_per_rad: float
    high_rotation_nmm_per_rad: float
    source: str


class JointGive(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Springs of a joint whose ligaments hold, N/mm and N*mm per radian; its hinge stays free."""

    translation_n_per_mm: float
    rotation_nmm_per_rad: float
    hinge_nmm_per_rad: float
    source: str


class Withdrawn(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Beyond these a linear calculation says too little, and its number is withdrawn."""

    load_share: float
    shift_mm: float
    turn_deg: float
    yield_share: float
    source: str
    text: str


class Shown(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How results are drawn: classes of stress by their upper ends, size of the bent shape."""

    stress_mpa: tuple[float, ...]
    bent_mm: float
    exaggerations: tuple[float, ...]
    source: str


class Assumed(msgspec.Struct, frozen=True, eq=False, forbid_unknown_fields=True):
    """resources/mechanics.toml. `counts_with`: segments that are taken as one with another."""

    schema: int
    counts_with: dict[str, str]
    pin: Modulus
    bar: Modulus
    pin_in_bone: InBone
    clamp: ClampGive
    bone: Modulus
    joint: JointGive
    withdrawn: Withdrawn
    shown: Shown
    caution: str


class BarMaterial(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a bar is made of, MPa; `yield_mpa` 0 where none may be quoted."""

    name: str
    e_mpa: float
    g_mpa: float
    radiolucent: bool
    source: str
    yield_mpa: float = 0.0


class Materials(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """resources/materials.toml."""

    schema: int
    bars: dict[str, BarMaterial]


def assumed() -> Assumed:
    """Values assumed by the frame model, with their sources; house values included."""
    return load_toml("mechanics.toml", Assumed)


def bar_materials() -> dict[str, BarMaterial]:
    """Materials of bars by name; one that is not listed counts as carbon fibre, the usual one."""
    return load_toml("materials.toml", Materials).bars
