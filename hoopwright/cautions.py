"""Cautions and limits printed with every result."""

CAUTIONS = (
    "An aid to judgement, not an approval. It does not replace inspection, the maker's advice, local "
    "rules and standards, or the work of a licensed or qualified person where one is required.",
    "Not in the model: weld toes, thread roots, cracks, corrosion, dents, and any loss of strength that "
    "the case file does not state. Look for cracks before you cut; people ride on this.",
    "Machining and pressing can injure: clamp thin shells without crushing them, wear eye protection, "
    "stand clear of the press line, and stop if the force leaves the predicted range.",
)

LIMITS = (
    "The body is taken as round, its material as linear elastic, uniform and the same in all directions, "
    "and displacements as small. Sizes count at 20 °C (68 °F) unless the case says otherwise.",
    "Friction follows Coulomb's law through what is done to the joint (pressed in, ram let go, heat and "
    "cold twice over), at low and high friction, and a frictionless joint is judged beside it; each check "
    "takes the worst. Real friction is uncertain: the low and high values are the case's own.",
    "Ram and support are taken to bear evenly on the whole end faces of sleeve and shell; a crooked or "
    "stiff, flat ram loads the edges more. A pusher with a pilot in the bore is judged by its clearance.",
    "The pull of cups is spread evenly over the engaged thread and the whole end face under the flange; "
    "heat and cold change it as between cups that are rigid but for their expansion, on a seat that slides "
    "freely or not at all, whichever is worse. A single cup on the shell keeps it, and so do cups on the "
    "sleeve: that cold makes aluminium pull steel harder is not judged. Of two, each by itself is not "
    "solved: it lies between none and both tight.",
    "Stress of the fit is that of the surface. Within a wall of a corner (an end of contact inside a body, "
    "a step, an end of a thread), where the elastic peak grows without limit as the mesh is refined, it is "
    "membrane + bending through the wall, averaged along z over a wall thickness, with an error that "
    "reaches up to what it is without that average; stress in service is membrane + bending everywhere. "
    "Within a wall of an edge of [service.clamped], which is rigid, nothing under loads is judged.",
    "An out-of-round bore raises the stress on the way in by as much as at rest; an eccentric one raises "
    "every stress of the shell by a factor. Buckling while the sleeve goes in is judged with it home.",
    "A sleeve with a flange, or against a shoulder, is taken to be pushed home, and what pushes it that "
    "way in service is that stop's to carry. Until something does, no pressure is taken to be on the stop; "
    "the force of the press once it touches is not judged.",
    "A numerical error is an estimate from three meshes, not a bound; a stress that cannot govern its row "
    "is solved on the coarsest alone, with the 4 % error that is usual there.",
)

ROUTES = (
    "An aid to judgement, not an approval; see the cautions of `hoopwright check`. Costs and needs are "
    "as you stated them."
)

CUTTING = (
    "An aid to judgement, not an approval; see the cautions of `hoopwright check`. Look for cracks "
    "before you cut, and check the gauge against a known size before you trust a micrometre."
)

PRESSING = (
    "An aid to judgement, not an approval. Stand clear of the press line and wear eye protection; a "
    "sleeve that lets go is a projectile, and a hot shell burns.",
    "Forces are friction times pressure: friction is the least certain number here, and the low and "
    "high values are the case's own. Numerical error is far below that.",
)

SLIPPING_IN = (
    "An aid to judgement, not an approval. A hot shell and a frozen sleeve burn: wear gloves for both. A "
    "sleeve that sticks half way has to be pushed, and none of this was judged for that.",
)

ON_PAPER = (
    "An aid to judgement, not an approval.",
    "Look for cracks before you cut. Clamp a thin shell without crushing it; measure it again released.",
    "Eye protection; stand clear of the press line. A hot shell and a frozen sleeve burn.",
)
"""For a page that has room for little more."""

ODD_LOBES = (
    "readings across two opposite points cannot see lobes of odd number; three_lobe needs a three-point "
    "gauge or a dial round the bore"
)
