"""What checks of speed ask for.

Each has a bar, which is measured on a machine that does nothing else: that is what a script asks for by itself. With
BONEWRIGHT_BARS=half, as .ci/run sets it, half of the bar is enough, so that a busy hour stops no good change. The figure
is printed with both.
"""

import os

CI_SHARE = 0.5
_BARS = os.environ.get("BONEWRIGHT_BARS", "whole")
if _BARS not in ("whole", "half"):
    raise ValueError(f"BONEWRIGHT_BARS is {_BARS!r}: expected half or whole")
SHARE = CI_SHARE if _BARS == "half" else 1.0


def _say(what, found, bar, asked, unit, word):
    print(f"{what}: {found:.4g}{unit}; bar {bar:g}{unit}, asked here {word} {asked:g}{unit}")


def fast_enough(what, found, bar, unit=""):
    """Whether a figure that should be large reaches what is asked; prints it."""
    asked = bar * SHARE
    _say(what, found, bar, asked, unit, "at least")
    return found >= asked


def short_enough(what, found, bar, unit):
    """Whether a time that should be short is within what is asked; prints it."""
    asked = bar / SHARE
    _say(what, found, bar, asked, unit, "at most")
    return found <= asked
