"""Trains a low-rank adapter: the sentences of the grammar written plainly, foreign speech as the network wrote it before.

All layers' matrices learn a change of rank 16; the rest stays. Sounds are varied anew each time: speed, room, colour,
bands from telephone to headset, level, and noise made by sums, with the backgrounds of Speech Commands (CC BY 4.0) but
for the running tap, which is measured with. A time limit ends it whatever the machine does.
"""

import csv
import hashlib
import json
import math
import random
import re
import time
import wave
from pathlib import Path

import network
import noise
import numpy as np
import torch
import torch.nn.functional as F
from texts import UNMET
from torch import nn

RATE = 16_000
RANK = 16
SCALE = 2.0
DROPOUT = 0.05
START, END = 1, 2
# Recorded noise that may be shipped from; the tap is kept to measure with.
BACKGROUNDS = ["doing_the_dishes.wav", "dude_miaowing.wav", "exercise_bike.wav", "pink_noise.wav", "white_noise.wav"]
# Recordings that a network may learn from, by the folders of the list.
FREE = ("an4/", "commands/")
# How often a clip is taken, by its voice: the many neural voices more, the ones that are hard to understand less.
VOICE_WEIGHTS = {"kokoro": 2.5, "joe": 1.0, "flite": 1.0, "espeak": 0.35}
NUMBERS = set(
    "zero oh one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand".split()
)


def is_tune(speaker):
    """The program's own halving of speakers (`sulcus score --split`)."""
    return hashlib.sha256(speaker.encode()).digest()[0] % 2 == 0


def is_left_out(speaker):
    """Tune speakers that only choose strength and threshold: a quarter."""
    return hashlib.sha256(b"choose " + speaker.encode()).digest()[0] % 4 == 0


def read_wav(path):
    with wave.open(str(path)) as file:
        sound = np.frombuffer(file.readframes(file.getnframes()), np.int16)
        if file.getframerate() == RATE:
            return sound
        from fractions import Fraction

        from scipy.signal import resample_poly

        ratio = Fraction(RATE, file.getframerate())
        sound = resample_poly(sound.astype(np.float64), ratio.numerator, ratio.denominator)
        return np.clip(np.round(sound), -32768, 32767).astype(np.int16)


class Clip:
    def __init__(self, sound, text, weight, foreign, kind):
        self.sound, self.text, self.weight, self.foreign, self.kind = sound, text, weight, foreign, kind


def recorded(speech, lone):
    """Clips of tune speakers, and digits of theirs joined to strings."""
    clips, singles = [], {}
    rows = list(csv.DictReader(open(Path(speech) / "manifest.tsv", encoding="utf-8"), delimiter="\t"))
    counts = {}
    for row in rows:
        counts[row["words"]] = counts.get(row["words"], 0) + 1
    for row in rows:
        said = row["words"].split()
        if not row["path"].startswith(FREE) or not is_tune(row["speaker"]) or is_left_out(row["speaker"]):
            continue
        if not said or any(word in UNMET for word in said):
            continue
        sound = read_wav(Path(speech) / row["path"])
        if len(sound) > 12 * RATE:
            continue
        is_string = row["path"].startswith("an4/")
        foreign = not (all(word in NUMBERS for word in said) or (len(said) == 1 and said[0] in lone))
        if is_string:
            weight = 6.0 / math.sqrt(counts[row["words"]])
        else:
            weight = 6.0 if foreign else 5.0
        text = network_style(row["words"]) if foreign else " ".join(said)
        clips.append(Clip(sound, text, weight, foreign, "recorded"))
        if not is_string and len(said) == 1 and said[0] in NUMBERS:
            loud = np.sqrt(np.convolve(sound.astype(np.float64) ** 2, np.ones(400) / 400, "same"))
            voiced = np.flatnonzero(loud > loud.max() * 0.08)
            singles.setdefault(said[0], []).append(sound[max(0, voiced[0] - 500) : voiced[-1] + 500])
    chance = random.Random(4)
    words = sorted(singles)
    for _ in range(1800 if words else 0):
        chosen = [chance.choice(words) for _ in range(chance.choice([2, 3, 3, 3, 4, 5, 6, 7]))]
        parts = []
        for word in chosen:
            sound = chance.choice(singles[word]).astype(np.float64)
            parts += [sound / np.abs(sound).max() * chance.uniform(0.3, 0.6), np.zeros(int(RATE * chance.uniform(0, 0.12)))]
        joined = (np.concatenate(parts) * 32767).astype(np.int16)
        clips.append(Clip(joined, " ".join(chosen), 1.2, False, "joined"))
    return clips


