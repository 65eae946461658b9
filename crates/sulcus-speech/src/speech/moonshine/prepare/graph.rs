//! Rewrites an ONNX graph so that its 8-bit weights are used as they are.
//!
//! The model file turns every weight into 32-bit floats again in each run (Cast, Mul, Add): nine tenths of a decoder
//! step. Here a multiplication by such a weight becomes MatMulNBits, which takes the 8-bit weight itself, and the
//! token table is looked up before it is turned to floats. The weights' values stay the same; the other factor is
//! rounded to 8 bits in blocks of 32 (measured: 97 of 100 free texts the same, log probabilities within 0.07).
//! Also lifts one branch out of the merged decoder's If, and adds an adapter's changes to the weights: these are rounded
//! to 8 bits again, with a scale for each block of 32, so that no more is lost than was.

use std::collections::{HashMap, HashSet};

use super::adapter::Adapter;
use super::wire::{self, Fields, Value, Writer};

/// Field numbers of onnx.proto (ONNX, Apache-2.0).
mod field {
    pub const MODEL_GRAPH: u32 = 7;
    pub const GRAPH_NODE: u32 = 1;
    pub const GRAPH_NAME: u32 = 2;
    pub const GRAPH_INITIALIZER: u32 = 5;
    pub const GRAPH_INPUT: u32 = 11;
    pub const GRAPH_OUTPUT: u32 = 12;
    pub const NODE_INPUT: u32 = 1;
    pub const NODE_OUTPUT: u32 = 2;
    pub const NODE_NAME: u32 = 3;
    pub const NODE_OP: u32 = 4;
    pub const NODE_ATTRIBUTE: u32 = 5;
    pub const NODE_DOMAIN: u32 = 7;
    pub const ATTRIBUTE_NAME: u32 = 1;
    pub const ATTRIBUTE_INTEGER: u32 = 3;
    pub const ATTRIBUTE_GRAPH: u32 = 6;
    pub const ATTRIBUTE_TYPE: u32 = 20;
    pub const TENSOR_DIMS: u32 = 1;
    pub const TENSOR_TYPE: u32 = 2;
    pub const TENSOR_FLOATS: u32 = 4;
    pub const TENSOR_NAME: u32 = 8;
    pub const TENSOR_RAW: u32 = 9;
    pub const VALUE_NAME: u32 = 1;
}

const TYPE_FLOAT: u64 = 1;
const TYPE_UINT8: u64 = 2;
const TYPE_INT8: u64 = 3;
/// AttributeProto.AttributeType.INT.
const ATTRIBUTE_TYPE_INTEGER: u64 = 2;

/// Weights that share one scale in MatMulNBits; all of the model's widths are multiples of it.
const BLOCK: usize = 32;

/// Which part of a model file to keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// All of it; there is no If.
    Whole,
    /// The branch of its only If that is taken when the condition holds.
    Then,
    Else,
}

struct Node {
    fields: Vec<(u32, Vec<u8>)>,
    op: String,
    inputs: Vec<String>,
    outputs: Vec<String>,
}

/// An 8-bit weight: value = scale * (stored - zero).
#[derive(Clone)]
struct Weight {
    stored: String,
    scale: String,
    offset: String,
}

