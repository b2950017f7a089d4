"""What can hurt whoever does the work."""

from __future__ import annotations

CAUTIONS = (
    "An array cannot be switched off while it is light: every string is live from the moment it is "
    "connected, at nearly its full voltage even at dawn and under cloud. Cover modules or work "
    "without light where ends are bare.",
    "Never open a connector, a fuse holder or an isolator that is not made for it while current "
    "flows: an arc of direct current does not go out by itself.",
    "Measure volts before amperes, with a meter rated above the largest voltage on the placard, "
    "and check the polarity of every string before it meets another one or the equipment.",
    "Open contacts do not prove that both sides are dead: array, battery and equipment can each "
    "feed a part. Lock out all of them, wait as the maker says, and measure.",
    "This is work for a qualified person. Permits, inspection and the adopted local code decide; "
    "what is written here is an aid to them, not an approval.",
)
