"""Sentences of the yield, in all their forms, that papers tell in another language."""

from __future__ import annotations

YIELD = (
    "Yield: 15,882 kWh a year",
    "Yield: at most 14,541 kWh a year",
    "Worst month: December, 21 kWh a day",
    "Worst month: December, at most 31.5 kWh a day",
    "Lost to shade: 637 kWh a year (3.9 %), spread over the year",
    "Lost to shade: 637 kWh a year (3.9 %), spread over several months",
    "Lost to shade: 637 kWh a year (3.9 %), mostly in December, January and May",
    "Lost to shade: 0.4 kWh a year (under 0.1 %)",
    "Lost to shade: not checked; the plan says nothing of what stands around",
    "Anywhere from 30° to 47° costs less than 1 % of the year, but up to 15 % of December.",
    "The plan's band, 30° to 35°, costs less than 1 % of the year at the most, and 5 % of "
    "December.",
    "The plan's tilt of 32° gives 0.5 % less than the year's best (38°) and as much as the best "
    "for December (73°). Best of all angles: 38° toward 179°; the plan's 178° with its tilt gives "
    "0.5 % less than that. Light on the open plane, without shade and snow.",
    "Weather: year.epw (EnergyPlus weather, Somewhere).",
    "A typical year as measured there. One year differs from the next: single years lie within "
    "about 10 % of a typical one (common practice, no published source).",
    *(f"The weather was measured {away} (year.epw, Place). Sun, cold and snow may differ; take a "
      "nearer station or monthly means for the site."
      for way in ("below", "above")
      for away in ("120 km (75 mi) away from the site", f"310 m (1017 ft) {way} it",
                   f"120 km (75 mi) away from the site and 310 m (1017 ft) {way} it")),
    "The plan has no [energy] section: weather and losses are not stated. A sky without any cloud "
    "and usual losses are taken; real years give much less.",
    "Where two hide the same sun neither alone costs it: 39 kWh more are lost to them together.",
    "Taken away one by one they add up to 39 kWh more than all together.",
    "wiring: give [wiring] with its run, or energy.losses.wiring",
    "shading of the sun", "shading of the sky", "reflection", "soiling", "snow",
    "warmth and weak light", "uneven light", "shared voltage", "mismatch", "first light", "wiring",
    "limits of the equipment", "conversion", "down time",
    "Horizon of the land",
    "-0.5 %", "over 99.9 %", "1 hour",
    *(f"Reliability {met}: {years}sun and battery alone serve 99.94 % of the load, the plan asks "
      "for 99 %. Unmet without a generator: 4.5 kWh in 1,018 hours."
      for met in ("MET", "NOT MET")
      for years in ("", "in 20 of 20 made years as much of the load is served as the plan asks "
                    "for, which must be so in 90 % of them. In the year shown here ")),
    "Over all 20 made years sun and battery alone serve 99.85 % of the load in the mean, 99.52 % "
    "in the worst (standard deviation 0.15 %); 26 hours are short in the mean, 0 to 82 (standard "
    "deviation 24).",
    "Generator of 2.5 kW: 1 hour, 94 kWh a year; unmet with it: 1 kWh in 2 hours.",
    *(f"Smallest array and battery that serve 99 % of the load without a generator{years}, any "
      "of: 1 module with 60 kWh; 20 modules with 40 kWh."
      for years in ("", " in at least 18 of 20 made years")),
    *(f"No pair of up to 40 modules and 60 kWh serves 99 % of the load without a generator{years}."
      for years in ("", " in at least 18 of 20 made years")),
    "Looked at in steps of 1 module and 10 kWh; a larger array is taken to be shaded like this "
    "one, with equipment to match. One year of weather: a harder winter will come.",
    "The order of bright and dull days is made, not measured, in every one of these years, and "
    "all of them have the same monthly means: real years differ by more. For a battery that must "
    "last take a weather file, or several.",
)  # fmt: skip
