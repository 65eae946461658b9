"""Noise of a treatment room, by sums: nothing recorded, so anybody may use it. Every sound has its seed.

Invariant: a kind and a seed always give the same sound, of root mean square 1.
"""

import numpy as np
from scipy.signal import butter, sosfilt

RATE = 16_000


def band(sound, low, high, order=2):
    if high >= RATE / 2 - 100:
        return sosfilt(butter(order, low, "highpass", fs=RATE, output="sos"), sound)
    return sosfilt(butter(order, [low, high], "bandpass", fs=RATE, output="sos"), sound)


def coloured(count, random, slope):
    """Noise whose power falls by `slope` times 3 dB an octave: 0 white, 1 pink, 2 brown."""
    spectrum = np.fft.rfft(random.standard_normal(count))
    spectrum[1:] /= np.arange(1, len(spectrum)) ** (slope / 2)
    spectrum[:3] = 0
    return np.fft.irfft(spectrum, count)


def slow(count, random, hz):
    """A curve about 0 that moves so many times a second, of deviation 1."""
    curve = sosfilt(butter(1, hz, "lowpass", fs=RATE, output="sos"), random.standard_normal(count))
    return curve / (curve.std() + 1e-12)


def whirr(count, random, hz, harmonics, fall, wander=0.01):
    """A turning machine: overtones of a pitch that wanders."""
    pitch = hz * (1 + wander * slow(count, random, 0.7))
    phase = 2 * np.pi * np.cumsum(pitch) / RATE
    total = np.zeros(count)
    for number in range(1, harmonics + 1):
        if hz * number < RATE / 2 - 200:
            total += np.sin(number * phase + random.uniform(0, 6)) * random.uniform(0.3, 1) / number**fall
    return total


def room(count, random):
    return coloured(count, random, random.uniform(0.7, 1.8))


def hiss(count, random):
    return coloured(count, random, random.uniform(-0.3, 0.6))


def compressor(count, random):
    thump = 1 + 0.6 * np.abs(np.sin(np.pi * random.uniform(4, 14) * np.arange(count) / RATE))
    return whirr(count, random, random.choice([50, 100, 120]), 24, 0.9, 0.003) * thump + 0.7 * coloured(count, random, 1.5)


def suction(count, random):
    """Air in a narrow pipe, gurgling when it meets water, with the pump behind."""
    air = band(random.standard_normal(count), random.uniform(200, 600), random.uniform(3500, 7800))
    centre = random.uniform(500, 1600)
    pipe = band(random.standard_normal(count), centre * 0.8, centre * 1.3)
    gurgle = np.clip(1 + random.uniform(0.2, 1.5) * slow(count, random, random.uniform(3, 15)), 0.1, 4)
    pump = whirr(count, random, random.uniform(80, 420), 12, 0.8)
    return air / air.std() + 1.4 * gurgle * pipe / pipe.std() + random.uniform(0, 0.8) * pump


def blower(count, random):
    """A warm-air blower or another fast motor with much air."""
    motor = whirr(count, random, random.uniform(120, 700), 14, random.uniform(0.3, 1.1), 0.006)
    air = coloured(count, random, random.uniform(0.2, 1.1))
    return random.uniform(0.2, 0.9) * motor / motor.std() + air / air.std()


def water(count, random):
    """Water falling into a basin: a rush, and bubbles that each ring at their own pitch."""
    rush = band(random.standard_normal(count), random.uniform(300, 1200), random.uniform(4000, 7800))
    rush = rush / rush.std() * np.clip(1 + 0.25 * slow(count, random, 6), 0.2, 3)
    bubbles = np.zeros(count)
    size = RATE // 12
    time = np.arange(size) / RATE
    for start in random.integers(0, max(1, count - size), int(count / RATE * random.uniform(20, 160))):
        rise = random.uniform(350, 2600) * (1 + random.uniform(0, 4) * time)
        ring = np.sin(2 * np.pi * np.cumsum(rise) / RATE) * np.exp(-time * random.uniform(30, 120))
        bubbles[start : start + size] += ring * random.exponential(1.0)
    return rush + random.uniform(0.3, 1.5) * bubbles / (bubbles.std() + 1e-9)


