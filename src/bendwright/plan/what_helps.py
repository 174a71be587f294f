"""What helps against one thing that is in the way of a stroke?"""

from __future__ import annotations

from bendwright.plan.explain import Obstacle
from bendwright.said import phrase, say

GAIN: dict[str, str] = {
    "the part itself": "a shorter flange, or a changed angle; no tool helps",
    "daylight": "lower tools, or a brake with more daylight",
    "punch stack": "a relief beside the bend, or a shorter flange between what stands at its ends",
}
"""Where millimetres lack, what can give them."""
HELP: dict[str, str] = {
    "gauge finger": "Stop on an edge farther out, or take a punch that is slimmer where the finger comes.",
    "way in": "Open a corner of one of the walls, take a lower punch, or a brake with more daylight.",
    "way off": "Open a corner of one of the walls, or take a punch slim enough to come out between them.",
    "punches": "Add a punch that suits the bend.",
    "punch stack": "Add pieces to the drawer that make up that length, or take other tools.",
    "stations": "Add pieces to the drawer, or make the part in two set-ups.",
    "the order": "Change what is settled of the order.",
}
"""Where no number tells."""
PRESSED = "Move the bend line clear of that sheet, or part it with a relief at the end of the bend."


def what_helps(item: Obstacle) -> str:
    """The cure of one obstacle, with its millimetres where it has some."""
    if item.helps:
        return item.helps
    if item.mm is None:
        return HELP.get(item.against, PRESSED)
    if item.against.startswith("shoulder"):
        return say("helps.narrower_die", mm=-item.mm)
    gain = GAIN.get(item.against, "a slimmer or deeper-throated tool, or a changed flange")
    return say("helps.gain", mm=-item.mm, gain=phrase(gain))
