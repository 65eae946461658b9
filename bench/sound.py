"""Reads and writes clips, 16 kHz, one channel, as numpy arrays from -1.0 to 1.0."""

import numpy as np
from scipy.io import wavfile

RATE = 16_000


def read(path):
    rate, samples = wavfile.read(path)
    if rate != RATE:
        raise ValueError(f"{path} has {rate} Hz, not {RATE}")
    if samples.dtype.kind == "i":
        samples = samples / float(2 ** (8 * samples.dtype.itemsize - 1))
    return samples.astype(np.float64)


def write(path, samples):
    wavfile.write(path, RATE, samples.astype(np.float32))


def as_pcm(samples):
    return np.round(np.clip(samples, -1, 1) * 32767).astype(np.int16).tobytes()
