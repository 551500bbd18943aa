"""Nonlinear adjustments by scipy, which the library's own test holds itself against.

`python test_adjustment.py` writes the fixture of crates/evidence anew; the test computes it again and compares, so that what the
library is held against is what scipy says today.
"""

import json
import sys
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

FIXTURE = Path(__file__).resolve().parents[2] / "tests/solve/src/evidence/scipy.json"


def noise(count, seed):
    """Errors of one unit's scatter, the same on every machine and in every version: a list of its own, not a library's."""
    return np.sqrt(2.0) * np.sin(np.arange(1, count + 1) ** 2 * (1.234567 + seed))


def ringing(s, x):
    """A cosine that dies away over a floor."""
    return s[0] * np.exp(-s[1] * x[:, 0]) * np.cos(s[2] * x[:, 0] + s[3]) + s[4]


def stretched(s, x):
    """A series that is stretched the more, the higher: its figures are 1e7 apart."""
    n = x[:, 0]
    return n * s[0] * np.sqrt(1.0 + s[1] * n * n)


def circle(s, x):
    """How far points stand outside a circle."""
    return np.sqrt((x[:, 0] - s[0]) ** 2 + (x[:, 1] - s[1]) ** 2) - s[2]


def ranges(s, x):
    """Distances to known points with a tape that adds a share of its own, the last row being what is known of that share."""
    far = np.sqrt((x[:, 0] - s[0]) ** 2 + (x[:, 1] - s[1]) ** 2) + s[2]
    return np.where(x[:, 2] == 0.0, far, s[2])


FORMS = {form.__name__: form for form in (ringing, stretched, circle, ranges)}


def problem(form, true, start, x, sure_to, seed):
    x, sure_to = np.array(x, dtype=float), np.array(sure_to, dtype=float)
    values = np.round(FORMS[form](np.array(true), x) + sure_to * noise(len(x), seed), 5)
    return {"form": form, "start": start, "x": x.tolist(), "values": values.tolist(), "sure_to": sure_to.tolist()}


def problems():
    turn = np.round(np.linspace(0.3, 4.1, 15), 3)
    posts = [(0, 0), (12, 1), (11, 9), (-1, 8), (5, 14), (17, 5), (0, 0), (12, 1)]
    return [
        problem("ringing", [3.1, 0.21, 1.7, 0.4, 0.8], [2.5, 0.3, 1.6, 0.2, 0.5],
                [[0.25 * i] for i in range(32)], [0.02 + 0.01 * (i % 4) for i in range(32)], 0.0),
        problem("stretched", [196.2, 4.1e-5], [190.0, 1e-5], [[n] for n in range(1, 25)],
                [0.05 * n ** 0.5 for n in range(1, 25)], 0.1),
        problem("circle", [40.0, -25.0, 254.0], [30.0, 0.0, 200.0],
                [[round(40 + 254 * np.cos(t), 2), round(-25 + 254 * np.sin(t), 2)] for t in turn], [0.02] * 15, 0.2),
        problem("ranges", [4.0, 5.0, 0.06], [3.0, 3.0, 0.0],
                [[a, b, 0] for a, b in posts] + [[0, 0, 1]], [0.02] * 4 + [0.03] * 4 + [0.1], 0.3),
    ]


def solved(given):
    """State, covariance, sum of squares and standardised residuals: values less expectations, over what they vary by."""
    form, x = FORMS[given["form"]], np.array(given["x"])
    values, sure_to = np.array(given["values"]), np.array(given["sure_to"])

    def slopes(state):
        # Derivatives by a complex step: exact to rounding.
        step = 1e-30j
        columns = [form(state + step * unit, x).imag / 1e-30 for unit in np.eye(len(state))]
        return np.stack(columns, axis=1) / sure_to[:, None]

    start = np.array(given["start"], dtype=float)
    tight = 3 * np.finfo(float).eps
    found = least_squares(lambda s: (form(s, x) - values) / sure_to, start, jac=slopes, method="lm",
                          x_scale="jac", xtol=tight, ftol=tight, gtol=tight)
    assert found.success, given["form"]
    # Sums of squares differ no more where half of the state's digits are still to come: three linear steps bring them.
    state = found.x
    for _ in range(3):
        jac = slopes(state)
        lengths = np.linalg.norm(jac, axis=0)
        step = np.linalg.lstsq(jac / lengths, (values - form(state, x)) / sure_to)[0] / lengths
        assert (np.abs(step) < 1e-6 * np.abs(state)).all(), (given["form"], step)
        state = state + step
    jac, left = slopes(state), (values - form(state, x)) / sure_to
    lengths = np.linalg.norm(jac, axis=0)
    q, r = np.linalg.qr(jac / lengths)
    shares = np.linalg.inv(r) / lengths[:, None]
    checked = 1.0 - (q * q).sum(axis=1)
    return {
        "state": state.tolist(),
        "covariance": (shares @ shares.T).tolist(),
        "squares": float(left @ left),
        "off": (left / np.sqrt(checked)).tolist(),
        "checked": checked.tolist(),
    }


def test_the_fixture_is_what_scipy_says():
    kept = json.loads(FIXTURE.read_text())
    now = problems()
    assert [k["given"]["form"] for k in kept] == [p["form"] for p in now]
    for entry, given in zip(kept, now):
        form = given["form"]
        for key in ("x", "values", "sure_to", "start"):
            assert np.allclose(entry["given"][key], given[key], rtol=0, atol=2e-5), (form, key)
        # Of the figures that are kept, so that a last digit of a sine on another machine is no difference.
        for key, wanted in solved(entry["given"]).items():
            got, wanted = np.array(entry["found"][key]), np.array(wanted)
            scale = np.sqrt(np.outer(np.diag(wanted), np.diag(wanted))) if key == "covariance" else np.abs(wanted) + (key == "off")
            assert got.shape == wanted.shape and (np.abs(got - wanted) <= 1e-9 * scale).all(), (form, key)


if __name__ == "__main__":
    entries = [{"given": given, "found": solved(given)} for given in problems()]
    FIXTURE.write_text(json.dumps(entries, indent=1) + "\n")
    print(f"wrote {FIXTURE}", file=sys.stderr)
