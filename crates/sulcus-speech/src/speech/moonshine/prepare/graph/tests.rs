//! Rewriting a small made-up model: what is multiplied stays the same number for number.

use super::*;

/// Depth of one block, and two columns.
const DEPTH: usize = 32;
const WIDTH: usize = 2;
const SCALE: f32 = 0.5;
/// offset / scale = 4, so the zero point is -4.
const OFFSET: f32 = 2.0;

fn stored() -> Vec<i8> {
    (0..DEPTH * WIDTH)
        .map(|i| (i as i32 * 37 % 256 - 128) as i8)
        .collect()
}

fn node(op: &str, inputs: &[&str], outputs: &[&str]) -> Writer {
    let mut out = Writer::default();
    for input in inputs {
        out.text(field::NODE_INPUT, input);
    }
    for output in outputs {
        out.text(field::NODE_OUTPUT, output);
    }
    out.text(field::NODE_OP, op);
    out
}

fn value(name: &str) -> Writer {
    let mut out = Writer::default();
    out.text(field::VALUE_NAME, name);
    out
}

fn branch(name: &str, nodes: &[Writer], outputs: &[&str]) -> Writer {
    let mut graph = Writer::default();
    for node in nodes {
        graph.message(field::GRAPH_NODE, node);
    }
    for output in outputs {
        graph.message(field::GRAPH_OUTPUT, &value(output));
    }
    let mut attribute = Writer::default();
    attribute
        .text(field::ATTRIBUTE_NAME, name)
        .message(field::ATTRIBUTE_GRAPH, &graph);
    attribute
}

/// A weight used turned in one branch, plain and as a table in the other.
fn model() -> Vec<u8> {
    let bytes: Vec<u8> = stored().iter().map(|&v| v as u8).collect();
    let mut graph = Writer::default();
    graph
        .message(field::GRAPH_NODE, &node("Cast", &["w_stored"], &["w_cast"]))
        .message(
            field::GRAPH_NODE,
            &node("Mul", &["w_cast", "scale"], &["w_scaled"]),
        )
        .message(
            field::GRAPH_NODE,
            &node("Add", &["w_scaled", "offset"], &["w"]),
        );
    let mut branches = node("If", &["choice"], &["out", "side"]);
    branches
        .message(
            field::NODE_ATTRIBUTE,
            &branch(
                "then_branch",
                &[
                    node("MatMul", &["x", "w"], &["then_out"]),
                    node("Gather", &["w", "ids"], &["then_side"]),
                ],
                &["then_out", "then_side"],
            ),
        )
        .message(
            field::NODE_ATTRIBUTE,
            &branch(
                "else_branch",
                &[
                    node("Transpose", &["w"], &["w_turned"]),
                    node("MatMul", &["y", "w_turned"], &["else_out"]),
                    node("Neg", &["x"], &["else_side"]),
                ],
                &["else_out", "else_side"],
            ),
        );
    graph
        .message(field::GRAPH_NODE, &branches)
        .message(
            field::GRAPH_INITIALIZER,
            &tensor_of("w_stored", TYPE_INT8, &[DEPTH, WIDTH], &bytes),
        )
        .message(
            field::GRAPH_INITIALIZER,
            &tensor_of("scale", TYPE_FLOAT, &[1], &SCALE.to_le_bytes()),
        )
        .message(
            field::GRAPH_INITIALIZER,
            &tensor_of("offset", TYPE_FLOAT, &[1], &OFFSET.to_le_bytes()),
        );
    for name in ["x", "y", "ids", "choice"] {
        graph.message(field::GRAPH_INPUT, &value(name));
    }
    for name in ["out", "side"] {
        graph.message(field::GRAPH_OUTPUT, &value(name));
    }
    let mut model = Writer::default();
    model.number(1, 10).message(field::MODEL_GRAPH, &graph);
    model.bytes
}

/// Operator, inputs, outputs.
type Written = (String, Vec<String>, Vec<String>);

/// The nodes, the names of the graph's inputs, and the data of the stored weight.
fn rewritten(part: Part, keep: fn(&str) -> bool) -> (Vec<Written>, Vec<String>, Vec<u8>) {
    let bytes = rewrite(&model(), part, keep, None).unwrap().bytes;
    let fields = wire::read(&bytes).unwrap();
    assert_eq!(number_of(&fields, 1), 10, "the other fields stay");
    let graph = wire::read(bytes_of(&fields, field::MODEL_GRAPH).unwrap()).unwrap();
    let mut nodes = Vec::new();
    let mut inputs = Vec::new();
    let mut weight = Vec::new();
    for (field, value) in graph {
        let Value::Bytes(bytes) = value else { continue };
        if field == field::GRAPH_NAME {
            continue;
        }
        let fields = wire::read(bytes).unwrap();
        match field {
            field::GRAPH_NODE => nodes.push((
                text_of(&fields, field::NODE_OP).to_owned(),
                texts_of(&fields, field::NODE_INPUT),
                texts_of(&fields, field::NODE_OUTPUT),
            )),
            field::GRAPH_INPUT => inputs.push(name_of(bytes).unwrap()),
            field::GRAPH_INITIALIZER
                if text_of(&fields, field::TENSOR_NAME) == "w_stored/stored" =>
            {
                weight = bytes_of(&fields, field::TENSOR_RAW).unwrap().to_vec();
            }
            _ => {}
        }
    }
    (nodes, inputs, weight)
}

#[test]
fn a_branch_takes_the_place_of_its_if_and_multiplies_the_stored_weight() {
    let (nodes, inputs, weight) = rewritten(Part::Then, |_| true);
    let ops: Vec<&str> = nodes.iter().map(|(op, ..)| op.as_str()).collect();
    assert_eq!(ops, ["MatMulNBits", "Gather", "Cast", "Mul", "Add"]);
    assert_eq!(nodes[0].2, ["out"]);
    assert_eq!(nodes[4].2, ["side"]);
    assert_eq!(inputs, ["x", "ids"]);
    // Column by column, and the same value: scale * (stored - zero) = scale * old + offset.
    let zero = 128.0 - OFFSET / SCALE;
    for column in 0..WIDTH {
        for row in 0..DEPTH {
            let new = SCALE * (f32::from(weight[column * DEPTH + row]) - zero);
            let old = SCALE * f32::from(stored()[row * WIDTH + column]) + OFFSET;
            assert_eq!(new, old);
        }
    }
}

#[test]
fn outputs_left_out_take_their_nodes_and_inputs_with_them() {
    let (nodes, inputs, _) = rewritten(Part::Then, |name| name == "side");
    let ops: Vec<&str> = nodes.iter().map(|(op, ..)| op.as_str()).collect();
    assert_eq!(ops, ["Gather", "Cast", "Mul", "Add"]);
    assert_eq!(inputs, ["ids"]);
}

#[test]
fn what_does_not_fit_is_refused_with_a_reason() {
    // Turned, the weight is 2 deep: no block of 32.
    assert!(
        rewrite(&model(), Part::Else, |_| true, None)
            .unwrap_err()
            .contains("depth")
    );
    assert!(
        rewrite(&model(), Part::Whole, |_| true, None)
            .unwrap_err()
            .contains("If")
    );
    assert!(rewrite(b"no model", Part::Then, |_| true, None).is_err());
    assert!(rewrite(&[], Part::Then, |_| true, None).is_err());
}
