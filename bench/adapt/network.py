"""The recogniser's network between its prepared graphs and PyTorch: weights out, an adapter merged in.

The graphs are those that the program makes at its first start (`models/moonshine/prepared-v1`). A tensor bears the name
of its place in them ("encoder/layers.0/self_attn/q_proj"), which the program's own merging step uses too.

The adapter file: a line with the mark, a line of JSON (what it was made from, scale, list of layers), then for each
layer the matrices A (rank x in) and B (out x rank) as 16-bit floats, little endian. Merged: W + scale * B A.
"""

import hashlib
import json
import re
from pathlib import Path

import numpy as np
import onnx
from onnx import numpy_helper

MARK = b"sulcus-adapter 1\n"
FILES = ["encoder", "decoder-first", "decoder-next"]
# Values that share a scale in MatMulNBits.
BLOCK = 32
# Names of PyTorch's layers where they differ from the graph's.
TORCH_NAMES = {"dense": "o_proj", "up_proj": "fc1", "down_proj": "fc2"}


def place_of(file, output):
    """The name of a weight by what its multiplication puts out; None for the token table."""
    if output == "logits":
        return None
    found = re.match(r"/(?:model/decoder/)?(layers\.\d+/\w+/\w+)/MatMul_output_0$", output)
    if not found:
        raise ValueError(f"{file}: no place is known for {output}")
    return ("encoder/" if file == "encoder" else "decoder/") + found[1]


def torch_name(place):
    if place is None:
        return "model.decoder.embed_tokens.weight"
    *parts, last = place.split("/")
    return ".".join(["model", *parts, TORCH_NAMES.get(last, last), "weight"])


def as_floats(tensors, node):
    """The weight of a MatMulNBits, out x in."""
    stored, scales, zeros = (numpy_helper.to_array(tensors[name]) for name in node.input[1:4])
    scales = scales.reshape(stored.shape[0], stored.shape[1], 1)
    zeros = zeros.reshape(scales.shape).astype(np.float32)
    return ((stored.astype(np.float32) - zeros) * scales).reshape(stored.shape[0], -1)


def multiplications(graph):
    return [node for node in graph.node if node.op_type == "MatMulNBits"]


def read(folder):
    """All weights by PyTorch's names, as arrays."""
    state = {}
    for file in FILES[:2]:
        graph = onnx.load(str(Path(folder) / f"{file}.onnx")).graph
        tensors = {tensor.name: tensor for tensor in graph.initializer}
        for node in multiplications(graph):
            state[torch_name(place_of(file, node.output[0]))] = as_floats(tensors, node)
        for name, tensor in tensors.items():
            plain = name.replace("_merged_0", "")
            value = lambda name: numpy_helper.to_array(tensors[name])  # noqa: E731
            if file == "encoder":
                if re.match(r"conv[123]\.weight_quantized$", name):
                    conv = name[:5]
                    weight = value(name).astype(np.float32)
                    weight = weight * value(conv + ".weight_scale") + value(conv + ".weight_zero_point")
                    state[f"model.encoder.{conv}.weight"] = weight
                elif re.match(r"conv[23]\.bias$|layers\.\d+\..*(bias|weight)$|layer_norm\.weight$", plain):
                    state["model.encoder." + plain] = value(name)
                elif name == "onnx::Mul_1942":
                    state["model.encoder.groupnorm.weight"] = value(name).reshape(-1)
                elif name == "onnx::Add_1943":
                    state["model.encoder.groupnorm.bias"] = value(name).reshape(-1)
            elif re.match(r"model\.decoder\.(layers\.\d+\..*(bias|layernorm\.weight)|norm\.weight)$", plain):
                for graph_name, own_name in TORCH_NAMES.items():
                    plain = plain.replace(f".{graph_name}.", f".{own_name}.")
                state[plain] = value(name)
    return state


def build(folder):
    """The network in PyTorch, with the graphs' weights."""
    import torch
    from transformers import MoonshineConfig, MoonshineForConditionalGeneration

    config = MoonshineConfig(
        vocab_size=32768,
        hidden_size=416,
        intermediate_size=1664,
        encoder_num_hidden_layers=8,
        decoder_num_hidden_layers=8,
        encoder_num_attention_heads=8,
        decoder_num_attention_heads=8,
        encoder_num_key_value_heads=8,
        decoder_num_key_value_heads=8,
        rope_parameters=dict(rope_type="default", rope_theta=10000.0, partial_rotary_factor=0.62),
        attn_implementation="sdpa",
        tie_word_embeddings=True,
        use_cache=False,
    )
    model = MoonshineForConditionalGeneration(config)
    weights = {name: torch.tensor(np.array(value)) for name, value in read(folder).items()}
    missing, unexpected = model.load_state_dict(weights, strict=False)
    model.tie_weights()
    missing = [name for name in missing if name != "proj_out.weight"]
    if missing or unexpected:
        raise ValueError(f"the network has other weights: {missing}, {unexpected}")
    return model