struct Graph<'a> {
    nodes: Vec<Node>,
    initializers: HashMap<String, Fields<'a>>,
    inputs: Vec<(String, &'a [u8])>,
    outputs: Vec<(String, &'a [u8])>,
    /// Initializers made here, ready to be written.
    made: Vec<(String, Writer)>,
    adapter: Option<&'a Adapter>,
    /// Matrices that the adapter has changed, by its names.
    changed: HashSet<String>,
}

/// A rewritten model.
#[derive(Debug)]
pub struct Rewritten {
    pub bytes: Vec<u8>,
    /// Matrices that the adapter has changed, by its names.
    pub changed: HashSet<String>,
}

/// The weight of one multiplication as MatMulNBits takes it, with a scale for each block.
struct Blocks {
    stored: Vec<u8>,
    scales: Vec<f32>,
    zeros: Vec<u8>,
}

/// The model file `model`, or one part of it, rewritten. Outputs for which `keep` is false are left out.
/// The adapter's changes are added to the weights.
pub fn rewrite(
    model: &[u8],
    part: Part,
    keep: fn(&str) -> bool,
    adapter: Option<&Adapter>,
) -> Result<Rewritten, String> {
    let fields = wire::read(model)?;
    let graph_bytes = bytes_of(&fields, field::MODEL_GRAPH).ok_or("the model has no graph")?;
    let mut graph = Graph::read(graph_bytes, part)?;
    graph.adapter = adapter;
    graph.outputs.retain(|(name, _)| keep(name));
    graph.use_weights_as_stored()?;
    graph.drop_unused();
    let mut out = Writer::default();
    for &(field, value) in &fields {
        if field == field::MODEL_GRAPH {
            out.message(field, &graph.write());
        } else {
            out.put(field, value);
        }
    }
    Ok(Rewritten {
        bytes: out.bytes,
        changed: graph.changed,
    })
}

impl<'a> Graph<'a> {
    fn read(bytes: &'a [u8], part: Part) -> Result<Self, String> {
        let mut graph = Self {
            nodes: Vec::new(),
            initializers: HashMap::new(),
            inputs: Vec::new(),
            outputs: Vec::new(),
            made: Vec::new(),
            adapter: None,
            changed: HashSet::new(),
        };
        let mut branch = None;
        for (field, value) in wire::read(bytes)? {
            let Value::Bytes(bytes) = value else { continue };
            match field {
                field::GRAPH_INPUT => graph.inputs.push((name_of(bytes)?, bytes)),
                field::GRAPH_OUTPUT => graph.outputs.push((name_of(bytes)?, bytes)),
                field::GRAPH_INITIALIZER => graph.add_initializer(bytes)?,
                field::GRAPH_NODE => {
                    let node = wire::read(bytes)?;
                    if text_of(&node, field::NODE_OP) == "If" {
                        branch = Some(node);
                    } else {
                        graph.nodes.push(Node::read(&node));
                    }
                }
                _ => {}
            }
        }
        match (part, branch) {
            (Part::Whole, None) => {}
            (Part::Whole, Some(_)) => return Err("the model has an If".to_owned()),
            (_, None) => return Err("the model has no If".to_owned()),
            (Part::Then, Some(node)) => graph.add_branch(&node, "then_branch")?,
            (Part::Else, Some(node)) => graph.add_branch(&node, "else_branch")?,
        }
        Ok(graph)
    }

    fn add_initializer(&mut self, bytes: &'a [u8]) -> Result<(), String> {
        let tensor = wire::read(bytes)?;
        self.initializers
            .insert(text_of(&tensor, field::TENSOR_NAME).to_owned(), tensor);
        Ok(())
    }

    /// Puts a branch in the place of its If: the branch's outputs take the names of the If's.
    fn add_branch(&mut self, node: &Fields<'a>, name: &str) -> Result<(), String> {
        let mut branch = None;
        for &(field, value) in node {
            if let (field::NODE_ATTRIBUTE, Value::Bytes(bytes)) = (field, value) {
                let attribute = wire::read(bytes)?;
                if text_of(&attribute, field::ATTRIBUTE_NAME) == name {
                    branch = bytes_of(&attribute, field::ATTRIBUTE_GRAPH);
                }
            }
        }
        let branch = branch.ok_or_else(|| format!("the If has no {name}"))?;
        let mut nodes = Vec::new();
        let mut outputs = Vec::new();
        for (field, value) in wire::read(branch)? {
            let Value::Bytes(bytes) = value else { continue };
            match field {
                field::GRAPH_OUTPUT => outputs.push(name_of(bytes)?),
                field::GRAPH_INITIALIZER => self.add_initializer(bytes)?,
                field::GRAPH_NODE => nodes.push(Node::read(&wire::read(bytes)?)),
                _ => {}
            }
        }
        let outer = texts_of(node, field::NODE_OUTPUT);
        let names: HashMap<String, String> = outputs.into_iter().zip(outer).collect();
        for node in &mut nodes {
            for name in node.inputs.iter_mut().chain(&mut node.outputs) {
                if let Some(outer) = names.get(name) {
                    name.clone_from(outer);
                }
            }
        }
        self.nodes.append(&mut nodes);
        Ok(())
    }

    /// Weights that are floats only after Cast, Mul and Add, by the name of the floats.
    fn weights(&self) -> HashMap<String, Weight> {
        let maker: HashMap<&str, &Node> = self
            .nodes
            .iter()
            .flat_map(|node| node.outputs.iter().map(move |out| (out.as_str(), node)))
            .collect();
        let step = |name: &str, op: &str| maker.get(name).filter(|node| node.op == op).copied();
        let mut weights = HashMap::new();
        for add in self.nodes.iter().filter(|node| node.op == "Add") {
            let Some(mul) = step(&add.inputs[0], "Mul") else {
                continue;
            };
            let Some(cast) = step(&mul.inputs[0], "Cast") else {
                continue;
            };
            let is_stored = self
                .initializers
                .get(&cast.inputs[0])
                .is_some_and(|tensor| number_of(tensor, field::TENSOR_TYPE) == TYPE_INT8);
            if is_stored {
                weights.insert(
                    add.outputs[0].clone(),
                    Weight {
                        stored: cast.inputs[0].clone(),
                        scale: mul.inputs[1].clone(),
                        offset: add.inputs[1].clone(),
                    },
                );
            }
        }
        weights
    }

    fn use_weights_as_stored(&mut self) -> Result<(), String> {
        let weights = self.weights();
        let turned: HashMap<String, String> = self
            .nodes
            .iter()
            .filter(|node| node.op == "Transpose" && weights.contains_key(&node.inputs[0]))
            .map(|node| (node.outputs[0].clone(), node.inputs[0].clone()))
            .collect();
        let mut nodes = Vec::with_capacity(self.nodes.len());
        for node in std::mem::take(&mut self.nodes) {
            let factor = node.inputs.get(1);
            if node.op == "MatMul"
                && let Some(name) = factor
                && let Some((weight, is_turned)) = weights
                    .get(name)
                    .map(|weight| (weight, false))
                    .or_else(|| Some((weights.get(turned.get(name)?)?, true)))
            {
                nodes.push(self.matmul(&node, weight, is_turned)?);
            } else if node.op == "Gather"
                && let Some(weight) = weights.get(&node.inputs[0])
            {
                nodes.extend(gather(node, weight));
            } else {
                nodes.push(node);
            }
        }
        self.nodes = nodes;
        Ok(())
    }

    /// A MatMulNBits (ONNX Runtime's contributed operator) in the place of a MatMul.
    fn matmul(&mut self, node: &Node, weight: &Weight, is_turned: bool) -> Result<Node, String> {
        let tensor = self.tensor(&weight.stored)?;
        let shape = numbers_of(tensor, field::TENSOR_DIMS);
        let &[rows, columns] = shape.as_slice() else {
            return Err(format!("{} is no matrix", weight.stored));
        };
        let data = bytes_of(tensor, field::TENSOR_RAW)
            .filter(|data| data.len() == rows * columns)
            .ok_or_else(|| format!("{} has no plain data", weight.stored))?;
        let (depth, width) = if is_turned {
            (columns, rows)
        } else {
            (rows, columns)
        };
        if !depth.is_multiple_of(BLOCK) {
            return Err(format!("{} has a depth of {depth}", weight.stored));
        }
        let scale = self.float(&weight.scale)?;
        let zero = 128.0 - self.float(&weight.offset)? / scale;
        if !(0.0..=255.0).contains(&zero) || (zero - zero.round()).abs() > 1e-3 {
            return Err(format!("{} has a zero point of {zero}", weight.stored));
        }
        // Stored as width rows of depth values, unsigned; -128 becomes 0.
        let mut stored = Vec::with_capacity(data.len());
        for column in 0..width {
            for row in 0..depth {
                let at = if is_turned {
                    column * depth + row
                } else {
                    row * width + column
                };
                stored.push(data[at] ^ 0x80);
            }
        }
        let blocks = depth / BLOCK;
        let names = ["stored", "scales", "zeros"].map(|part| format!("{}/{part}", weight.stored));
        if self.made.iter().all(|(name, _)| *name != names[0]) {
            let mut weight = Blocks {
                stored,
                scales: vec![scale; width * blocks],
                zeros: vec![zero.round() as u8; width * blocks],
            };
            self.adapt(&node.outputs[0], width, depth, &mut weight)?;
            let scales: Vec<u8> = weight.scales.iter().flat_map(|s| s.to_le_bytes()).collect();
            let tensors = [
                tensor_of(
                    &names[0],
                    TYPE_UINT8,
                    &[width, blocks, BLOCK],
                    &weight.stored,
                ),
                tensor_of(&names[1], TYPE_FLOAT, &[width * blocks], &scales),
                tensor_of(&names[2], TYPE_UINT8, &[width * blocks], &weight.zeros),
            ];
            self.made.extend(names.clone().into_iter().zip(tensors));
        }
        let mut inputs = vec![node.inputs[0].clone()];
        inputs.extend(names);
        let mut fields = vec![(field::NODE_DOMAIN, b"com.microsoft".to_vec())];
        for (name, value) in [
            ("K", depth),
            ("N", width),
            ("bits", 8),
            ("block_size", BLOCK),
            // 4: the other factor is rounded to 8 bits; faster by far than 1, which keeps it in 32.
            ("accuracy_level", 4),
        ] {
            let mut attribute = Writer::default();
            attribute
                .text(field::ATTRIBUTE_NAME, name)
                .number(field::ATTRIBUTE_INTEGER, value as u64)
                .number(field::ATTRIBUTE_TYPE, ATTRIBUTE_TYPE_INTEGER);
            fields.push((field::NODE_ATTRIBUTE, attribute.bytes));
        }
        Ok(Node {
            fields,
            op: "MatMulNBits".to_owned(),
            inputs,
            outputs: node.outputs.clone(),
        })
    }

    /// Adds the adapter's change, where it has one for the multiplication that puts out `output`.
    fn adapt(
        &mut self,
        output: &str,
        width: usize,
        depth: usize,
        weight: &mut Blocks,
    ) -> Result<(), String> {
        let (Some(adapter), Some(name)) = (self.adapter, adapter_name(output)) else {
            return Ok(());
        };
        let mut floats = weight.floats();
        if adapter.add(&name, width, depth, &mut floats)? {
            *weight = Blocks::of(&floats);
            self.changed.insert(name);
        }
        Ok(())
    }

    fn tensor(&self, name: &str) -> Result<&Fields<'a>, String> {
        self.initializers
            .get(name)
            .ok_or_else(|| format!("the model has no constant {name}"))
    }

    /// A constant of one float.
    fn float(&self, name: &str) -> Result<f32, String> {
        let tensor = self.tensor(name)?;
        bytes_of(tensor, field::TENSOR_RAW)
            .or_else(|| bytes_of(tensor, field::TENSOR_FLOATS))
            .and_then(|bytes| bytes.try_into().ok())
            .map(f32::from_le_bytes)
            .ok_or_else(|| format!("{name} is not one number"))
    }

    fn drop_unused(&mut self) {
        let mut used: HashSet<String> = self.outputs.iter().map(|(name, _)| name.clone()).collect();
        let mut kept = Vec::with_capacity(self.nodes.len());
        // Nodes stand in order of use, so one pass from the end meets every user before its source.
        for node in std::mem::take(&mut self.nodes).into_iter().rev() {
            if node.outputs.iter().any(|out| used.contains(out)) {
                used.extend(node.inputs.iter().cloned());
                kept.push(node);
            }
        }
        kept.reverse();
        self.nodes = kept;
        self.initializers.retain(|name, _| used.contains(name));
        self.inputs.retain(|(name, _)| used.contains(name));
    }

    fn write(&self) -> Writer {
        let mut out = Writer::default();
        for node in &self.nodes {
            out.message(field::GRAPH_NODE, &node.write());
        }
        out.text(field::GRAPH_NAME, "main");
        let mut names: Vec<&String> = self.initializers.keys().collect();
        names.sort();
        for name in names {
            let mut tensor = Writer::default();
            for &(field, value) in &self.initializers[name] {
                tensor.put(field, value);
            }
            out.message(field::GRAPH_INITIALIZER, &tensor);
        }
        for (_, tensor) in &self.made {
            out.message(field::GRAPH_INITIALIZER, tensor);
        }
        for (_, bytes) in &self.inputs {
            out.put(field::GRAPH_INPUT, Value::Bytes(bytes));
        }
        for (_, bytes) in &self.outputs {
            out.put(field::GRAPH_OUTPUT, Value::Bytes(bytes));
        }
        out
    }
}

