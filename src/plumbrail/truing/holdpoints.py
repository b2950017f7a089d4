"""What a person looks at before and during the pour, whatever the readings say.

Temperatures: 40 °F as in ACI 306R, as quoted in public articles on cold-weather concreting; 95 °F
as in ACI 301 and 305.1, likewise. The rest is common practice, no published source.
"""

HOLD_POINTS = (
    "Buried services were located and marked before the digging (call before you dig), and every "
    "hole is clear of them.",
    "Footing inspection, where the building department asks for one: holes seen and signed for "
    "before any concrete goes in.",
    "Holes: of the planned width and depth, down to firm undisturbed ground, loose soil and water "
    "out, nothing frozen.",
    "Posts: braced both ways so that neither the top nor the foot can move in the pour; planned "
    "cover of concrete under and around each foot.",
    "Readings: taken after the last brace was fixed, and nothing bumped or moved since.",
    "Weather, cold: no concrete against frozen ground. When the air is at or may fall below 40 °F "
    "(4 °C), have warm concrete, covers and a protection period planned (ACI 306R, as publicly "
    "quoted).",
    "Weather, hot or wet: concrete no hotter than 95 °F (35 °C) as delivered (ACI 301, as publicly "
    "quoted); no pour in heavy rain; water kept out of the holes, none added to the mix.",
    "While the concrete can still be worked: take the plumb, string and rod readings once more "
    "and correct at once.",
    "After the pour: braces stay on, and no rail, module or person loads the frame before the "
    "concrete has the strength that the engineer or the maker of the mix states.",
)

CAUTIONS = (
    "Not judged by any reading here: where the frame stands from the pins and which way it faces, "
    "and beam ends that nobody measured. Check them against the setting-out sheet.",
    "Fresh concrete is caustic and burns skin and eyes: waterproof gloves, goggles, boots; wash "
    "splashes off at once with plenty of water; change soaked clothes.",
    "Cement and drilling dust harm the lungs: mask on, stand upwind.",
    "Bags and posts are heavy: lift with two, with the legs, or move them on wheels.",
    "Open holes are covered or fenced whenever nobody works at them.",
    "Nobody stands under a beam or post that hangs or is not braced.",
    "This is an aid to a competent person and no approval: the building department, the engineer "
    "of record and licensed practice decide.",
)