def quantised(weight):
    """Stored bytes, scales and zero points, one scale for each block of 32."""
    rows, columns = weight.shape
    blocks = weight.reshape(rows, columns // BLOCK, BLOCK)
    low, high = np.minimum(blocks.min(2), 0), np.maximum(blocks.max(2), 0)
    scales = np.maximum((high - low) / np.float32(255), np.float32(1e-9)).astype(np.float32)
    zeros = np.clip(np.round(-low / scales), 0, 255)
    stored = np.clip(np.round(blocks / scales[..., None] + zeros[..., None]), 0, 255).astype(np.uint8)
    return stored, scales.reshape(-1), zeros.astype(np.uint8).reshape(-1)


def write_adapter(path, layers, scale, made_from):
    """`layers`: place to (A, B). `made_from`: whatever tells where it comes from."""
    places = sorted(layers)
    head = {
        "made_from": made_from,
        "scale": scale,
        "rank": int(layers[places[0]][0].shape[0]),
        "layers": [
            {"name": place, "in": int(layers[place][0].shape[1]), "out": int(layers[place][1].shape[0])}
            for place in places
        ],
    }
    with open(path, "wb") as file:
        file.write(MARK)
        file.write(json.dumps(head, separators=(",", ":")).encode() + b"\n")
        for place in places:
            for matrix in layers[place]:
                file.write(np.ascontiguousarray(matrix, dtype="<f2").tobytes())
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()


def read_adapter(path):
    with open(path, "rb") as file:
        if file.readline() != MARK:
            raise ValueError(f"{path} is no adapter")
        head = json.loads(file.readline())
        layers = {}
        for layer in head["layers"]:
            shapes = ((head["rank"], layer["in"]), (layer["out"], head["rank"]))
            layers[layer["name"]] = [
                np.frombuffer(file.read(2 * rows * columns), "<f2").reshape(rows, columns).astype(np.float32)
                for rows, columns in shapes
            ]
    return head, layers


def merge(folder, target, layers, scale):
    """Writes the graphs of `folder` with an adapter merged in to `target`; gives the worst rounding error, in parts of
    a matrix's highest value."""
    target.mkdir(parents=True, exist_ok=True)
    worst = 0.0
    for file in FILES:
        model = onnx.load(str(Path(folder) / f"{file}.onnx"))
        tensors = {tensor.name: tensor for tensor in model.graph.initializer}
        for node in multiplications(model.graph):
            place = place_of(file, node.output[0])
            if place not in layers:
                continue
            down, up = layers[place]
            weight = as_floats(tensors, node) + np.float32(scale) * (up @ down)
            parts = quantised(weight)
            zeros = parts[2].reshape(parts[0].shape[0], -1, 1).astype(np.float32)
            back = (parts[0] - zeros) * parts[1].reshape(zeros.shape)
            worst = max(worst, float(np.abs(back.reshape(weight.shape) - weight).max() / np.abs(weight).max()))
            for name, array in zip(node.input[1:4], parts):
                tensors[name].CopyFrom(numpy_helper.from_array(array, name))
        onnx.save(model, str(target / f"{file}.onnx"))
    return worst


class Tokens:
    """Text to the network's tokens and back."""

    def __init__(self, path):
        data, pieces, at = Path(path).read_bytes(), [], 0
        while at < len(data):
            size = data[at] & 0x7F
            if data[at] & 0x80:
                at += 1
                size |= data[at] << 7
            at += 1
            pieces.append(data[at : at + size])
            at += size
        self.pieces, self.number = pieces, {}
        for number, piece in enumerate(pieces):
            if number >= 259:
                self.number[piece] = number
            elif number >= 3:
                self.number.setdefault(piece, number)

    def word(self, word):
        parts = [letter.encode() for letter in word]
        while True:
            pairs = [
                (self.number[parts[i] + parts[i + 1]], i)
                for i in range(len(parts) - 1)
                if parts[i] + parts[i + 1] in self.number
            ]
            if not pairs:
                return [self.number[part] for part in parts]
            at = min(pairs)[1]
            parts[at : at + 2] = [parts[at] + parts[at + 1]]

    def encode(self, text):
        marked = "\u2581" + text.strip().replace(" ", "\u2581")
        return [token for word in re.findall("\u2581[^\u2581]*", marked) for token in self.word(word)]

    def decode(self, tokens):
        text = b"".join(self.pieces[token] for token in tokens if 3 <= token < len(self.pieces))
        return text.decode(errors="replace").replace("\u2581", " ").strip()
