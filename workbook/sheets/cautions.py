"""Cautions, printed where the work happens. They defer to the maker's own training, material safety sheets and local rules."""

from workbook.texts import _

_DEFER = _("Follow your own training, the data sheets and local rules.")

LAYOUT_AND_SAW = _(
    "Layout fluid: solvent vapor, ventilate. Scriber and burrs cut: deburr before you measure. Bandsaw: "
    "eye protection, guide close to the work, fingers out of the blade's path, push block, ease off at "
    "the end of the cut. Never hand-hold a small piece. {defer}",
    defer=_DEFER,
)
LAYOUT_AND_DRILL = _(
    "Layout fluid: ventilate. A scriber and fresh burrs cut: deburr before you measure. Drill: eye "
    "protection, clamp the blade and stop it from turning, back it up, ease off at break-through, no "
    "gloves or loose sleeves. {defer}",
    defer=_DEFER,
)
HANDLE = _(
    "Handle dust: laminates, carbon fiber, bone, shell and many woods irritate and sensitize. Wear a "
    "fitted respirator, use extraction, and never the collector that takes steel sparks. Epoxy: gloves, "
    "ventilate. The edge may be sharp: tape it. {defer}",
    defer=_DEFER,
)
LEATHERWORK = _(
    "Awl, punch and knife: clamp the work, cut and pierce away from the hand. Adhesive: its vapor burns "
    "and harms, ventilate. Sanding: eye protection, fitted respirator. Tape the edge while you fit the "
    "knife. Carbon steel: only vegetable-tanned leather, and no long storage in it. Keep a sheathed "
    "knife out of children's reach. {defer}",
    defer=_DEFER,
)
FORMING = _(
    "Heated sheet burns the skin and its fumes harm: heat-proof gloves, ventilate. Drill, rivets and sanding: eye protection, "
    "clamp the work, fitted respirator. Tape the edge while you press and fit the knife. Wipe the blade dry before it goes in. "
    "Keep a sheathed knife out of children's reach. {defer}",
    defer=_DEFER,
)
GRIND = _(
    "Grinder: eyes, ears, fitted respirator. No gloves near the nip. Never let the tip face into the "
    "belt. Once the edge is thin, grind edge trailing. Use a ground-fault outlet where it is wet. {defer}",
    defer=_DEFER,
)