def scaler(count, random):
    """An ultrasonic tip: a thin whine below its working pitch, spray, and scratching on the tooth."""
    whine = whirr(count, random, random.uniform(2500, 6500), 3, 1.0, 0.01)
    spray = band(random.standard_normal(count), random.uniform(1500, 3000), 7900)
    touch = np.clip(slow(count, random, random.uniform(2, 8)), 0, 2)
    scratch = band(random.standard_normal(count), 2500, 7000) * touch
    return random.uniform(0.4, 1.5) * whine + spray / spray.std() + random.uniform(0, 2) * scratch / (scratch.std() + 1e-9)


def handpiece(count, random):
    whine = whirr(count, random, random.uniform(700, 4600), 5, 0.7, 0.03)
    load = np.clip(1 + 0.5 * slow(count, random, 1.5), 0.1, 2)
    spray = band(random.standard_normal(count), 2000, 7900)
    return whine * load / whine.std() + random.uniform(0.2, 1.2) * spray / spray.std()


def beeps(count, random):
    """A monitor: pips in a steady time over a quiet room, now and then an alarm of two tones."""
    time = np.arange(count) / RATE
    every, pitch = random.uniform(0.35, 1.3), random.uniform(500, 2400)
    sound = np.sin(2 * np.pi * pitch * time) * ((time % every) < random.uniform(0.05, 0.16))
    if random.random() < 0.4:
        other = pitch * random.choice([0.75, 0.8, 1.25, 1.5])
        sound = np.sin(2 * np.pi * np.where((time % 0.8) < 0.4, pitch, other) * time) * ((time % 0.4) < 0.3)
    return sound + 0.15 * coloured(count, random, 1)


def clatter(count, random):
    """Steel on a tray, drawers, a door."""
    sound = 0.01 * coloured(count, random, 1)
    size = RATE // 4
    time = np.arange(size) / RATE
    for start in random.integers(0, max(1, count - size), max(2, int(count / RATE * random.uniform(0.7, 4)))):
        if random.random() < 0.75:
            ring = sum(np.sin(2 * np.pi * hz * time + random.uniform(0, 6)) for hz in random.uniform(1200, 7500, 6))
            hit = ring * np.exp(-time * random.uniform(15, 90))
        else:
            hit = 4 * coloured(size, random, 2) / 0.01 * np.exp(-time * random.uniform(15, 50)) * 0.01
        sound[start : start + size] += hit * random.uniform(0.2, 1)
    return sound


def bark(count, random):
    """A dog somewhere: short hoarse tones that fall."""
    sound = 0.02 * coloured(count, random, 1)
    at = int(random.uniform(0, RATE))
    while at < count - RATE // 2:
        size = int(RATE * random.uniform(0.12, 0.4))
        time = np.arange(size) / RATE
        pitch = random.uniform(300, 900) * np.exp(-time * random.uniform(0.5, 3))
        voice = sum(np.sin(k * 2 * np.pi * np.cumsum(pitch) / RATE) / k for k in range(1, 8))
        rough = voice * (1 + 0.5 * random.standard_normal(size)) * np.sqrt(np.abs(np.sin(np.pi * time / time[-1])))
        sound[at : at + size] += rough * random.uniform(0.3, 1)
        at += size + int(RATE * random.uniform(0.1, 1.6))
    return sound


def music(count, random):
    """A radio: chords and a tune of plain tones, with a beat."""
    time = np.arange(count) / RATE
    sound = np.zeros(count)
    beat = random.uniform(0.25, 0.6)
    root = random.uniform(110, 260)
    for start in np.arange(0, count / RATE, beat):
        lasts = int(RATE * beat * random.choice([1, 2, 4]))
        first = int(start * RATE)
        piece = time[: max(0, min(lasts, count - first))]
        for step in random.choice([0, 2, 4, 5, 7, 9, 12, 16, 19], 3):
            hz = root * 2 ** (step / 12)
            tone = sum(np.sin(2 * np.pi * hz * k * piece) / k**1.5 for k in range(1, 5))
            sound[first : first + len(piece)] += tone * np.exp(-piece * 2.5)
        tick = random.standard_normal(800) * np.exp(-np.arange(800) / 150)
        sound[first : first + 800][: count - first] += tick[: count - first]
    return sound


KINDS = {
    kind.__name__: kind
    for kind in (room, hiss, compressor, suction, blower, water, scaler, handpiece, beeps, clatter, bark, music)
}


def make(kind, seed, seconds=15.0):
    random = np.random.default_rng([seed, list(KINDS).index(kind)])
    count = int(seconds * RATE)
    sound = KINDS[kind](count, random)[:count]
    return (sound / (sound.std() + 1e-9)).astype(np.float32)