/// What an adapter calls the matrix of the multiplication that puts out `output`:
/// "/layers.0/mlp/fc1/MatMul_output_0" is "encoder/layers.0/mlp/fc1".
fn adapter_name(output: &str) -> Option<String> {
    let place = output.strip_prefix('/')?.strip_suffix("/MatMul_output_0")?;
    Some(match place.strip_prefix("model/decoder/") {
        Some(place) => format!("decoder/{place}"),
        None => format!("encoder/{place}"),
    })
}

impl Blocks {
    fn floats(&self) -> Vec<f32> {
        self.stored
            .chunks_exact(BLOCK)
            .zip(self.scales.iter().zip(&self.zeros))
            .flat_map(|(block, (&scale, &zero))| {
                block
                    .iter()
                    .map(move |&stored| (f32::from(stored) - f32::from(zero)) * scale)
            })
            .collect()
    }

    /// Rounded to 8 bits; 0.0 stays 0.0.
    fn of(floats: &[f32]) -> Self {
        let count = floats.len() / BLOCK;
        let mut blocks = Self {
            stored: Vec::with_capacity(floats.len()),
            scales: Vec::with_capacity(count),
            zeros: Vec::with_capacity(count),
        };
        for block in floats.chunks_exact(BLOCK) {
            let low = block.iter().copied().fold(0.0f32, f32::min);
            let high = block.iter().copied().fold(0.0f32, f32::max);
            let scale = ((high - low) / 255.0).max(1e-9);
            let zero = (-low / scale).round_ties_even().clamp(0.0, 255.0);
            blocks.stored.extend(
                block
                    .iter()
                    .map(|&value| (value / scale + zero).round_ties_even().clamp(0.0, 255.0) as u8),
            );
            blocks.scales.push(scale);
            blocks.zeros.push(zero as u8);
        }
        blocks
    }
}

