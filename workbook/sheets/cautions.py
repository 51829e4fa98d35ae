"""Cautions, printed where the work happens. They defer to the maker's own training, material safety sheets and local rules."""

_DEFER = "Follow your own training, the data sheets and local rules."

LAYOUT_AND_SAW = (
    "Layout fluid: solvent vapour, ventilate. Scriber and burrs cut: deburr before you measure. "
    "Bandsaw: eye protection, guide close to the work, fingers out of the blade's path, push block, "
    f"ease off at the end of the cut, never hand-hold a small piece. {_DEFER}"
)
LAYOUT_AND_DRILL = (
    "Layout fluid: ventilate. A scriber and fresh burrs cut: deburr before you measure. "
    "Drill: eye protection, clamp the blade and stop it against turning, back it up, "
    f"ease off at break-through, no gloves or loose sleeves. {_DEFER}"
)
HANDLE = (
    "Handle dust: laminates, carbon fibre, bone, shell and many woods irritate and sensitise: fitted respirator, extraction, "
    f"never into the collector that takes steel sparks. Epoxy: gloves, ventilate. The edge may be sharp: tape it. {_DEFER}"
)
GRIND = (
    "Grinder: eyes, ears, fitted respirator; no gloves near the nip; never let the point face into the belt, "
    f"and once the edge is thin, edge trailing; ground-fault outlet where it is wet. {_DEFER}"
)
