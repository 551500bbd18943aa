"""The likeliest instrument of ten surveys with further readings, against scipy on a second model of every reading (readings.py).

Each survey is an example with readings of an instrument that is off from it by some of what is known beforehand, with errors; half of
its strings' readings are repeated on a second visit.
"""

import json
import re
import subprocess

import numpy as np
import pytest
from conftest import EXAMPLES, TREE, plan_of
from readings import SURE, Survey
from test_adjustment import noise

# Of a figure, over its standard uncertainty or itself, whichever is more; of covariance, over the two uncertainties.
SAME = 1e-9
# Covariance by normal equations loses as much as their condition, the square of the slopes', takes of its digits.
LOST = 10.0 * np.finfo(float).eps

PLAIN_STEEL = ["core of set"] * 4 + ["plain"] * 2
PAIRED = ["core of set"] * 4 + ["plain"] * 4
SETS = {
    "parlour": ["core", *PLAIN_STEEL[1:]],
    "sound": PLAIN_STEEL,
    "neck-set-due": PLAIN_STEEL,
    "zero-fret": PLAIN_STEEL,
    "nylon-drop-in": ["response of set"] * 6,
    "tenor-ukulele": ["response of set"] * 4,
    "baritone-ukulele": ["response of set"] * 4,
    "mandolin": PAIRED,
    "fanned-seven": ["core of set"] * 4 + ["plain"] * 3,
    "twelve-string": ["core of set", "core of set", "plain", "core of set"] + ["plain", "core of set"] * 2 + ["plain"] * 4,
}
ON_STRINGS = [("Clearance", "first_fret_clearance", "mm"), ("HeldAtThree", "held_at_3", "mm"), (("Action", 12), "action_12", "mm"),
              ("Contact", "contact_from_fret_12", "mm"), ("SaddleHeight", "saddle_height", "mm"),
              ("SaddleBack", "saddle_back", "mm"), ("Exposure", "exposure", "mm"), ("OverBridge", "over_bridge", "mm"),
              (("Cents", 12), "cents_12", "cents"), ("Inharmonicity", "inharmonicity", "")]
AT_ENDS = [("SlotEdge", "edge_from_fret_12"), ("BridgeTop", "bridge_top"), ("SlotDepth", "depth")]


def without(text, table):
    """A job without one of its tables."""
    return re.sub(rf"(?ms)^\[{table}\].*?(?=^\[|\Z)", "", text)


def known_of(job):
    command = ["cargo", "run", "--quiet", "-p", "bonewright-benches", "--bin", "known", "--", str(job)]
    done = subprocess.run(command, cwd=TREE, capture_output=True, text=True, timeout=1800)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def length(value):
    """A length of an example, mm."""
    number, unit = re.fullmatch(r"([\d./]+)\s*(in|mm|thou)?", value.replace('"', "").strip()).groups()
    figure = eval(number) if "/" in number else float(number)  # noqa: S307, a quotient of two numbers of our own files
    return figure * {"in": 25.4, "mm": 1.0, "thou": 0.0254, None: None}[unit]


def present(text, shares, default):
    """Present action of every string where the job has it, mm."""
    found = re.search(r"(?ms)^\[present\].*?^action_12 = \{ bass = ([^,]+), treble = ([^}]+?) ?\}", text)
    if not found:
        return None
    bass, treble = (length(v if re.search(r"[a-z]", v) else f"{v.replace(chr(34), '').strip()} {default}") for v in found.groups())
    return [bass + share * (treble - bass) for share in shares]


