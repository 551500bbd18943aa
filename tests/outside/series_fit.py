"""Pitch and B of a recorded string by numpy and scipy, in two ways that are not bonewright's."""

import numpy as np
from recordings import onset
from scipy.optimize import least_squares

CENTS = 1200 / np.log(2)


def fitted(numbers, frequencies, f0):
    """f0, B and a of `n f0 sqrt(1 + B n^2)` times a/n^2 cents, robustly; B's standard uncertainty."""
    n, f = np.asarray(numbers, float), np.asarray(frequencies)
    measured = CENTS * np.log(f / (n * f0))

    def left(x):
        return x[0] + 0.5 * CENTS * np.log1p(np.maximum(1e-5 * x[1] * n**2, -0.5)) + x[2] / n**2 - measured

    start = [0.0, 5.0, 0.0]
    for scale in (3.0, 1.0):
        found = least_squares(left, start, loss="cauchy", f_scale=scale, x_scale=[1, 1, 1])
        start = found.x
    inliers = np.abs(left(found.x)) < 4
    spread = np.median(np.abs(left(found.x))) * 1.48
    jacobian = found.jac[inliers]
    covariance = np.linalg.pinv(jacobian.T @ jacobian) * max(spread, 0.1) ** 2
    return f0 * np.exp(found.x[0] / CENTS), 1e-5 * found.x[1], 1e-5 * np.sqrt(covariance[1, 1])


def by_phase(data, rate, f0, start=0.1, seconds=1.5):
    """Every partial mixed down and low-passed; its frequency is how its phase turns, weighed by its power."""
    first = onset(data, rate) + int(start * rate)
    stretch = data[first : first + int(seconds * rate)]
    t = np.arange(len(stretch)) / rate
    width = int(rate / f0 * 6)
    low = np.hanning(width) / np.hanning(width).sum()
    numbers, frequencies = [], []
    b, pitch = 5e-5, f0
    for n in range(1, 31):
        if len(numbers) in (6, 10, 15, 20, 25):
            pitch, b, _ = fitted(numbers, frequencies, f0)
        guess = n * pitch * np.sqrt(1 + b * n**2)
        if guess > 0.45 * rate:
            break
        down = np.convolve(stretch * np.exp(-2j * np.pi * guess * t), low, mode="valid")[:: max(1, width // 8)]
        times = np.arange(len(down)) * max(1, width // 8) / rate
        power = np.abs(down) ** 2
        keep = power > 0.02 * power.max()
        if keep.sum() < 8 or np.abs(down).max() < 3e-5:
            continue
        phase = np.unwrap(np.angle(down[keep]))
        slope = np.polyfit(times[keep], phase, 1, w=np.sqrt(power[keep]))[0]
        f = guess + slope / (2 * np.pi)
        if n <= 8 or abs(CENTS * np.log(f / guess)) < 12:
            numbers.append(n)
            frequencies.append(f)
    return fitted([n for n in numbers if n > 1], [f for n, f in zip(numbers, frequencies) if n > 1], f0)


def by_transform(data, rate, f0, stretches=17, seconds=0.6):
    """Peaks of windowed transforms of as many stretches as bonewright takes, and the same fit by scipy, robust: a pitch of each stretch,
    B and a. What is compared for speed."""
    first = onset(data, rate)
    size = int(seconds * rate)
    window = np.hanning(size)
    padded = 1 << int(np.ceil(np.log2(2 * size)))
    rows = []
    for k in range(stretches):
        stretch = data[first + int(0.25 * k * rate) :][:size]
        if len(stretch) < size:
            break
        power = np.abs(np.fft.rfft(stretch * window, padded)) ** 2
        for n in range(2, 31):
            guess = n * f0 * np.sqrt(1 + 6e-5 * n**2)
            reach = 0.012 * guess
            low, high = int((guess - reach) * padded / rate), int((guess + reach) * padded / rate) + 2
            if high + 1 >= len(power):
                break
            at = low + int(power[low:high].argmax())
            a, b, c = np.log(power[at - 1 : at + 2] + 1e-300)
            rows.append((k, n, (at + 0.5 * (a - c) / (a - 2 * b + c)) * rate / padded))
    which, n, f = (np.array(column) for column in zip(*rows))
    measured = CENTS * np.log(f / (n * f0))

    def left(x):
        return x[2 + which] + 0.5 * CENTS * np.log1p(np.maximum(1e-5 * x[0] * n**2, -0.5)) + x[1] / n**2 - measured

    start = np.zeros(3 + which.max())
    start[0] = 5.0
    for scale in (3.0, 1.0):
        found = least_squares(left, start, loss="cauchy", f_scale=scale)
        start = found.x
    return f0 * np.exp(np.median(found.x[2:]) / CENTS), 1e-5 * found.x[0]


def by_autocorrelation(data, rate, f0):
    """The pitch that a general reading of a sound's period gives: the highest peak of the autocorrelation near the note."""
    first = onset(data, rate) + rate // 10
    stretch = data[first : first + rate]
    spectrum = np.fft.rfft(stretch * np.hanning(len(stretch)), 4 * rate)
    correlation = np.fft.irfft(np.abs(spectrum) ** 2)
    lags = np.arange(int(rate / f0 / 1.06), int(rate / f0 * 1.06) + 1)
    at = lags[correlation[lags].argmax()]
    a, b, c = correlation[at - 1 : at + 2]
    return rate / (at + 0.5 * (a - c) / (a - 2 * b + c))