/// Looks up the stored bytes first, then turns only the rows found into floats.
fn gather(mut node: Node, weight: &Weight) -> Vec<Node> {
    let out = std::mem::take(&mut node.outputs[0]);
    let name = |part: &str| format!("{out}/{part}");
    node.inputs[0].clone_from(&weight.stored);
    node.outputs[0] = name("stored");
    let mut to_float = Writer::default();
    to_float
        .text(field::ATTRIBUTE_NAME, "to")
        .number(field::ATTRIBUTE_INTEGER, TYPE_FLOAT)
        .number(field::ATTRIBUTE_TYPE, ATTRIBUTE_TYPE_INTEGER);
    let plain = |op: &str, inputs: [String; 2], output: String| Node {
        fields: Vec::new(),
        op: op.to_owned(),
        inputs: inputs.into(),
        outputs: vec![output],
    };
    let cast = Node {
        fields: vec![(field::NODE_ATTRIBUTE, to_float.bytes)],
        op: "Cast".to_owned(),
        inputs: vec![name("stored")],
        outputs: vec![name("float")],
    };
    let scale = plain("Mul", [name("float"), weight.scale.clone()], name("scaled"));
    let offset = plain("Add", [name("scaled"), weight.offset.clone()], out);
    vec![node, cast, scale, offset]
}