@pytest.mark.parametrize("stem", SETS)
def test_what_is_known_is_what_scipy_says(stem, tmp_path):
    text = next(p for p in EXAMPLES if p.stem == stem).read_text()
    text = without(re.sub(r"(?m)^cents_12 = .*$", "", text), "uncertainty")
    # Where a contact was read along with cents it calibrates nothing here.
    text = re.sub(r"(?ms)(^\[present\][^\[]*?)^contact_from_fret_12 = .*?$", r"\1", text)
    bare = tmp_path / f"{stem}.toml"
    bare.write_text(text)
    inputs = plan_of(bare)["inputs"]
    default = re.search(r'(?m)^unit = "(\w+)"', text)
    survey = Survey(inputs, None, False, SETS[stem], inputs["slot"]["width"])
    gaps = [s["present_nut"]["gap_1"] for s in inputs["strings"] if s["present_nut"]]
    # By shares at the nut, as its gaps were put between.
    shares = [(gap - gaps[0]) / (gaps[-1] - gaps[0]) for gap in gaps]
    actions = present(text, shares, default.group(1) if default else None)
    survey = Survey(inputs, actions, actions is not None, SETS[stem], inputs["slot"]["width"])

    strings = len(inputs["strings"])
    has_nut = inputs["strings"][0]["present_nut"] is not None
    wanted = [(of, at, key, unit, 1) for of, key, unit in (ON_STRINGS if has_nut else []) for at in range(strings)]
    wanted += [(of, at, key, unit, 2) for of, key, unit in (ON_STRINGS if has_nut else [])[2:] for at in range(0, strings, 2)]
    ends = [(of, at, key, "mm", visit) for visit in (1, 2) for of, key in AT_ENDS for at in (0, 1)]
    whole = [("NutTo12", None, "nut_to_12", "mm", 1), ("Relief", None, "relief", "mm", 2)]
    if not survey.by_reference:
        wanted += ends
    wanted += whole
    # Of the instrument as its survey has it, with an error of its own size each: so far as the tool goes.
    nominal = survey.rows([(of, at, 1.0, visit) for of, at, _, _, visit in wanted])
    names = figures(survey, nominal)
    expected = survey.expected(nominal, names, np.zeros((len(names), 1)))[:, 0]
    read = {(row[0][0], row[0][1], row[3]): value for row, value in zip(nominal, expected) if isinstance(row[0], tuple)}
    errors = noise(len(wanted), 0.37)
    further, rounds = [], []
    for (of, at, key, unit, visit), error in zip(wanted, errors):
        kind = of[0] if isinstance(of, tuple) else of
        near = float(read[of, at, visit])
        if kind == "Inharmonicity":
            value = float(f"{near * (1.0 + 0.7 * error * SURE[kind][0]):.4g}")
        else:
            value = round(near + 0.7 * error * SURE[kind][0], 4)
        if kind in ("Clearance", "HeldAtThree"):
            value = max(value, 0.01)
        further.append((of, at, value, visit))
        rounds.append((key, at, value, unit, visit))
    job = tmp_path / f"{stem}-read.toml"
    job.write_text(text + written(rounds, strings))
    theirs = known_of(job)

    rows = survey.rows(further)
    names = theirs["figures"]
    assert figures(survey, rows) == sorted(names)
    assert len(theirs["rows"]) == len(rows)
    state, covariance, squares, condition = survey.adjusted(rows, names)
    sure = np.sqrt(np.diag(covariance))
    off = np.abs(np.array(theirs["off"]) - state) / np.maximum(sure, np.abs(state))
    apart = np.abs(np.array(theirs["covariance"]) - covariance) / np.outer(sure, sure)
    print(f"{stem}: {len(names)} figures, {len(rows)} rows, squares {squares:.3f}, condition {condition:.1e}, "
          f"estimate to {off.max():.1e}, covariance to {apart.max():.1e}")
    assert off.max() < SAME, (names[int(off.argmax())], off.max())
    assert apart.max() < max(SAME, LOST * condition**2), apart.max()
    assert theirs["squares"] == pytest.approx(squares, rel=SAME)


def figures(survey, rows):
    """Figures of a state: those that something is known of beforehand, and those that are known by readings alone."""
    found = {"Stretch", "Relief", "Lean"} | {f"{of}({e})" for of in ("SlotPlace", "SlotHeight", "SlotThird") for e in (0, 1)}
    for what, *_ in rows:
        if isinstance(what, list):
            found |= {name for name, _ in what}
            continue
        of, at, *_ = what
        kind = of[0] if isinstance(of, tuple) else of
        if kind in ("RadiusAtNut", "RadiusAt12"):
            found.add(kind)
        if kind in ("Clearance", "HeldAtThree", "ZeroFret"):
            found.add(f"Nut({at})")
        if kind in ("Action", "Clearance", "OverBridge", "SaddleHeight", "SaddleBack", "Exposure", "Contact", "Cents"):
            found.add(f"Action({at})")
    return sorted(found)


def written(rounds, strings):
    """Rounds of the job file, one a key and visit."""
    out = ""
    for key, visit in dict.fromkeys((r[0], r[4]) for r in rounds):
        own = {at: (value, unit) for k, at, value, unit, v in rounds if (k, v) == (key, visit)}
        quoted = {at: f'"{value} mm"' if unit == "mm" else f"{value}" for at, (value, unit) in own.items()}
        if None in own:
            text = quoted[None]
        elif key in ("edge_from_fret_12", "bridge_top", "depth"):
            text = f"{{ bass = {quoted[0]}, treble = {quoted[1]} }}"
        else:
            text = "[" + ", ".join(quoted.get(i, '"-"') for i in range(strings)) + "]"
        out += f"\n[[readings]]\nvisit = {visit}\n{key} = {text}\n"
    return out