def network_style(words):
    return words[0].upper() + words[1:] + "."


def synthesised(folder):
    for listing in sorted(Path(folder).glob("speech*.json")):
        sound = np.load(listing.with_suffix(".npy"), mmap_mode="r")
        at = 0
        for kind, text, voice, length in json.loads(listing.read_text()):
            foreign = kind.startswith("not")
            weight = VOICE_WEIGHTS[voice.split()[0]] * (1.7 if foreign else 1.0)
            yield Clip(np.array(sound[at : at + length]), text, weight, foreign, kind)
            at += length


class Sounds:
    """All clips on the device, end to end, and the noises."""

    def __init__(self, clips, speech, device):
        self.device = device
        self.length = np.array([len(clip.sound) for clip in clips])
        self.offset = np.concatenate([[0], np.cumsum(self.length)[:-1]])
        self.all = torch.from_numpy(np.concatenate([clip.sound for clip in clips] + [np.zeros(1, np.int16)])).to(device)
        noises = [noise.make(kind, seed) for kind in noise.KINDS for seed in range(6)]
        for name in BACKGROUNDS:
            path = Path(speech) / "noise" / name
            if path.exists():
                sound = read_wav(path).astype(np.float32)
                noises += [sound / (sound.std() + 1e-9)] * 4
        self.noise_length = 30 * RATE
        self.noises = torch.stack(
            [torch.from_numpy(np.tile(one, self.noise_length // len(one) + 1)[: self.noise_length]) for one in noises]
        ).to(device)

    def place(self, picked, extra, chance):
        """The clips in silence, each somewhere; with where they begin and end."""
        length = int(self.length[picked].max()) + extra
        starts = np.array([chance.randint(0, length - n) for n in self.length[picked]])
        time_ = torch.arange(length, device=self.device)[None] - torch.from_numpy(starts).to(self.device)[:, None]
        sizes = torch.from_numpy(self.length[picked]).to(self.device)[:, None]
        inside = (time_ >= 0) & (time_ < sizes)
        at = torch.where(inside, time_ + torch.from_numpy(self.offset[picked]).to(self.device)[:, None], len(self.all) - 1)
        return self.all[at].float() / 32768, sizes[:, 0].float()

    def noise(self, count, length):
        def pieces():
            which = torch.randint(len(self.noises), (count,), device=self.device)
            start = torch.randint(max(1, self.noise_length - length), (count,), device=self.device)
            time_ = (start[:, None] + torch.arange(length, device=self.device)) % self.noise_length
            return self.noises[which[:, None], time_]

        sound = pieces()
        two = (torch.rand(count, 1, device=self.device) < 0.3) * torch.rand(count, 1, device=self.device)
        sound = sound / (sound.std(1, keepdim=True) + 1e-6) + two * pieces()
        # Talk behind, by the clips themselves.
        talk = torch.rand(count, device=self.device) < 0.07
        for row in torch.nonzero(talk).flatten().tolist():
            voices = torch.zeros(length, device=self.device)
            for _ in range(random.choice([1, 2, 3])):
                clip = random.randrange(len(self.length))
                start = random.randrange(length)
                size = min(length - start, int(self.length[clip]))
                voices[start : start + size] += self.all[self.offset[clip] : self.offset[clip] + size].float() / 32768
            sound[row] = voices / (voices.std() + 1e-6)
        return sound


def uniform(rows, low, high, device):
    return torch.empty(rows, 1, device=device).uniform_(low, high)


def coloured(spectrum, hz, banded):
    """A random colour: tilt, bumps, and where `banded` the limits of a telephone or a cheap microphone."""
    rows, device = len(spectrum), spectrum.device
    gain_db = torch.log2(hz.clamp(min=50) / 1000) * uniform(rows, -2, 2, device)
    bumps = torch.randn(rows, 1, 8, device=device) * 2
    gain_db = gain_db + F.interpolate(bumps, size=hz.numel(), mode="linear", align_corners=True)[:, 0]
    if banded:
        draw = torch.rand(rows, 1, device=device)
        telephone = draw < 0.3
        low = torch.where(telephone, uniform(rows, 180, 420, device), uniform(rows, 80, 350, device))
        high = torch.where(telephone, uniform(rows, 3100, 3800, device), uniform(rows, 5500, 7500, device))
        cut = 40 * torch.sigmoid((low - hz) / (low * 0.15)) + 40 * torch.sigmoid((hz - high) / (high * 0.03))
        gain_db = gain_db - (draw < 0.6) * cut
    return spectrum * 10 ** (gain_db / 20)


def varied(sounds, x, lengths, empty):
    """The batch as it might have been recorded elsewhere."""
    device, rows = x.device, len(x)
    speed = random.uniform(0.9, 1.12)
    length = int(x.shape[1] / speed)
    x = F.interpolate(x[:, None], size=length, mode="linear", align_corners=False)[:, 0]
    size = 1 << (length + RATE // 2 - 1).bit_length()
    hz = torch.fft.rfftfreq(size, 1 / RATE).to(device)
    spectrum = coloured(torch.fft.rfft(x, size), hz, False)
    time_ = torch.arange(RATE // 2, device=device) / RATE
    echo = torch.randn(rows, RATE // 2, device=device) * torch.exp(-6.9 * time_ / uniform(rows, 0.08, 0.5, device))
    echo[:, :16] = 0
    echo = echo / (echo.norm(dim=1, keepdim=True) + 1e-9)
    in_room = torch.rand(rows, 1, device=device) < 0.5
    echo = echo * 10 ** (-uniform(rows, 0, 18, device) / 20) * in_room
    echo[:, 0] = 1
    x = torch.fft.irfft(spectrum * torch.fft.rfft(echo, size), size)[:, :length]
    rms = torch.sqrt((x**2).sum(1) / (lengths / speed).clamp(min=1)) * 1.2 + 1e-6
    rms = torch.where(empty, torch.full_like(rms, 0.05), rms)
    other = torch.fft.irfft(coloured(torch.fft.rfft(sounds.noise(rows, length), size), hz, False), size)[:, :length]
    other = other / (other.std(1, keepdim=True) + 1e-6)
    snr_db = torch.empty(rows, device=device).uniform_(-2, 24)
    noisy = ((torch.rand(rows, device=device) < 0.72) | empty).float()
    x = torch.where(empty[:, None], torch.zeros_like(x), x) + other * (rms * 10 ** (-snr_db / 20) * noisy)[:, None]
    x = torch.fft.irfft(coloured(torch.fft.rfft(x, size), hz, True), size)[:, :length]
    x = x / (x.abs().amax(1, keepdim=True) + 1e-6) * uniform(rows, 0.04, 1.15, device)
    hiss = 10 ** uniform(rows, -4.3, -2.9, device) * x.abs().amax(1, keepdim=True)
    x = (x + torch.randn_like(x) * hiss).clamp(-1, 1)
    # A telephone's eight bits.
    companded = torch.sign(x) * torch.log1p(255 * x.abs()) / math.log(256)
    companded = torch.round(companded * 127) / 127
    coded = torch.sign(companded) * (torch.exp(companded.abs() * math.log(256)) - 1) / 255
    return torch.where(torch.rand(rows, 1, device=device) < 0.12, coded, x)


class Adapted(nn.Module):
    """A linear layer with a change of low rank."""

    def __init__(self, layer):
        super().__init__()
        self.layer = layer
        device = layer.weight.device
        self.down = nn.Parameter(torch.randn(RANK, layer.in_features, device=device) / math.sqrt(layer.in_features))
        self.up = nn.Parameter(torch.zeros(layer.out_features, RANK, device=device))

    def forward(self, x):
        return self.layer(x) + F.linear(F.linear(F.dropout(x, DROPOUT, self.training), self.down), self.up) * SCALE


def greedy(model, sound, tokens, steps=40):
    """What the network writes when nothing holds it."""
    with torch.no_grad():
        hidden = model.model.encoder(sound).last_hidden_state
        rows = torch.full((len(sound), 1), START, device=sound.device)
        ended = torch.zeros(len(sound), dtype=torch.bool, device=sound.device)
        for _ in range(steps):
            next_ = model(encoder_outputs=EncoderOut(hidden), decoder_input_ids=rows).logits[:, -1].argmax(-1)
            next_[ended] = END
            rows = torch.cat([rows, next_[:, None]], 1)
            ended |= next_ == END
            if ended.all():
                break
    return [tokens.decode([token for token in row if token != END]) for row in rows[:, 1:].tolist()]


class EncoderOut(dict):
    """What the model wants from its encoder."""

    def __init__(self, hidden):
        super().__init__()
        self.last_hidden_state, self.attention_mask, self.hidden_states, self.attentions = hidden, None, None, None


def distance(a, b):
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row = row, [i]
        for j, y in enumerate(b, 1):
            row.append(min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (x != y)))
    return row[-1]


def keep_own_text(model, clips, sounds, tokens, seconds):
    """Foreign clips keep the network's own text where it is nearly what was said: it shall write as before."""
    began = time.time()
    foreign = sorted((at for at, clip in enumerate(clips) if clip.foreign), key=lambda at: len(clips[at].sound))
    plain = lambda text: re.sub("[^a-z ]", "", text.lower()).split()  # noqa: E731
    chance, kept, seen = random.Random(0), 0, 0
    for start in range(0, len(foreign), 128):
        if time.time() - began > seconds:
            break
        group = foreign[start : start + 128]
        x, _ = sounds.place(np.array(group), 3200, chance)
        for at, text in zip(group, greedy(model, x + torch.randn_like(x) * 5e-4, tokens)):
            seen += 1
            said, wrote = plain(clips[at].text), plain(text)
            if text and text.isascii() and distance(said, wrote) <= len(said) // 4:
                clips[at].text, kept = text, kept + 1
    print(f"own text kept for {kept} of {seen} foreign clips", flush=True)


def batches(weights, lengths, seconds):
    """Clips of like length together, some `seconds` of sound a batch."""
    while True:
        picked = np.random.choice(len(weights), 6000, p=weights)
        picked = picked[np.argsort(lengths[picked] + np.random.uniform(-800, 800, len(picked)))]
        out, at = [], 0
        while at < len(picked):
            rows = max(8, min(256, int(seconds / (lengths[picked[at]] / RATE + 0.5))))
            out.append(picked[at : at + rows])
            at += rows
        random.shuffle(out)
        yield from out


def train(prepared, tokenizer, folder, speech, lone, seconds, rate=4e-4, steps=6000, batch_s=420, seed=1, few=None):
    """Gives the layers (place to A and B) and a line about the run."""
    began = time.time()
    random.seed(seed)
    np.random.seed(seed)
    torch.manual_seed(seed)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    tokens = network.Tokens(tokenizer)
    model = network.build(prepared).to(device).eval()
    clips = recorded(speech, set(lone)) + list(synthesised(folder))
    if few:
        clips = clips[:few] + clips[-few:]
    hours = sum(len(clip.sound) for clip in clips) / RATE / 3600
    of_people = sum(clip.kind == "recorded" for clip in clips)
    foreign = sum(clip.foreign for clip in clips)
    print(f"{len(clips)} clips, {hours:.2f} h, {of_people} recorded, {foreign} foreign", flush=True)
    sounds = Sounds(clips, speech, device)
    keep_own_text(model, clips, sounds, tokens, seconds / 5)
    targets = [[START, *tokens.encode(clip.text), END] for clip in clips]
    weights = np.array([clip.weight for clip in clips])
    weights /= weights.sum()

    for parameter in model.parameters():
        parameter.requires_grad_(False)
    adapted = {}
    for name, layer in list(model.named_modules()):
        if isinstance(layer, nn.Linear) and "layers" in name:
            parent, last = name.rsplit(".", 1)
            adapted[name] = Adapted(layer)
            setattr(model.get_submodule(parent), last, adapted[name])
    trained = [part for layer in adapted.values() for part in (layer.down, layer.up)]
    optimiser = torch.optim.AdamW(trained, lr=rate, weight_decay=0.01, betas=(0.9, 0.98))
    model.train()
    source, lost, done, loop = batches(weights, sounds.length, batch_s), [], 0, time.time()
    for step in range(steps):
        part = max(step / steps, (time.time() - loop) / max(1.0, seconds - (loop - began)))
        if part >= 1:
            break
        for group in optimiser.param_groups:
            group["lr"] = rate * min(1, (step + 1) / 100) * max(0.02, 0.5 * (1 + math.cos(math.pi * part)))
        picked = next(source)
        x, lengths = sounds.place(picked, random.randint(800, 9600), random)
        empty = torch.rand(len(picked), device=device) < 0.03
        with torch.no_grad():
            x = varied(sounds, x, lengths, empty)
        rows = [[START, END] if is_empty else targets[at] for at, is_empty in zip(picked, empty.tolist())]
        longest = max(map(len, rows))
        given = torch.full((len(rows), longest - 1), END)
        wanted = torch.full((len(rows), longest - 1), -100)
        for at, row in enumerate(rows):
            given[at, : len(row) - 1] = torch.tensor(row[:-1])
            wanted[at, : len(row) - 1] = torch.tensor(row[1:])
        given, wanted = given.to(device), wanted.to(device)
        with torch.autocast(device, dtype=torch.bfloat16, enabled=device == "cuda"):
            logits = model(input_values=x, decoder_input_ids=given).logits
        loss = F.cross_entropy(logits.float().flatten(0, 1), wanted.flatten(), ignore_index=-100, reduction="none")
        loss = (loss.view_as(wanted).sum(1) / (wanted >= 0).sum(1)).mean()
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(trained, 1.0)
        optimiser.step()
        done += 1
        if step % 20 == 0:
            lost.append(loss.item())
            if step % 200 == 0 or step in (20, 60):
                mean = np.mean(lost[-10:])
                print(f"step {step}: loss {mean:.4f}, {time.time() - loop:.0f} s, {tuple(x.shape)}", flush=True)
    layers = {
        name_of(name): [layer.down.detach().cpu().numpy(), layer.up.detach().cpu().numpy()]
        for name, layer in adapted.items()
    }
    how = {
        "clips": len(clips), "hours": round(hours, 2), "recorded": of_people, "foreign": foreign, "steps": done,
        "seconds_a_batch": batch_s, "rate": rate, "seed": seed, "loss": round(float(np.mean(lost[-20:])), 4),
    }  # fmt: skip
    print("trained", how, f"{time.time() - began:.0f} s", flush=True)
    return layers, how


def name_of(torch_name):
    """PyTorch's name of a layer to its place in the graphs."""
    _, part, _, number, block, last = torch_name.split(".")
    if last == "o_proj":
        last = "dense"
    elif part == "decoder":
        last = {"fc1": "up_proj", "fc2": "down_proj"}.get(last, last)
    return f"{part}/layers.{number}/{block}/{last}"