impl Node {
    fn read(fields: &Fields<'_>) -> Self {
        let kept = |field: u32| {
            !matches!(
                field,
                field::NODE_INPUT | field::NODE_OUTPUT | field::NODE_OP
            )
        };
        Self {
            fields: fields
                .iter()
                .filter(|(field, _)| kept(*field))
                .filter_map(|&(field, value)| match value {
                    Value::Bytes(bytes) => Some((field, bytes.to_vec())),
                    _ => None,
                })
                .collect(),
            op: text_of(fields, field::NODE_OP).to_owned(),
            inputs: texts_of(fields, field::NODE_INPUT),
            outputs: texts_of(fields, field::NODE_OUTPUT),
        }
    }

    fn write(&self) -> Writer {
        let mut out = Writer::default();
        for input in &self.inputs {
            out.text(field::NODE_INPUT, input);
        }
        for output in &self.outputs {
            out.text(field::NODE_OUTPUT, output);
        }
        if self
            .fields
            .iter()
            .all(|(field, _)| *field != field::NODE_NAME)
        {
            out.text(field::NODE_NAME, &self.outputs[0]);
        }
        out.text(field::NODE_OP, &self.op);
        for (field, bytes) in &self.fields {
            out.put(*field, Value::Bytes(bytes));
        }
        out
    }
}

