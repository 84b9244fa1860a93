"""The limb of a case by itself: its size, growth and joints, and nothing that was drawn on it."""

from fixplan.case.records import Case


def bare_limb(case: Case) -> Case:
    """No injury and no plan of any kind, whatever a case holds."""
    return Case(
        limb=case.limb,
        side=case.side,
        size=case.size,
        open_growth_plates=case.open_growth_plates,
        closed_growth_plates=case.closed_growth_plates,
        knee_flexion_deg=case.knee_flexion_deg,
        elbow_flexion_deg=case.elbow_flexion_deg,
        wrist_extension_deg=case.wrist_extension_deg,
        spanned_joints=case.spanned_joints,
    )
