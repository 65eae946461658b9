"""Another form of the recogniser's networks, to see what 8-bit sums are worth.

The model is published with 8-bit weights. The program multiplies them with sound rounded to 8 bits (MatMulNBits,
accuracy level 4). Beside it: the same weights with float sums. The other way there is nothing to try: ONNX Runtime's
`quantize_dynamic` finds no float weight left in a matrix product of these networks.
"""

import os
import shutil

import onnx

PREPARED = "moonshine/prepared-v1"
FLOAT_SUMS = 1
OWN = "8-bit weights, 8-bit sums (the program's)"


def variants(models, folder):
    """Name to a models folder. The first is the program's own; the program must have made its networks once."""
    found = {OWN: models}
    if not (models / PREPARED).exists():
        print("the networks are not prepared beside the models: the form with float sums is left out")
        return found
    place = folder / "float-sums"
    (place / PREPARED).mkdir(parents=True)
    os.symlink((models / "onnxruntime").resolve(), place / "onnxruntime")
    for file in (models / "moonshine").iterdir():
        if file.is_file():
            shutil.copy(file, place / "moonshine" / file.name)
    for file in sorted((models / PREPARED).glob("*.onnx")):
        network = onnx.load(file)
        for node in network.graph.node:
            for attribute in node.attribute:
                if node.op_type == "MatMulNBits" and attribute.name == "accuracy_level":
                    attribute.i = FLOAT_SUMS
        onnx.save(network, place / PREPARED / file.name)
    return found | {"8-bit weights, float sums": place}