fn tensor_of(name: &str, data_type: u64, shape: &[usize], data: &[u8]) -> Writer {
    let mut out = Writer::default();
    for &size in shape {
        out.number(field::TENSOR_DIMS, size as u64);
    }
    out.number(field::TENSOR_TYPE, data_type)
        .text(field::TENSOR_NAME, name)
        .put(field::TENSOR_RAW, Value::Bytes(data));
    out
}

fn bytes_of<'a>(fields: &Fields<'a>, wanted: u32) -> Option<&'a [u8]> {
    fields.iter().find_map(|&(field, value)| match value {
        Value::Bytes(bytes) if field == wanted => Some(bytes),
        _ => None,
    })
}

fn text_of<'a>(fields: &Fields<'a>, wanted: u32) -> &'a str {
    bytes_of(fields, wanted)
        .and_then(|bytes| std::str::from_utf8(bytes).ok())
        .unwrap_or("")
}

fn texts_of(fields: &Fields<'_>, wanted: u32) -> Vec<String> {
    fields
        .iter()
        .filter_map(|&(field, value)| match value {
            Value::Bytes(bytes) if field == wanted => {
                Some(String::from_utf8_lossy(bytes).into_owned())
            }
            _ => None,
        })
        .collect()
}

fn number_of(fields: &Fields<'_>, wanted: u32) -> u64 {
    fields
        .iter()
        .find_map(|&(field, value)| match value {
            Value::Number(number) if field == wanted => Some(number),
            _ => None,
        })
        .unwrap_or_default()
}

/// A repeated number: one field each, or packed into one.
fn numbers_of(fields: &Fields<'_>, wanted: u32) -> Vec<usize> {
    let mut numbers = Vec::new();
    for &(field, value) in fields {
        match value {
            Value::Number(number) if field == wanted => numbers.push(number as usize),
            Value::Bytes(bytes) if field == wanted => {
                let mut rest = bytes;
                while let Ok(number) = wire::take_number(&mut rest) {
                    numbers.push(number as usize);
                }
            }
            _ => {}
        }
    }
    numbers
}

fn name_of(value_info: &[u8]) -> Result<String, String> {
    Ok(text_of(&wire::read(value_info)?, field::VALUE_NAME).to_owned())
}

#[cfg(test)]
mod tests;
